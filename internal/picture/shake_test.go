package picture

import (
	"math"
	"testing"
)

// along returns the shifts of a camera that is at place(t).
func along(seconds, perSecond float64, place func(t float64) float64) []shift {
	out := make([]shift, int(seconds*perSecond))
	for i := range out {
		a, b := place(float64(i)/perSecond), place(float64(i+1)/perSecond)
		out[i] = shift{b - a, 0.5 * (b - a), true}
	}
	return out
}

// The camera moves half as far down as across.
var both = math.Hypot(1, 0.5)

func TestMovements(t *testing.T) {
	wave := func(hz, size float64) func(float64) float64 {
		return func(t float64) float64 { return size * math.Sin(2*math.Pi*hz*t) }
	}
	for _, c := range []struct {
		name              string
		place             func(t float64) float64
		move, shake       float64
		moveOff, shakeOff float64
	}{
		{"a stand", func(float64) float64 { return 0.3 }, 0, 0, 1e-12, 1e-12},
		{"an even lead", func(t float64) float64 { return 0.1 * t }, 0.1 * both, 0, 1e-9, 1e-9},
		// The root mean square of a sine is its size by the root of 2. The parabola
		// follows what is quick by a fifth either way at the most.
		{"quick shaking", wave(1.7, 0.02), 0, 0.02 * both / math.Sqrt2, 0.02, 0.0035},
		// The parabola takes the speed of a sway a fifth too low.
		{"slow sway", wave(0.2, 0.03), 0.03 * 0.2 * 4 * both, 0, 0.007, 0.0015},
	} {
		for _, perSecond := range []float64{5, 25} {
			got := movements(along(12, perSecond, c.place), perSecond)
			meanMove, n := 0.0, 0.0
			for _, m := range got[int(2*perSecond):int(10*perSecond)] {
				if !m.known {
					t.Fatalf("%s: not known", c.name)
				}
				meanMove += m.move
				n++
				if math.Abs(m.shake-c.shake) > c.shakeOff {
					t.Errorf("%s at %v a second: a shake of %v, want %v", c.name, perSecond, m.shake, c.shake)
					break
				}
			}
			if math.Abs(meanMove/n-c.move) > c.moveOff {
				t.Errorf("%s at %v a second: moves %v, want %v", c.name, perSecond, meanMove/n, c.move)
			}
		}
	}
}

func TestMovementsNotKnown(t *testing.T) {
	still := func(float64) float64 { return 0 }
	if got := movements(nil, 5); len(got) != 1 || got[0].known {
		t.Errorf("one picture: %+v", got)
	}
	shifts := along(10, 5, still)
	shifts[25].known = false
	for i, m := range movements(shifts, 5) {
		// Picture 25 ends the first stretch and 26 begins the second; each is long enough.
		if !m.known {
			t.Errorf("picture %d is not known", i)
		}
	}
	shifts[29].known = false // from 26 to 29 is too short
	for i, m := range movements(shifts, 5) {
		if want := i < 26 || i > 29; m.known != want {
			t.Errorf("picture %d: known %v, want %v", i, m.known, want)
		}
	}
}

func TestFit(t *testing.T) {
	want := parabola{2, -0.5, 0.25}
	var v []float64
	for i := -4; i <= 4; i++ {
		v = append(v, want.at(float64(i)))
	}
	got := fit(v)
	if math.Abs(got.a-want.a)+math.Abs(got.b-want.b)+math.Abs(got.c-want.c) > 1e-12 {
		t.Errorf("%+v, want %+v", got, want)
	}
	if got.slope(2) != got.b+4*got.c {
		t.Errorf("slope %v", got.slope(2))
	}
	// The weights of a parabola through 5 values at its middle are -3, 12, 17, 12, -3
	// of 35 [SavitzkyGolay1964].
	for i, w := range []float64{-3, 12, 17, 12, -3} {
		one := make([]float64, 5)
		one[i] = 35
		if got := fit(one).a; math.Abs(got-w) > 1e-9 {
			t.Errorf("value %d weighs %v, want %v", i, got, w)
		}
	}
}
