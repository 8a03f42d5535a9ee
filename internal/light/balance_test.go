package light

import (
	"math"
	"strings"
	"testing"
)

var exposure = Exposure{Stop: 2, Seconds: 1.0 / 50, ISO: 800} // wants 62.5 lx

// panel is a soft disc that gives 200 lx at 1 m at its least.
func panel() Lamp {
	return Lamp{Name: "soft panel", Role: Key, LeastLux: 200, MostLux: 3000, RadiusM: 0.45, DistanceM: 1.4}
}

func judge(t *testing.T, s Scene) Balance {
	t.Helper()
	b, err := s.Judge(Usual())
	if err != nil {
		t.Fatal(err)
	}
	return b
}

func only(t *testing.T, b Balance) Fault {
	t.Helper()
	if len(b.Faults) != 1 {
		t.Fatalf("%d faults: %+v", len(b.Faults), b.Faults)
	}
	return b.Faults[0]
}

// TestOverStrongLamp is a worked example of the trade: a panel at the bottom of
// its dial while lamps in the picture are right.
func TestOverStrongLamp(t *testing.T) {
	f := only(t, judge(t, Scene{exposure, []Lamp{panel()}, []Practical{{Name: "bulb on the shelf"}}}))
	want := "111 lx against 62.5: +0.8 stop ratio fault; move to 1.91 m, or one-stop net (-0.2). Lower ISO won't help: practicals fall with it."
	if f.Words != want {
		t.Errorf("%s\nwant\n%s", f.Words, want)
	}
	near(t, "off", f.OffStops, 0.83, 0.005)
	if f.DialEnd != "bottom" {
		t.Errorf("the dial is at its %q", f.DialEnd)
	}
	// What a fix promises is what a meter reads afterwards.
	moved := panel()
	moved.DistanceM = 1.91
	near(t, "moved", moved.Lux(), 62.5, 0.1)
	netted := panel()
	netted.Filters = []Filter{{Name: "net", Stops: -1}}
	near(t, "netted", StopsOf(netted.Lux()/62.5), f.Fixes[1].Left, 1e-9)
}

func TestFixesAreOrderedByEffort(t *testing.T) {
	over := panel()
	over.DialLux = 400
	s := Scene{exposure, []Lamp{over}, []Practical{{Name: "bulb"}}}
	f := only(t, judge(t, s))
	var deeds []Deed
	for _, x := range f.Fixes {
		deeds = append(deeds, x.Do)
		if math.Abs(x.Left) >= math.Abs(f.OffStops) {
			t.Errorf("%s makes it worse: %+.2f", x.Words, x.Left)
		}
	}
	// The dial reaches down by a stop, of 1.83.
	if got, want := join(deeds), "move net diffusion practicals"; got != want {
		t.Errorf("%s, want %s", got, want)
	}
	if !strings.Contains(f.Words, "dial to its bottom and move to 1.91 m") {
		t.Error(f.Words)
	}
	over.DialLux, over.LeastLux = 400, 100
	s.Lamps[0] = over
	f = only(t, judge(t, s))
	if f.Fixes[0].Words != "dial to 112 lx at 1 m" || f.DialEnd != "" {
		t.Errorf("%+v", f.Fixes[0])
	}
	over.DialLux = 112.4
	s.Lamps[0] = over
	if b := judge(t, s); len(b.Faults) != 0 {
		t.Errorf("dialled, it is still %+v", b.Faults)
	}
}

func join(deeds []Deed) string {
	words := make([]string, len(deeds))
	for i, d := range deeds {
		words[i] = string(d)
	}
	return strings.Join(words, " ")
}

func TestTooWeakAtTheTop(t *testing.T) {
	weak := Lamp{Name: "clip lamp", Role: Key, LeastLux: 10, MostLux: 60, DialLux: 60, DistanceM: 2, Filters: []Filter{{Name: "quarter diffusion", Stops: -0.6}}}
	f := only(t, judge(t, Scene{exposure, []Lamp{weak}, []Practical{{Name: "bulb"}}}))
	if f.DialEnd != "top" || f.OffStops > 0 {
		t.Errorf("%+v", f)
	}
	if got, want := join([]Deed{f.Fixes[0].Do, f.Fixes[1].Do, f.Fixes[2].Do, f.Fixes[3].Do}), "move filter off other lamp practicals"; got != want {
		t.Errorf("%s, want %s", got, want)
	}
	near(t, "nearer", At(60, 1, 0, 0.8)*Times(-0.6), 62.5, 1) // by hand: 2 m x 2^(-2.66/2)
	if !strings.Contains(f.Words, "move to 0.80 m") || !strings.HasSuffix(f.Words, "Higher ISO won't help: practicals rise with it.") {
		t.Error(f.Words)
	}
}

