package plan

import (
	"takeweave/internal/coverage"
	"takeweave/internal/film"
	"takeweave/internal/light"
	"takeweave/internal/optics"
	"takeweave/internal/room"
	"takeweave/internal/schedule"
)

// Plan is everything typed in before the day.
type Plan struct {
	Place    Place    `json:"place,omitzero"`
	Song     Study    `json:"song,omitzero"`
	Musician Musician `json:"musician,omitzero"`
	Room     Room     `json:"room,omitzero"`
	Camera   Camera   `json:"camera,omitzero"`
	Setups   []Setup  `json:"setups,omitempty"`
	// Shapes are the frame shapes that are wanted, beside those of the films that
	// are ordered.
	Shapes     []film.Shape `json:"shapes,omitempty"`
	Lamps      []Lamp       `json:"lamps,omitempty"`
	Lights     []Light      `json:"lights,omitempty"` // states of the lamps
	Practicals []Practical  `json:"practicals,omitempty"`
	Power      Power        `json:"power,omitzero"`
	Kit        []Item       `json:"kit,omitempty"`
	Day        Day          `json:"day,omitzero"`
	Job        Job          `json:"job,omitzero"`
	// Changed are the defaults that the person changed, by their key
	// ("light.key_over_fill"); Told.Defaults has all keys.
	Changed map[string]float64 `json:"changed_defaults,omitempty"`
}

// Place is where and when it is filmed.
type Place struct {
	Name         string   `json:"name,omitempty"`
	Address      string   `json:"address,omitempty"` // for the call sheet
	LatitudeDeg  *float64 `json:"latitude,omitempty"`
	LongitudeDeg *float64 `json:"longitude,omitempty"`
	Zone         string   `json:"zone,omitempty"` // ahead of universal time, summer time included: "+01:00"
	Date         string   `json:"date,omitempty"` // "2026-03-14"
}

// Study is what is known of the song. Lines count only while the film has no
// record; the record's own map is better.
type Study struct {
	DurationS float64     `json:"duration_s,omitempty"`
	TempoBPM  float64     `json:"tempo_bpm,omitempty"`
	Lines     []StudyLine `json:"lines,omitempty"` // in order
	// MustSee are moments that must be seen, beside those marked in the map.
	MustSee []MustSee `json:"must_see,omitempty"`
	// VoiceFree are stretches in which nobody sings, beside those that are found.
	VoiceFree []string `json:"voice_free,omitempty"` // song addresses
}

// StudyLine is a line of a song of which there is no record yet.
type StudyLine struct {
	Section string  `json:"section"` // "V1"
	Text    string  `json:"text,omitempty"`
	Seconds float64 `json:"seconds,omitempty"` // how long; 0 is an even share of the song
}

// MustSee is a moment that the viewer must see.
type MustSee struct {
	At      string     `json:"at"` // a song address
	Text    string     `json:"text,omitempty"`
	Shows   film.Shows `json:"shows"`             // hands, lips or both
	Matches int        `json:"matches,omitempty"` // usable passes wanted; 0 is the default
}

// Musician is who plays, to scale.
type Musician struct {
	Name     string      `json:"name,omitempty"`
	HeightM  float64     `json:"height,omitempty"` // standing; 0 is the default
	SeatM    float64     `json:"seat,omitempty"`   // of the seat; 0 stands
	At       *room.Point `json:"at,omitempty"`     // in the room's plan
	FacesDeg float64     `json:"faces,omitempty"`  // where the musician looks, in the room's plan
}

// Room is the room as it was seen on the recce.
type Room struct {
	Walls    []room.Leg     `json:"walls,omitempty"` // as they are walked along with a tape
	CeilingM float64        `json:"ceiling,omitempty"`
	UpDeg    *float64       `json:"up,omitempty"` // where the plan's up points, from true north
	Openings []room.Opening `json:"openings,omitempty"`
	Sockets  []room.Socket  `json:"sockets,omitempty"`
	Things   []room.Thing   `json:"things,omitempty"` // furniture; lamps and people have their own places
	Noise    []string       `json:"noise,omitempty"`  // what is heard, and how it is switched off
	PutBack  []PutBack      `json:"put_back,omitempty"`
	Notes    string         `json:"notes,omitempty"` // rules of the house, exits, who has the key
}

// PutBack is something that is moved or switched off, and goes back.
type PutBack struct {
	What  string `json:"what"`
	Photo string `json:"photo,omitempty"` // of how it was
}

