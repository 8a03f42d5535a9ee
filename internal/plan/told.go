package plan

import (
	"takeweave/internal/coverage"
	"takeweave/internal/film"
	"takeweave/internal/light"
	"takeweave/internal/optics"
	"takeweave/internal/room"
	"takeweave/internal/schedule"
	"takeweave/internal/sun"
)

// Answer is what is said to a question of the plan.
type Answer string

// The answers. Look is something to know that stands in no way.
const (
	Works   Answer = "works"
	Look    Answer = "look"
	Fails   Answer = "does not work"
	Unknown Answer = "not known yet"
)

// Verdict is an answer with its reason. Of what is not known, Say is what is
// missing: what to type to know it.
type Verdict struct {
	Answer Answer `json:"answer"`
	Say    string `json:"say"`
}

// Finding is a verdict that is worth telling first: what does not work, what to
// look at, what is not known.
type Finding struct {
	Verdict
	About string `json:"about"` // "setup face", "light evening", "the day"
	Topic Topic  `json:"topic"`
}

// Topic is what a finding is about, for a page to go there.
type Topic string

// The topics.
const (
	OfSong     Topic = "song"
	OfRoom     Topic = "room"
	OfSetups   Topic = "setups"
	OfLight    Topic = "light"
	OfPower    Topic = "power"
	OfCards    Topic = "cards"
	OfDay      Topic = "day"
	OfCoverage Topic = "coverage"
	OfGates    Topic = "gates"
	OfDefaults Topic = "defaults"
)

// Told is everything that follows from a plan. What could not be computed is nil
// or empty, and a Verdict beside it says what is missing.
type Told struct {
	Title    string           `json:"title,omitempty"` // of the song
	Artist   string           `json:"artist,omitempty"`
	Findings []Finding        `json:"findings"` // what does not work first, then what is not known
	Song     Sung             `json:"song"`
	Shapes   []film.Shape     `json:"shapes"`
	Setups   []Seen           `json:"setups"`  // as in the plan
	Pairs    []Pair           `json:"pairs"`   // every two setups
	Lights   []Lit            `json:"lights"`  // as in the plan, each by its first setup
	Colours  []light.Mismatch `json:"colours"` // lamps whose colours differ
	Power    Plugged          `json:"power"`
	Sun      Sunned           `json:"sun"`
	Room     Drawn            `json:"room"`
	Cards    Stored           `json:"cards"`
	Battery  Charged          `json:"batteries"`
	Day      Laid             `json:"day"`
	Coverage Covered          `json:"coverage"`
	Hours    Hours            `json:"hours"`
	Gates    []string         `json:"gates"` // permissions that are open; they block a release, never the day
	Cautions []light.Caution  `json:"cautions"`
	Packing  []Packed         `json:"packing"`
	Defaults []Default        `json:"defaults"`
}

// Sung is the song as the plan has it.
type Sung struct {
	Verdict   Verdict         `json:"verdict"`
	From      string          `json:"from"` // "record", "typed" or ""
	DurationS float64         `json:"duration_s"`
	TempoBPM  float64         `json:"tempo_bpm"`
	Lines     []SungLine      `json:"lines"`
	MustSee   []coverage.Need `json:"must_see"`
	VoiceFree []coverage.Need `json:"voice_free"`
	Changed   []string        `json:"changed,omitempty"` // what is not as in the song the plan was made for
}

// SungLine is a line of the song.
type SungLine struct {
	Name    string        `json:"name"` // "V2.3"
	Section string        `json:"section"`
	Text    string        `json:"text,omitempty"`
	Span    film.SongSpan `json:"span"`
}

