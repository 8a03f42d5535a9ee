package plan

import (
	"encoding/json"
	"math"
	"slices"
	"strings"
	"testing"

	"takeweave/internal/film"
	"takeweave/internal/light"
	"takeweave/internal/optics"
	"takeweave/internal/room"
)

func deg(v float64) *float64 { return &v }

// uhd is a camera whose part that records is 36 mm wide in 16:9.
var uhd = Camera{Sensor: optics.Sensor{WidthMM: 36, HeightMM: 20.25}, PixelsW: 3840, PixelsH: 2160, ISO: 800, ShutterS: 1.0 / 50, Rate: film.Rate{Num: 25, Den: 1}}

// The wide crop that is too tight: 40 mm at 2.2 m, 0.80 m of the musician, 2.39:1
// with 6 % of air. Source: common practice for the air, plane geometry for the rest.
func TestTooTightForTheWideShape(t *testing.T) {
	p := Plan{Camera: uhd, Shapes: []film.Shape{"2.39:1"}, Setups: []Setup{
		{Setup: film.Setup{Name: "forty"}, FocalMM: 40, DistanceM: 2.2, NeedHigh: 0.8},
		{Setup: film.Setup{Name: "thirty-five"}, FocalMM: 35, DistanceM: 2.2, NeedHigh: 0.8},
	}}
	told := Compute(p, Known{})
	tight := told.Setups[0].Shapes[0]
	if want := "frame 1.98 × 1.11 m, kept 0.83 m, you need 0.91 m: step back to 2.41 m or use 36 mm"; tight.Verdict != (Verdict{Fails, want}) {
		t.Errorf("40 mm: %+v, want %q", tight.Verdict, want)
	}
	if got := told.Setups[1].Shapes[0].Verdict; got.Answer != Works {
		t.Errorf("35 mm: %+v, want it to fit", got)
	}
	if len(told.Findings) == 0 || told.Findings[0].Answer != Fails || !strings.Contains(told.Findings[0].Say, "2.41 m") {
		t.Errorf("the first thing told is %+v", told.Findings)
	}
}

// The lamp that is too strong at the bottom of its dial: 200 lx at 1 m of a disc of
// 0.45 m radius, wanted at 1.4 m; practicals right at the exposure. The law of the
// disc is physics, E goes with 1 / (d² + r²).
func TestOverStrongLamp(t *testing.T) {
	p := Plan{
		Camera: uhd, Power: Power{MainsHz: 50},
		Lamps:      []Lamp{{Name: "ring", LeastLux: 200, MostLux: 2000, RadiusM: 0.45, Source: film.Measured}},
		Lights:     []Light{{Name: "evening", Lamps: []Placed{{Lamp: "ring", Role: light.Key, DistanceM: 1.4}}}},
		Practicals: []Practical{{Name: "net lamp", OffStops: deg(0)}},
		Setups:     []Setup{{Setup: film.Setup{Name: "face"}, FocalMM: 50, DistanceM: 2, Stop: 2, Light: "evening"}},
	}
	got := Compute(p, Known{}).Setups[0].Light
	if want := "ring: 111 lx against 62.5: +0.8 stop ratio fault; move to 1.91 m, or one-stop net (-0.2). Lower ISO won't help: practicals fall with it."; got.Verdict != (Verdict{Fails, want}) {
		t.Errorf("%+v, want %q", got.Verdict, want)
	}
	if math.Abs(got.WantedLux-62.5) > 1e-9 || math.Abs(got.Lamps[0].Lux-111.2) > 0.1 {
		t.Errorf("wanted %.2f lx, the lamp gives %.2f", got.WantedLux, got.Lamps[0].Lux)
	}
	if got.Flicker.Answer != Works {
		t.Errorf("1/50 s on 50 Hz: %+v", got.Flicker)
	}
}

