package light

import (
	"math"
	"math/rand/v2"
	"testing"
)

// TestFixesKeepTheirWord does what every fix says, in lamps and rooms by chance,
// and reads the light again: what is left is what was said.
func TestFixesKeepTheirWord(t *testing.T) {
	random := rand.New(rand.NewPCG(5, 6))
	between := func(low, high float64) float64 { return low + (high-low)*random.Float64() }
	done := map[Deed]int{}
	for range 500 {
		l := Lamp{
			Role: Key, LeastLux: between(10, 400), MeasuredM: between(0.5, 2), RadiusM: between(0, 0.6),
			DistanceM: between(0.5, 3), FurthestM: 3.5, Filters: []Filter{{Name: "cloth", Stops: -1}},
		}
		l.MostLux = l.LeastLux * between(1, 8)
		l.DialLux = between(l.LeastLux, l.MostLux)
		s := Scene{exposure, []Lamp{l}, []Practical{{}}}
		for _, f := range judge(t, s).Faults {
			for _, x := range f.Fixes {
				after, wanted := follow(s, f, x)
				near(t, string(x.Do), StopsOf(after.Lamps[0].Lux()/after.Exposure.Lux(250)), x.Left+wanted, 1e-9)
				done[x.Do]++
			}
		}
	}
	for _, do := range []Deed{TurnDial, MoveLamp, HangNet, HangDiffusion, Bounce, TakeFilter, OtherLamp, TurnPracticals} {
		if done[do] == 0 {
			t.Errorf("%s was never tried", do)
		}
	}
}

// follow does what a fix says; practicals that follow the lamp leave it by so many
// stops where it was.
func follow(s Scene, f Fault, x Fix) (after Scene, wanted float64) {
	l := s.Lamps[0]
	switch f.DialEnd {
	case "bottom":
		l.DialLux = l.LeastLux
	case "top":
		l.DialLux = l.MostLux
	}
	switch x.Do {
	case TurnDial:
		l.DialLux = x.Value
	case MoveLamp:
		l.DistanceM = x.Value
	case HangNet, HangDiffusion, Bounce:
		l.Filters = append(l.Filters[:1:1], Filter{Stops: x.Value})
	case TakeFilter:
		l.Filters = nil
	case OtherLamp:
		l.LeastLux, l.MostLux, l.DialLux = x.Value, x.Value, x.Value
	case TurnPracticals:
		l, wanted = s.Lamps[0], x.Value
	}
	s.Lamps = []Lamp{l}
	return s, wanted
}

// TestCameraFixesKeepTheirWord: the same at the camera.
func TestCameraFixesKeepTheirWord(t *testing.T) {
	for _, off := range []float64{-3.3, -1.2, -0.5, 0.4, 0.9, 2.5, 6} {
		e := Exposure{Stop: 2.8, Seconds: 1.0 / 50, ISO: 800, NDStops: 2}
		before := StopsOf(e.Lux(250)) + off // what there is
		for _, x := range e.cameraFixes(off) {
			after := e
			switch x.Do {
			case SetISO:
				after.ISO = x.Value
			case SetStop:
				after.Stop = x.Value
			case SetND:
				after.NDStops = x.Value
			}
			near(t, x.Words, before-StopsOf(after.Lux(250)), x.Left, 1e-9)
			if x.Do != SetND && math.Abs(off) <= 2.5 && math.Abs(x.Left) > 1.0/3+0.05 { // engraved steps, see optics
				t.Errorf("%s leaves %.2f of %.2f", x.Words, x.Left, off)
			}
		}
	}
	if got := cheapest(nil, 1); got != "nothing here helps" {
		t.Error(got)
	}
}