// Seen is what a setup shows.
type Seen struct {
	Name   string       `json:"name"`
	Camera optics.Setup `json:"camera"`       // the numbers it is computed from; 0 is not known
	At     *room.Point  `json:"at,omitempty"` // of the camera, in the room's plan

	Picture Verdict       `json:"picture"`         // the frame's size
	Frame   *optics.Frame `json:"frame,omitempty"` // to be drawn
	// FigureKnown says whether the figure and the discs stand at their true height.
	FigureKnown bool         `json:"figure_known"`
	Shapes      []Shaped     `json:"shapes"`
	Focus       Verdict      `json:"focus"`
	Depth       Verdict      `json:"depth"`
	Move        Verdict      `json:"move"`
	Pace        *optics.Pace `json:"pace,omitempty"`
	Turns       []Turned     `json:"turns,omitempty"` // reversals that fall into a line
	Side        Verdict      `json:"side"`            // of the line of action

	Stand   Verdict           `json:"stand"`
	Nearest *room.Stand       `json:"nearest,omitempty"` // where it can stand
	Mirrors Verdict           `json:"mirrors"`
	Mirror  []room.Reflection `json:"mirror,omitempty"`
	InFrame []room.Seen       `json:"in_frame"`      // things, the nearest first
	Walls   []room.Seen       `json:"walls"`         // from left to right
	Sun     []room.Sunlight   `json:"sun,omitempty"` // on the lens

	Light   LitSetup `json:"light"`
	Serves  []string `json:"serves"`  // addresses of lines
	Without string   `json:"without"` // what the film loses without it
}

// Shaped is what an ordered shape keeps of a setup's frame.
type Shaped struct {
	Shape   film.Shape  `json:"shape"`
	Verdict Verdict     `json:"verdict"`
	Fit     *optics.Fit `json:"fit,omitempty"`
	Cuts    string      `json:"cuts,omitempty"`  // "cuts head", of the figure
	Grows   string      `json:"grows,omitempty"` // enlarged more than allowed
	// Headroom is what is above the head, as a share of the shape's height; below 0
	// the shape cuts it. Nil while the frame's height is not known.
	Headroom *float64 `json:"headroom,omitempty"`
}

// Turned is a reversal of a move.
type Turned struct {
	AtS  float64 `json:"at_s"` // song time, when the move starts with the song
	Line string  `json:"line"`
}

// Pair is two setups beside each other.
type Pair struct {
	A       string       `json:"a"`
	B       string       `json:"b"`
	Verdict Verdict      `json:"verdict"` // Fails is a jump
	Pair    *optics.Pair `json:"pair,omitempty"`
	Crosses bool         `json:"crosses,omitempty"` // the line of action
	Opposed bool         `json:"opposed,omitempty"` // their moves go against each other
}

// LitSetup is the light of one setup.
type LitSetup struct {
	Verdict      Verdict             `json:"verdict"`
	State        string              `json:"state,omitempty"`
	Exposure     *light.Exposure     `json:"exposure,omitempty"`
	WantedLux    float64             `json:"wanted_lux,omitempty"` // of the key
	Lamps        []LitLamp           `json:"lamps"`
	Balance      *light.Balance      `json:"balance,omitempty"`
	KeyFillStops *float64            `json:"key_over_fill_stops,omitempty"`
	KeyBackStops *float64            `json:"key_over_back_stops,omitempty"`
	Flicker      Verdict             `json:"flicker"`
	Shutter      *light.ShutterCheck `json:"shutter,omitempty"`
}

// LitLamp is what one lamp gives on the musician.
type LitLamp struct {
	Lamp      string     `json:"lamp"`
	Role      light.Role `json:"role"`
	Lux       float64    `json:"lux"`
	DistanceM float64    `json:"distance"`
	Supposed  bool       `json:"supposed,omitempty"` // from its watts: measure it
	Kelvin    float64    `json:"kelvin,omitempty"`   // behind its filters
}

// Lit is a state of the lamps.
type Lit struct {
	Name   string    `json:"name"`
	Setups []string  `json:"setups"` // that are filmed in it
	Lamps  []LitLamp `json:"lamps"`
	// Places are where its lamps stand, in the room's plan.
	Places []room.Thing `json:"places"`
}

// Plugged is what is plugged in where.
type Plugged struct {
	Verdict Verdict            `json:"verdict"`
	Watts   float64            `json:"watts"`
	Loads   []light.Load       `json:"loads"` // with the circuit that is chosen
	Sums    []light.CircuitSum `json:"sums"`
	Leads   []LeadTold         `json:"leads"`
}

// LeadTold is the lead of one lamp.
type LeadTold struct {
	Lamp    string           `json:"lamp"`
	Ways    []room.Lead      `json:"ways,omitempty"` // to sockets, the shortest first
	Lead    *light.LeadCheck `json:"lead,omitempty"` // of the lead that is brought
	Verdict Verdict          `json:"verdict"`
}

