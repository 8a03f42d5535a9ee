package demo

import (
	"cmp"
	"fmt"
	"slices"

	"takeweave/internal/film"
	"takeweave/internal/light"
	"takeweave/internal/optics"
	"takeweave/internal/plan"
	"takeweave/internal/room"
)

// guitarM is how high the world's origin, the guitar, is above the floor.
const guitarM = 0.92

// stand is how a position is planned beside what is drawn of it.
type stand struct {
	angleDeg, highM float64 // around the player from where she looks; of the lens
	iso             float64
	why, support    string
	passes, tries   int
	loop            string
	needM           float64 // of her that must be in the frame
}

var stands = map[string]stand{
	"wide":    {angleDeg: 0, highM: 1.05, iso: 800, why: "the loft and all of her", support: "legs", passes: 2, needM: 1.0},
	"face":    {angleDeg: 35, highM: 1.40, iso: 1250, why: "the words", support: "legs", passes: 2, needM: 0.40},
	"hands":   {angleDeg: 5, highM: 1.05, iso: 800, why: "the picking", support: "low legs", passes: 3, needM: 0.45},
	"strings": {angleDeg: 65, highM: 1.00, iso: 1600, why: "the run in the second verse", support: "low legs", tries: 4, loop: run, needM: 0.25},
	"loft":    {angleDeg: 0, highM: 1.40, iso: 1250, why: "lamps and nets while nobody sings", support: "legs", passes: 1, needM: 0.25},
}

// run is where the run up the neck is, in the song as it was known from its sheet.
const run = "A2.1-A2.2"

// Before is the plan with the run where the record has it: in the first two lines
// of the second verse.
func (d *Day) Before() plan.Plan {
	p := Before()
	i := slices.IndexFunc(d.Lines, func(l Line) bool { return l.Section == "verse 2" })
	if i < 0 || i+1 >= len(d.Lines) {
		return p
	}
	at := fmt.Sprintf("%.1f-%.1f", d.Lines[i].Span.From, d.Lines[i+1].Span.To)
	p.Song.MustSee[0].At = at
	for k := range p.Setups {
		if p.Setups[k].Loop == run {
			p.Setups[k].Loop = at
		}
	}
	return p
}

// Before is the plan that the day was filmed by: its setups are those that are
// drawn. "Slow Ferry Home", sung by Nell Harrowgate in a net loft.
func Before() plan.Plan {
	p := plan.Plan{
		Place: plan.Place{
			Name: "The net loft", Address: "behind the slip, Orrock Quay", Date: "2026-03-14", Zone: "+00:00",
			LatitudeDeg: ptr(54.3), LongitudeDeg: ptr(-3.4),
		},
		Musician: plan.Musician{Name: "Nell Harrowgate", HeightM: 1.68, SeatM: 0.72, At: &room.Point{X: 2.7, Y: 4.8}, FacesDeg: 180},
		Room:     loftRoom(),
		Camera: plan.Camera{
			Name: "the camera", Sensor: optics.Sensor{WidthMM: sensorWidthMM, HeightMM: sensorHeightMM}, PixelsW: 3840, PixelsH: 2160,
			Rate: fps25, ISO: 800, ShutterS: 1.0 / 50, MegabitsPerS: 100, Watts: 14,
			Cards:     []plan.Card{{Name: "A", GB: 128}, {Name: "B", GB: 128}},
			Batteries: []plan.Battery{{Name: "camera battery", WattHours: 49, Count: 4}},
		},
		Shapes: []film.Shape{"16:9", "9:16"},
		Power: plan.Power{
			MainsHz:  50,
			Circuits: []light.Circuit{{Name: "loft", Volts: 230, Amps: 16}, {Name: "stairs", Volts: 230, Amps: 10, OtherWatts: 300}},
			Loads:    []light.Load{{Name: "recorder and laptop", Watts: 90}},
		},
		Kit: []plan.Item{{Name: "grey card"}, {Name: "tape measure"}, {Name: "phone with the record", Charge: true}, {Name: "spare strings"}, {Name: "water"}},
		Day: plan.Day{
			Call: "13:00", Start: "13:30", KeyBack: "18:00",
			People: []plan.Person{{Name: "Nell Harrowgate", Does: "sings and plays"}, {Name: "Tam Orrock", Does: "has the key"}},
		},
		Job: plan.Job{Rounds: ptr(2), MegabytesPerS: 90},
		// She hardly sways; it was measured at the rehearsal.
		Changed: map[string]float64{"optics.sway": 0.02},
	}
	lampsBefore(&p)
	songBefore(&p)
	for _, at := range positions {
		p.Setups = append(p.Setups, at.before())
		name := lensName(at.lens)
		p.Camera.Lenses = append(p.Camera.Lenses, plan.Lens{Name: name, FocalMM: at.lens.focalMM, WidestStop: 1.4, NearestM: 0.85})
	}
	p.Camera.Lenses = onlyOnce(p.Camera.Lenses)
	return p
}

func ptr[T any](v T) *T { return &v }

func lensName(l lens) string { return fmt.Sprintf("%g mm", l.focalMM) }

func onlyOnce(all []plan.Lens) (lenses []plan.Lens) {
	had := map[string]bool{}
	for _, l := range all {
		if !had[l.Name] {
			had[l.Name] = true
			lenses = append(lenses, l)
		}
	}
	return lenses
}