// Depth of 75 mm at f/2 and 1.9 m is about 48 mm in all on a circle of 0.019 mm,
// and a sway of 50 mm to either side needs f/4. Source: thin lens.
func TestDepthAgainstSway(t *testing.T) {
	p := Plan{Camera: uhd, Job: Job{LongPx: 3840}, Setups: []Setup{{Setup: film.Setup{Name: "close"}, FocalMM: 75, Stop: 2, DistanceM: 1.9}}}
	got := Compute(p, Known{}).Setups[0].Depth
	if got.Answer != Fails || !strings.Contains(got.Say, "needs f/4") {
		t.Errorf("%+v", got)
	}
	p.Setups[0].Stop = 4.5
	if got := Compute(p, Known{}).Setups[0].Depth; got.Answer != Works {
		t.Errorf("at f/4.5: %+v", got)
	}
}

// 28 mm and 40 mm from one spot differ 1.43 times, which jumps; what jumps at the
// same angle cuts together from another. Source: common practice.
func TestPairs(t *testing.T) {
	p := Plan{Camera: uhd, Setups: []Setup{
		{Setup: film.Setup{Name: "a", AngleDeg: deg(0)}, FocalMM: 28, DistanceM: 2},
		{Setup: film.Setup{Name: "b", AngleDeg: deg(0)}, FocalMM: 40, DistanceM: 2},
		{Setup: film.Setup{Name: "c", AngleDeg: deg(40)}, FocalMM: 40, DistanceM: 2},
		{Setup: film.Setup{Name: "d"}, FocalMM: 40, DistanceM: 2},
		{Setup: film.Setup{Name: "e"}, FocalMM: 100, DistanceM: 2},
	}}
	want := map[string]Answer{"ab": Fails, "ac": Works, "bc": Works, "ad": Unknown, "bd": Unknown, "ae": Works, "de": Works}
	for _, pair := range Compute(p, Known{}).Pairs {
		if w, ok := want[pair.A+pair.B]; ok && pair.Verdict.Answer != w {
			t.Errorf("%s and %s: %+v, want %q", pair.A, pair.B, pair.Verdict, w)
		}
	}
}

// 150 Mb/s make 5.3 GB of a pass of 4:12 with 30 s of camera beside it, 18 passes
// 95 GB; 20 minutes are half an hour's verified copy at 90 MB/s. Source: decimal
// units, arithmetic.
func TestCards(t *testing.T) {
	p := Plan{
		Song: Study{DurationS: 252}, Camera: Camera{MegabitsPerS: 150, Cards: []Card{{GB: 64}, {GB: 64}}},
		Setups: []Setup{{Setup: film.Setup{Name: "all"}, Passes: 18}}, Job: Job{MegabytesPerS: 90},
	}
	got := Compute(p, Known{}).Cards
	if math.Abs(got.PassGB-5.29) > 0.01 || math.Abs(got.DayGB-95.2) > 0.1 || math.Abs(got.CopyMin-2*17.6) > 0.2 {
		t.Errorf("%+v", got)
	}
	if got.Verdict.Answer != Look || !strings.Contains(got.Verdict.Say, "you have 2") {
		t.Errorf("two cards of 64 GB: %+v", got.Verdict)
	}
}

// 31.2 h with a day of 5 h, 37.4 h to quote: a song of 4:12, two rounds, two shapes.
func TestHours(t *testing.T) {
	two := 2
	p := Plan{Song: Study{DurationS: 252}, Shapes: []film.Shape{"16:9", "9:16"}, Job: Job{Rounds: &two, FilmH: 5}}
	got := Compute(p, Known{}).Hours
	if math.Abs(got.Hours-31.2) > 0.01 || math.Abs(got.Quoted-37.44) > 0.01 || got.Verdict.Answer != Works {
		t.Errorf("%+v", got)
	}
}