// Camera is the camera with what belongs to it.
type Camera struct {
	Name     string        `json:"name,omitempty"`
	Format   string        `json:"format,omitempty"` // a generic sensor, one of optics.Formats
	Sensor   optics.Sensor `json:"sensor,omitzero"`  // the part that records; counts before Format
	PixelsW  int           `json:"pixels_width,omitempty"`
	PixelsH  int           `json:"pixels_height,omitempty"`
	Rate     film.Rate     `json:"rate,omitzero"`
	ISO      float64       `json:"iso,omitempty"`
	ShutterS float64       `json:"shutter_s,omitempty"`
	Lenses   []Lens        `json:"lenses,omitempty"`
	// MegabitsPerS is the data rate of the recording.
	MegabitsPerS float64   `json:"megabits_per_s,omitempty"`
	Watts        float64   `json:"watts,omitempty"`
	Cards        []Card    `json:"cards,omitempty"`
	Batteries    []Battery `json:"batteries,omitempty"`
}

// Lens is a lens of the person's own. A zoom has its setups say the focal length.
type Lens struct {
	Name       string  `json:"name"`
	FocalMM    float64 `json:"focal_mm,omitempty"`
	WidestStop float64 `json:"widest_stop,omitempty"`
	NearestM   float64 `json:"nearest,omitempty"` // nearest focus, from the sensor
}

// Card is a card to record on.
type Card struct {
	Name   string  `json:"name,omitempty"`
	GB     float64 `json:"gb"`
	UsedGB float64 `json:"used_gb,omitempty"`
}

// Battery is a kind of battery.
type Battery struct {
	Name      string  `json:"name,omitempty"`
	WattHours float64 `json:"watt_hours"`
	Count     int     `json:"count,omitempty"` // 0 is one
}

// Hours returns how long all batteries of the kind last at a load in watts.
func (b Battery) Hours(l schedule.Limits, watts float64) float64 {
	return float64(max(1, b.Count)) * l.BatteryH(b.WattHours, watts)
}

// Setup is a camera position with what it is to give the film. Its name is that
// of the film's setup; AngleDeg is counted from where the musician looks.
type Setup struct {
	film.Setup
	Why       string  `json:"why,omitempty"` // it exists
	Lens      string  `json:"lens,omitempty"`
	FocalMM   float64 `json:"focal_mm,omitempty"` // of a zoom; 0 is the lens's
	Stop      float64 `json:"stop,omitempty"`
	DistanceM float64 `json:"distance,omitempty"`  // by tape from the front of the lens
	HeightM   float64 `json:"height,omitempty"`    // of the lens above the floor
	AimM      float64 `json:"aim,omitempty"`       // height of the frame's middle; 0 is level
	NeedHigh  float64 `json:"need_high,omitempty"` // metres of the musician that must be in every shape
	NeedWide  float64 `json:"need_wide,omitempty"` // the same across
	Position  string  `json:"position,omitempty"`  // a name of the place, for the day's changes
	Support   string  `json:"support,omitempty"`   // legs, shoulder, rail
	ISO       float64 `json:"iso,omitempty"`       // 0 is the camera's
	ShutterS  float64 `json:"shutter_s,omitempty"` // 0 is the camera's
	NDStops   float64 `json:"nd_stops,omitempty"`  // of a grey filter before the lens
	Light     string  `json:"light,omitempty"`     // state of the lamps
	Wardrobe  string  `json:"wardrobe,omitempty"`
	Tuning    string  `json:"tuning,omitempty"` // of the instrument, with capo
	// Lines are song addresses it serves, beside Serves, the sections.
	Lines  []string    `json:"lines,omitempty"`
	Wanted int         `json:"wanted,omitempty"` // usable passes of each line; 0 is one
	Passes int         `json:"passes,omitempty"` // of the whole song
	Tries  int         `json:"tries,omitempty"`  // of a loop
	Loop   string      `json:"loop,omitempty"`   // the song address that is looped
	Move   optics.Move `json:"move,omitzero"`
	Notes  string      `json:"notes,omitempty"`
}