// before is a position as it was planned. A plan measures from the front of the
// lens, the drawing from its principal plane, a focal length behind.
func (at position) before() plan.Setup {
	s := stands[at.setup.Name]
	out := plan.Setup{
		Setup: at.setup, Why: s.why, Lens: lensName(at.lens), Stop: at.lens.stop, ISO: s.iso,
		DistanceM: (at.lens.focusMM - at.lens.focalMM) / 1000, HeightM: s.highM, AimM: guitarM - at.centreY, NeedHigh: s.needM,
		Light: "dusk", Support: s.support, Passes: s.passes, Tries: s.tries, Loop: s.loop,
	}
	out.AngleDeg, out.Safety = &s.angleDeg, at.setup.Name == "wide"
	return out
}

// loftRoom is the loft with what is built into it.
func loftRoom() plan.Room {
	square := func(m float64) room.Leg { return room.Leg{LengthM: m, TurnDeg: 90} }
	return plan.Room{
		Walls: []room.Leg{square(7.1), square(5.4), square(7.1), square(5.4)}, CeilingM: 2.9, UpDeg: ptr(20.0),
		Openings: []room.Opening{
			{Name: "harbour window", Kind: room.Window, Wall: 0, FromM: 4.6, WidthM: 1.2, SillM: 0.9, TopM: 2.1, ThickM: 0.4, SkylineDeg: 4},
			{Name: "door", Kind: room.Door, Wall: 3, FromM: 0.6, WidthM: 0.9, TopM: 2.0},
		},
		Sockets: []room.Socket{
			{Name: "by the door", Circuit: "stairs", Wall: 3, AtM: 1.8, HeightM: 0.3},
			{Name: "under the window", Circuit: "loft", Wall: 0, AtM: 4.2, HeightM: 0.3},
			{Name: "back wall", Circuit: "loft", Wall: 1, AtM: 4.6, HeightM: 0.3},
		},
		Things: []room.Thing{
			{Name: "net drum", At: room.Point{X: 0.6, Y: 1.2}, RadiusM: 0.45, HeightM: 0.9},
			{Name: "crates", At: room.Point{X: 4.8, Y: 6.5}, RadiusM: 0.4, HeightM: 0.8},
		},
		Noise:   []string{"ice machine below: switch at the foot of the stairs", "the ferry horn at 15:10 and 17:10"},
		PutBack: []plan.PutBack{{What: "ice machine on again", Photo: "switch.jpg"}, {What: "net drum to the window", Photo: "drum.jpg"}},
		Notes:   "The stairs are the way out: nothing on them.",
	}
}

// lampsBefore are the lamps, and the garland that is seen behind her.
func lampsBefore(p *plan.Plan) {
	p.Lamps = []plan.Lamp{
		{Name: "soft lamp", LeastLux: 30, MostLux: 900, RadiusM: 0.4, Kelvin: 3200, Watts: 120, Source: film.Measured},
		{Name: "small panel", LeastLux: 5, MostLux: 300, RadiusM: 0.1, Kelvin: 3200, Watts: 40, Source: film.Measured},
		{Name: "back lamp", LeastLux: 20, MostLux: 800, RadiusM: 0.08, Kelvin: 3000, Watts: 60, Source: film.Measured},
	}
	p.Lights = []plan.Light{{Name: "dusk", Lamps: []plan.Placed{
		{Lamp: "soft lamp", Role: light.Key, At: &room.Point{X: 4.2, Y: 3.6}, HeightM: 1.9, DialLux: 115},
		{Lamp: "small panel", Role: light.Fill, At: &room.Point{X: 0.7, Y: 2.9}, HeightM: 1.6, DialLux: 70},
		{Lamp: "back lamp", Role: light.Back, At: &room.Point{X: 0.3, Y: 6.3}, HeightM: 2.2, DialLux: 300, Filters: []light.Filter{{Name: "eighth blue", Stops: -0.3, Mired: -18}}},
	}}}
	for i, behind := range []float64{1.25, 1.6, 1.95} {
		p.Practicals = append(p.Practicals, plan.Practical{
			Name: fmt.Sprintf("garland %d", i+1), At: &room.Point{X: 1.9 + 0.8*float64(i), Y: 4.8 + behind},
			HeightM: 1.9, RadiusM: 0.02, Candela: 1.5, OffStops: ptr(0.0), Kelvin: 2700,
		})
	}
}

// songBefore is the song as it was known from its sheet, before the record.
func songBefore(p *plan.Plan) {
	p.Song.Lines = append(p.Song.Lines, plan.StudyLine{Section: "intro", Seconds: leadSeconds + verse1Beat*60.0/recordBPM})
	names := map[string]string{}
	lines := writeScore(changes{}).lines
	slices.SortFunc(lines, func(a, b lyric) int { return cmp.Compare(a.beat, b.beat) })
	for _, l := range lines {
		if names[l.section] == "" {
			names[l.section] = []string{"A1", "B1", "A2", "B2"}[min(3, len(names))]
		}
		p.Song.Lines = append(p.Song.Lines, plan.StudyLine{Section: names[l.section], Text: l.text})
	}
	p.Song.TempoBPM, p.Song.DurationS = recordBPM, leadSeconds+songBeats*60.0/recordBPM+ringSeconds
	p.Song.MustSee = []plan.MustSee{{At: run, Text: "the run up the neck", Shows: film.ShowsHands, Matches: 2}}
}