func TestTheRoomEndsTheMove(t *testing.T) {
	l := panel()
	l.FurthestM = 1.5
	f := only(t, judge(t, Scene{exposure, []Lamp{l}, []Practical{{Name: "bulb"}}}))
	if f.Fixes[0].Words != "move to 1.50 m" {
		t.Fatalf("%+v", f.Fixes[0])
	}
	near(t, "left", f.Fixes[0].Left, StopsOf(At(200, 1, 0.45, 1.5)/62.5), 1e-9)
	if !strings.Contains(f.Words, "fault; one-stop net (-0.2), or half diffusion (-0.2).") {
		t.Error(f.Words)
	}
}

func TestLevelFault(t *testing.T) {
	fill := Lamp{Name: "board", Role: Fill, LeastLux: 2 * 62.5 / Times(1.75), DistanceM: 1}
	key := Lamp{Name: "lamp", Role: Key, LeastLux: 125, DistanceM: 1}
	for name, s := range map[string]Scene{
		"one lamp":           {exposure, []Lamp{key}, nil},
		"all lamps alike":    {exposure, []Lamp{key, fill}, nil},
		"practicals as well": {exposure, []Lamp{key, fill}, []Practical{{Name: "bulb", OffStops: 1}}},
	} {
		f := only(t, judge(t, s))
		if f.Kind != LevelFault || f.Words != "+1.0 stop level fault: everything is off alike; ISO 400, or f/2.8." {
			t.Errorf("%s: %s %s", name, f.Kind, f.Words)
		}
		if f.Fixes[2].Words != "a grey filter of 1 stop" {
			t.Errorf("%s: %+v", name, f.Fixes)
		}
	}
	// Too dark behind a grey filter: that comes off.
	e := exposure
	e.NDStops = 2
	f := only(t, judge(t, Scene{e, []Lamp{key}, nil}))
	if f.Words != "-1.0 stop level fault: everything is off alike; ISO 1600, or f/1.4." || f.Fixes[2].Words != "a grey filter of 1 stop" {
		t.Errorf("%s %+v", f.Words, f.Fixes)
	}
}

// TestLevelAndRatio: practicals a stop over, the key two: the camera takes one,
// the lamp the other.
func TestLevelAndRatio(t *testing.T) {
	key := Lamp{Name: "lamp", Role: Key, LeastLux: 250, DistanceM: 1}
	b := judge(t, Scene{exposure, []Lamp{key}, []Practical{{Name: "bulb", Luminance: 25, WishedStops: 2}}})
	// The middle tone is 12.5 x 4 x 50 / 800 = 3.125 cd/m²: the bulb lies 3 stops over it.
	near(t, "level", b.LevelStops, 1, 1e-9)
	if len(b.Faults) != 2 || b.Faults[0].Kind != LevelFault || b.Faults[1].Kind != RatioFault {
		t.Fatalf("%+v", b.Faults)
	}
	near(t, "ratio", b.Faults[1].OffStops, 1, 1e-9)
	if !strings.HasPrefix(b.Faults[1].Words, "250 lx against 125: +1.0 stop ratio fault; move to 1.41 m, or one-stop net.") {
		t.Error(b.Faults[1].Words)
	}
}

// TestOneOfThreeIsOff: key and fill are right, the back light is what is off.
func TestOneOfThreeIsOff(t *testing.T) {
	b := judge(t, Scene{exposure, []Lamp{
		{Name: "key", Role: Key, LeastLux: 62.5, DistanceM: 1},
		{Name: "fill", Role: Fill, LeastLux: 62.5 / Times(1.75), DistanceM: 1},
		{Name: "rim", Role: Back, LeastLux: 250, DistanceM: 1},
	}, nil})
	f := only(t, b)
	if f.Lamp != "rim" || f.Kind != RatioFault || !strings.HasSuffix(f.Words, "Lower ISO won't help: the other lamps fall with it.") {
		t.Errorf("%+v", f)
	}
	stops, ok := b.Between(Key, Back)
	near(t, "key over back", stops, -2, 1e-9)
	if _, ok2 := judge(t, Scene{exposure, []Lamp{panel()}, nil}).Between(Key, Fill); !ok || ok2 {
		t.Errorf("%v %v", ok, ok2)
	}
}