// An improviser whose two hands passes agree on 25 of 72 lines needs 11 whole
// passes for 8 must-haves, or some minutes of loops.
func TestImproviser(t *testing.T) {
	p := Plan{Song: Study{DurationS: 252}, Setups: []Setup{{Setup: film.Setup{Name: "hands", Shows: film.ShowsHands}, Passes: 2}}}
	for range 36 {
		p.Song.Lines = append(p.Song.Lines, StudyLine{Section: "V1", Text: "a line"})
	}
	for i := range 8 {
		p.Song.MustSee = append(p.Song.MustSee, MustSee{At: "V1." + string(rune('1'+i)), Shows: film.ShowsHands, Matches: 1})
	}
	p.Job.Matches.Matched, p.Job.Matches.Of = 25, 72
	got := Compute(p, Known{}).Coverage
	if o := got.Outlook; o == nil || o.SurePasses != 11 || math.Abs(o.SureMin-68) > 1 || math.Abs(o.LoopMin-11.4) > 0.5 {
		t.Errorf("%+v", o)
	}
}

// 2300 W on a 16 A circuit of 230 V are 10 A, within 80 % of it; 3000 W are not.
// 25 m of 1.5 mm² at 8 A lose about 6 V. Source: watts over volts, [NEC2020],
// [BS7671] as in the light room.
func TestPower(t *testing.T) {
	p := Plan{
		Power:  Power{Circuits: []light.Circuit{{Name: "wall", Volts: 230, Amps: 16}}},
		Lamps:  []Lamp{{Name: "big", Watts: 1840, Lead: light.Lead{LengthM: 25}}},
		Lights: []Light{{Name: "day", Lamps: []Placed{{Lamp: "big", Role: light.Key, DistanceM: 3}}}},
	}
	p.Power.Loads = []light.Load{{Name: "heater", Watts: 460}}
	got := Compute(p, Known{}).Power
	if got.Verdict.Answer != Works || got.Watts != 2300 || math.Abs(got.Sums[0].Amps-10) > 1e-9 {
		t.Errorf("2300 W: %+v", got)
	}
	if lead := got.Leads[0].Lead; lead == nil || math.Abs(lead.DropVolts-5.8) > 0.05 {
		t.Errorf("%+v", lead)
	}
	p.Power.Loads[0].Watts = 1160
	if got := Compute(p, Known{}).Power.Verdict; got.Answer != Fails {
		t.Errorf("3000 W: %+v", got)
	}
	p.Power.Loads[0].Watts = 0
	if got := Compute(p, Known{}).Power.Verdict; got.Answer != Unknown || !strings.Contains(got.Say, "heater") {
		t.Errorf("watts not known: %+v", got)
	}
}

// 98 Wh at 60 W are 1.4 h with 0.85 of what is printed on them. Source: arithmetic.
func TestBatteries(t *testing.T) {
	p := Plan{
		Song: Study{DurationS: 252}, Camera: Camera{Watts: 60, Batteries: []Battery{{WattHours: 98}}},
		Setups: []Setup{{Setup: film.Setup{Name: "all"}, Passes: 20}}, Day: Day{Start: "10:00"},
	}
	got := Compute(p, Known{}).Battery
	if math.Abs(got.Hours-1.39) > 0.01 || got.Verdict.Answer != Fails {
		t.Errorf("%+v", got)
	}
}