// Sunned is the sun on the day.
type Sunned struct {
	Verdict Verdict         `json:"verdict"`
	Times   *sun.Times      `json:"times,omitempty"`
	Rise    string          `json:"rise,omitempty"` // "06:21"
	Set     string          `json:"set,omitempty"`
	OnFace  []room.Sunlight `json:"on_face"` // through each window, on the musician's face
	// InWork are those stretches of it that fall into the day's hours.
	InWork []string `json:"in_work,omitempty"`
}

// Drawn is the room.
type Drawn struct {
	Verdict Verdict       `json:"verdict"`
	Room    *room.Room    `json:"room,omitempty"` // corners, and all things in it
	GapM    float64       `json:"gap,omitempty"`  // by which the tape missed the beginning
	Drawing *room.Drawing `json:"drawing,omitempty"`
}

// Stored is what goes on cards.
type Stored struct {
	Verdict    Verdict `json:"verdict"`
	PassGB     float64 `json:"pass_gb,omitempty"`
	Passes     int     `json:"passes,omitempty"` // of the day, loops counted by their time
	DayGB      float64 `json:"day_gb,omitempty"`
	PassesFit  []int   `json:"passes_fit,omitempty"`   // on each card
	ToPack     int     `json:"to_pack,omitempty"`      // cards like the first
	SpeedClass int     `json:"speed_class,omitempty"`  // the least that sustains it, 30 for V30
	CopyMin    float64 `json:"copy_minutes,omitempty"` // one card copied and read again
}

// Charged is what runs on batteries.
type Charged struct {
	Verdict Verdict `json:"verdict"`
	Hours   float64 `json:"hours,omitempty"` // that all batteries last
	Needed  float64 `json:"needed_hours,omitempty"`
	Passes  int     `json:"passes,omitempty"`  // on one of the first kind
	ToPack  int     `json:"to_pack,omitempty"` // of the first kind
}

// Laid is the day on the clock.
type Laid struct {
	Verdict Verdict         `json:"verdict"`
	Order   []string        `json:"order"`                   // names of setups
	AsTyped float64         `json:"as_typed_change_minutes"` // changes in the order of the plan
	Plan    *schedule.Plan  `json:"plan,omitempty"`
	Steps   []DayStep       `json:"steps"`
	Finish  string          `json:"finish,omitempty"` // "17:42"
	Leave   string          `json:"leave,omitempty"`
	Drop    []schedule.Drop `json:"drop"` // what can go first, the cheapest loss first
}

// DayStep is one setup on the clock, in words.
type DayStep struct {
	Setup  string `json:"setup"`
	Break  string `json:"break,omitempty"` // "14:00, 10 min" before it
	From   string `json:"from"`
	Film   string `json:"film"` // the change is done
	To     string `json:"to"`
	Change string `json:"change,omitempty"` // what is changed: "light evening, lens 75 mm"
	Passes string `json:"passes"`           // "3 passes", "6 tries of V2.3"
}

// Covered is what the setups are to give the song.
type Covered struct {
	Verdict   Verdict           `json:"verdict"`
	Setups    []string          `json:"setups"`
	Ledger    *coverage.Ledger  `json:"ledger,omitempty"`  // rows of lines, must-sees and stretches without a voice, cells by setup
	Bare      []string          `json:"bare"`              // lines that no setup serves
	MouthOnly []string          `json:"mouth_only"`        // stretches without a voice with too few setups that show no mouth
	Without   []coverage.Loss   `json:"without"`           // by setup
	Outlook   *coverage.Outlook `json:"outlook,omitempty"` // of a musician who improvises
}

// Hours are those of the whole job.
type Hours struct {
	Verdict Verdict `json:"verdict"`
	Hours   float64 `json:"hours,omitempty"`
	Quoted  float64 `json:"quoted,omitempty"` // with slack
	FilmH   float64 `json:"film_hours,omitempty"`
}

// Packed is a row of the packing list.
type Packed struct {
	Group  string `json:"group"` // "camera", "light", "power", "cards", "other"
	Name   string `json:"name"`
	Count  int    `json:"count"`
	Why    string `json:"why,omitempty"`
	Charge bool   `json:"charge,omitempty"`
}

// Default is a number that the person may change.
type Default struct {
	film.Default
	Key     string  `json:"key"`  // as in Plan.Changed
	Room    string  `json:"room"` // "optics", "light", ...
	Now     float64 `json:"now"`  // the value that counts
	Changed bool    `json:"changed"`
}