// TestOnePracticalIsOff: two bulbs are right, a third is not, and says so alone.
func TestOnePracticalIsOff(t *testing.T) {
	key := Lamp{Name: "key", Role: Key, LeastLux: 62.5, DistanceM: 1}
	f := only(t, judge(t, Scene{exposure, []Lamp{key}, []Practical{{Name: "a"}, {Name: "b", OffStops: 2}, {Name: "c", OffStops: 0.2}}}))
	near(t, "off", f.OffStops, 2, 1e-9) // the others count as right
	if f.Lamp != "b" || f.Words != "+2.0 stop ratio fault; dim it by 2 stops." {
		t.Errorf("%+v", f)
	}
}

// TestPracticalsFollowOnlyAllLamps: where the key is right and the fill is not,
// other practicals do not help.
func TestPracticalsFollowOnlyAllLamps(t *testing.T) {
	f := only(t, judge(t, Scene{exposure, []Lamp{
		{Name: "key", Role: Key, LeastLux: 62.5, DistanceM: 1},
		{Name: "fill", Role: Fill, LeastLux: 62.5, DistanceM: 1, MeasuredM: 2}, // 250 lx at 1 m
	}, []Practical{{Name: "bulb"}}}))
	near(t, "off", f.OffStops, 3.75, 1e-9)
	for _, x := range f.Fixes {
		if x.Do == TurnPracticals {
			t.Error(x.Words)
		}
	}
}

// TestNothingIsEnough: a corner without way, and things to hang that take too
// little.
func TestNothingIsEnough(t *testing.T) {
	l := Lamp{Name: "lamp", Role: Key, LeastLux: 62.5 * 32, DistanceM: 1, FurthestM: 1.2}
	s := Scene{exposure, []Lamp{l}, []Practical{{Name: "a"}}}
	s.Lamps = append(s.Lamps, Lamp{Name: "fill", Role: Fill, LeastLux: 62.5 / Times(1.75), DistanceM: 1})
	f := only(t, judge(t, s))
	if !strings.Contains(f.Words, "; bounce off white card (+2.8), which is not enough.") {
		t.Error(f.Words)
	}
	e := exposure
	e.NDStops = 1
	level := only(t, judge(t, Scene{e, []Lamp{{Role: Key, LeastLux: 62.5, DistanceM: 1}}, nil}))
	if level.Fixes[2].Words != "the grey filter off" {
		t.Errorf("%+v", level.Fixes)
	}
}

// TestTwoReadingsOfTheRatio: key 800 lux, fill 200 lux (common practice).
func TestTwoReadingsOfTheRatio(t *testing.T) {
	b := judge(t, Scene{exposure, []Lamp{
		{Role: Key, LeastLux: 800, DistanceM: 1}, {Role: Fill, LeastLux: 200, DistanceM: 1},
	}, nil})
	stops, _ := b.Between(Key, Fill)
	near(t, "key to fill", stops, 2, 0.0005)
	near(t, "lit to shadow", LitToShadow(800, 200), 5, 1e-9)
	near(t, "in stops", StopsOf(LitToShadow(800, 200)), 2.322, 0.0005)
}

func TestScenesThatCannotBeJudged(t *testing.T) {
	good := panel()
	for name, s := range map[string]Scene{
		"no lamp":     {exposure, nil, nil},
		"no exposure": {Exposure{}, []Lamp{good}, nil},
		"no role":     {exposure, []Lamp{{LeastLux: 1, DistanceM: 1}}, nil},
		"no light":    {exposure, []Lamp{{Role: Key, DistanceM: 1}}, nil},
		"nowhere":     {exposure, []Lamp{{Role: Key, LeastLux: 1}}, nil},
		"dial":        {exposure, []Lamp{{Role: Key, LeastLux: 5, MostLux: 1, DistanceM: 1}}, nil},
		"practical":   {exposure, []Lamp{good}, []Practical{{Luminance: -1}}},
	} {
		if _, err := s.Judge(Usual()); err == nil {
			t.Errorf("%s is judged", name)
		}
	}
}