// Lamp is a lamp of the person's own. What is measured is worth more than what
// is typed off a label.
type Lamp struct {
	Name        string      `json:"name"`
	LeastLux    float64     `json:"least_lux,omitempty"`   // at MeasuredM, the dial at its bottom
	MostLux     float64     `json:"most_lux,omitempty"`    // the dial at its top; 0 has no dial
	MeasuredM   float64     `json:"measured_at,omitempty"` // 0 is 1 m
	Source      film.Source `json:"source,omitempty"`      // "measured", else typed
	RadiusM     float64     `json:"radius,omitempty"`      // half the width of what shines
	Kelvin      float64     `json:"kelvin,omitempty"`
	Watts       float64     `json:"watts,omitempty"`
	PowerFactor float64     `json:"power_factor,omitempty"` // 0 is 1
	// ConeDeg and KeptShare let the light of a lamp be supposed from its watts
	// while it is not measured.
	ConeDeg   float64    `json:"cone,omitempty"`
	KeptShare float64    `json:"kept,omitempty"`
	Circuit   string     `json:"circuit,omitempty"` // "" lets the plan choose
	Lead      light.Lead `json:"lead,omitzero"`
	Battery   bool       `json:"on_battery,omitempty"` // not on the mains
}

// Light is a state of the lamps, named.
type Light struct {
	Name  string   `json:"name"`
	Lamps []Placed `json:"lamps,omitempty"`
	Notes string   `json:"notes,omitempty"`
}

// Placed is a lamp as it burns in a state: in the room's plan, or by distance and
// bearing from the musician.
type Placed struct {
	Lamp         string         `json:"lamp"`
	Role         light.Role     `json:"role,omitempty"`
	At           *room.Point    `json:"at,omitempty"`
	HeightM      float64        `json:"height,omitempty"`    // with At
	DistanceM    float64        `json:"distance,omitempty"`  // from the face; counts without At
	BearingDeg   float64        `json:"bearing,omitempty"`   // from where the musician looks
	ElevationDeg float64        `json:"elevation,omitempty"` // above the face
	DialLux      float64        `json:"dial_lux,omitempty"`  // where it was measured; 0 is the bottom
	Filters      []light.Filter `json:"filters,omitempty"`
	FurthestM    float64        `json:"furthest,omitempty"` // that the room allows
}

// Practical is a small lamp that may be seen.
type Practical struct {
	Name        string      `json:"name"`
	At          *room.Point `json:"at,omitempty"`
	HeightM     float64     `json:"height,omitempty"`
	RadiusM     float64     `json:"radius,omitempty"`
	Candela     float64     `json:"candela,omitempty"`      // towards the camera
	Luminance   float64     `json:"luminance,omitempty"`    // cd/m², by a spot meter
	WishedStops float64     `json:"wished_stops,omitempty"` // over the middle tone
	OffStops    *float64    `json:"off_stops,omitempty"`    // too bright by, judged by eye; nil is not judged
	Kelvin      float64     `json:"kelvin,omitempty"`
	Watts       float64     `json:"watts,omitempty"`
	Circuit     string      `json:"circuit,omitempty"`
}

// Power is the mains of the room.
type Power struct {
	MainsHz  float64         `json:"mains_hz,omitempty"`
	Circuits []light.Circuit `json:"circuits,omitempty"`
	Loads    []light.Load    `json:"loads,omitempty"` // beside lamps and practicals: a recorder, a laptop
}

// Item is something to be packed.
type Item struct {
	Name   string `json:"name"`
	Count  int    `json:"count,omitempty"` // 0 is one
	Charge bool   `json:"charge,omitempty"`
	Notes  string `json:"notes,omitempty"`
}

// Day is the day's frame.
type Day struct {
	Call    string `json:"call,omitempty"`     // everybody is there: "09:30"
	Start   string `json:"start,omitempty"`    // the first setup is rigged
	KeyBack string `json:"key_back,omitempty"` // the room must be left
	Voice   int    `json:"voice,omitempty"`    // passes sung before Start
	// Rules are those of the order; nil are all of them.
	Rules  *schedule.Rules `json:"rules,omitempty"`
	People []Person        `json:"people,omitempty"`
	Notes  string          `json:"notes,omitempty"`
}

// Person is somebody on the call sheet.
type Person struct {
	Name  string `json:"name"`
	Does  string `json:"does,omitempty"`
	Phone string `json:"phone,omitempty"`
	Call  string `json:"call,omitempty"` // "" is that of the day
}

// Job is what the whole undertaking depends on beside the plan.
type Job struct {
	Rounds *int    `json:"rounds,omitempty"`     // of notes
	FilmH  float64 `json:"film_hours,omitempty"` // on the day; 0 takes the day plan's
	LongPx int     `json:"long,omitempty"`       // delivered: the longer side of 16:9; 0 is 1920
	// Matches is how often lines of earlier passes matched the record.
	Matches coverage.Matches `json:"matches,omitzero"`
	// MegabytesPerS is how fast cards are copied.
	MegabytesPerS float64 `json:"megabytes_per_s,omitempty"`
}