// A square room of 4 m with the musician in the middle: 1.4 m in front there is
// room for a camera, 1.9 m are too near to the wall. A mirror behind the musician
// shows the camera, the same wall without it does not. Source: plane mirror.
func TestRoom(t *testing.T) {
	leg := room.Leg{LengthM: 4, TurnDeg: 90}
	p := Plan{
		Camera: uhd, Musician: Musician{At: &room.Point{X: 2, Y: 2}, FacesDeg: 180},
		Room: Room{Walls: []room.Leg{leg, leg, leg, leg}, CeilingM: 2.5},
		Setups: []Setup{
			{Setup: film.Setup{Name: "near", AngleDeg: deg(0)}, FocalMM: 35, Stop: 2, DistanceM: 1.4, HeightM: 1.2},
			{Setup: film.Setup{Name: "far", AngleDeg: deg(0)}, FocalMM: 35, Stop: 2, DistanceM: 1.9, HeightM: 1.2},
		},
	}
	told := Compute(p, Known{})
	near, far := told.Setups[0], told.Setups[1]
	if near.Stand.Answer != Works || near.Mirrors.Answer != Works || near.At.X != 2 || math.Abs(near.At.Y-0.6) > 1e-9 {
		t.Errorf("%+v", near)
	}
	if far.Stand.Answer != Fails || math.Abs(far.Nearest.DistanceM-1.6) > 0.011 {
		t.Errorf("%+v, nearest %+v", far.Stand, far.Nearest)
	}
	p.Room.Openings = []room.Opening{{Name: "mirror", Kind: room.Mirror, Wall: 1, FromM: 1, WidthM: 2, SillM: 0.5, TopM: 2}}
	if got := Compute(p, Known{}).Setups[0].Mirrors; got.Answer != Fails || !strings.Contains(got.Say, "mirror") {
		t.Errorf("%+v", got)
	}
}

// A lamp that is too strong is not moved through the wall behind it: the wall is
// 2 m from the musician, where it would have to go further.
func TestLampsStayInTheRoom(t *testing.T) {
	leg := room.Leg{LengthM: 4, TurnDeg: 90}
	p := Plan{
		Camera: uhd, Musician: Musician{At: &room.Point{X: 2, Y: 2}}, Room: Room{Walls: []room.Leg{leg, leg, leg, leg}, CeilingM: 3},
		Lamps:      []Lamp{{Name: "ring", LeastLux: 200}},
		Lights:     []Light{{Name: "day", Lamps: []Placed{{Lamp: "ring", Role: light.Key, At: &room.Point{X: 3.5, Y: 2}, HeightM: 1.64}}}},
		Practicals: []Practical{{Name: "candle", OffStops: deg(0)}},
		Setups:     []Setup{{Setup: film.Setup{Name: "face"}, FocalMM: 50, DistanceM: 1, Stop: 2, ISO: 1600}},
	}
	if got := Compute(p, Known{}).Setups[0].Light.Verdict; got.Answer != Fails || strings.Contains(got.Say, "move to") {
		t.Errorf("%+v", got)
	}
	p.Room.Walls[1].LengthM, p.Room.Walls[3].LengthM = 6, 6
	if got := Compute(p, Known{}).Setups[0].Light.Verdict; got.Answer != Fails || !strings.Contains(got.Say, "move to 2.53 m") {
		t.Errorf("in a wider room: %+v", got)
	}
}

// At an equinox noon the sun stands in the south, 90 degrees less the latitude high:
// through a large window in the south wall it falls on a musician near it, through
// one in the north wall it does not. Source: spherical astronomy.
func TestSunOnTheMusician(t *testing.T) {
	leg := room.Leg{LengthM: 4, TurnDeg: 90}
	p := Plan{
		Place:    Place{LatitudeDeg: deg(50), LongitudeDeg: deg(0), Zone: "+00:00", Date: "2026-03-20"},
		Musician: Musician{At: &room.Point{X: 2, Y: 0.8}},
		Room: Room{
			Walls: []room.Leg{leg, leg, leg, leg}, CeilingM: 3, UpDeg: deg(0),
			Openings: []room.Opening{{Name: "window", Kind: room.Window, Wall: 3, FromM: 0.5, WidthM: 3, SillM: 0.5, TopM: 2.8}},
		},
		Day: Day{Start: "11:00", KeyBack: "13:00"},
	}
	south := Compute(p, Known{}).Sun
	if south.Verdict.Answer != Look || len(south.InWork) != 1 || !strings.Contains(south.InWork[0], "11:00 to 13:00") {
		t.Errorf("%+v", south)
	}
	p.Room.UpDeg = deg(180)
	if north := Compute(p, Known{}).Sun; north.Verdict.Answer != Works {
		t.Errorf("%+v", north)
	}
}

