package plan

import (
	"encoding/json"
	"math"
	"strings"
	"testing"

	"takeweave/internal/film"
	"takeweave/internal/light"
	"takeweave/internal/optics"
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
	if _, err := json.Marshal(told); err != nil {
		t.Error(err)
	}
	for _, d := range told.Defaults {
		if d.Source == "" || d.From == "" || d.Changed || d.Now != d.Value {
			t.Errorf("%+v", d)
		}
	}
}