// Nobody sings for ten seconds, and one setup only shows no mouth: two are wanted.
// A line that no setup serves is named. Source: common practice.
func TestCoverage(t *testing.T) {
	p := Plan{
		Song: Study{Lines: []StudyLine{{Section: "V1", Text: "one", Seconds: 5}, {Section: "V1", Text: "two", Seconds: 5}, {Section: "X1", Seconds: 10}}},
		Setups: []Setup{
			{Setup: film.Setup{Name: "face", Shows: film.ShowsLips}, Lines: []string{"V1.1"}, Passes: 1},
			{Setup: film.Setup{Name: "hands", Shows: film.ShowsHands, Serves: []string{"X"}}, Passes: 1},
		},
	}
	got := Compute(p, Known{})
	c := got.Coverage
	if c.Verdict.Answer != Fails || len(c.Bare) != 1 || c.Bare[0] != "V1.2" || len(c.MouthOnly) != 1 {
		t.Errorf("%+v", c)
	}
	if s := got.Setups; len(s[0].Serves) != 1 || len(s[1].Serves) != 1 || s[1].Serves[0] != "X1.1" || !strings.Contains(s[0].Without, "V1.1") {
		t.Errorf("serves %v and %v, without: %s", s[0].Serves, s[1].Serves, s[0].Without)
	}
	p.Setups[0].Shows = film.ShowsUnknown
	p.Setups[0].Lines = []string{"V1"}
	if c := Compute(p, Known{}).Coverage; c.Verdict.Answer != Unknown || !strings.Contains(c.Verdict.Say, "face shows") {
		t.Errorf("%+v", c.Verdict)
	}
}

func TestChangedDefaults(t *testing.T) {
	p := Plan{Changed: map[string]float64{"optics.sway": 0.02, "light.no_such": 1, "optics.circle_pixels": 0, "schedule.slack": 0}}
	told := Compute(p, Known{})
	now := map[string]Default{}
	for _, d := range told.Defaults {
		now[d.Key] = d
	}
	if d := now["optics.sway"]; d.Now != 0.02 || !d.Changed || d.Value != 0.05 {
		t.Errorf("%+v", d)
	}
	if d := now["optics.circle_pixels"]; d.Now != 2 || d.Changed {
		t.Errorf("what is divided by was set to 0: %+v", d)
	}
	if d := now["schedule.slack"]; d.Now != 0 || !d.Changed {
		t.Errorf("%+v", d)
	}
	var wrong []string
	for _, f := range told.Findings {
		if f.Topic == OfDefaults {
			wrong = append(wrong, f.About)
		}
	}
	if want := []string{"optics.circle_pixels", "light.no_such"}; !slices.Equal(wrong, want) {
		t.Errorf("complained of %v, want %v", wrong, want)
	}
}

func TestEmptyPlan(t *testing.T) {
	told := Compute(Plan{}, Known{})
	if len(told.Findings) == 0 {
		t.Fatal("nothing is said of an empty plan")
	}
	for _, f := range told.Findings {
		if f.Answer == Fails {
			t.Errorf("%+v: a verdict on nothing", f)
		}
	}
	for name, v := range map[string]Verdict{
		"song": told.Song.Verdict, "room": told.Room.Verdict, "sun": told.Sun.Verdict, "power": told.Power.Verdict, "cards": told.Cards.Verdict,
		"batteries": told.Battery.Verdict, "day": told.Day.Verdict, "coverage": told.Coverage.Verdict, "hours": told.Hours.Verdict,
	} {
		if v.Answer != Unknown || v.Say == "" {
			t.Errorf("%s: %+v", name, v)
		}
	}
	if _, err := json.Marshal(told); err != nil {
		t.Error(err)
	}
	for _, d := range told.Defaults {
		if d.Source == "" || d.From == "" || d.Changed || d.Now != d.Value {
			t.Errorf("%+v", d)
		}
	}
}
