package light

import (
	"math"
	"testing"
)

// TestDistance: a bare point, stops against 1 m, by the inverse square.
func TestDistanceOfAPoint(t *testing.T) {
	for d, want := range map[float64]float64{0.5: 2, math.Sqrt(0.5): 1, math.Sqrt2: -1, 2: -2, math.Sqrt(8): -3, 3: -3.1699, 4: -4} {
		near(t, "stops", StopsOf(At(1, 1, 0, d)), want, 0.00005)
	}
}

// TestDistanceOfADisc: the law against light added up over the disc's face, each
// part with the cosines at both ends.
func TestDistanceOfADisc(t *testing.T) {
	const r = 0.45
	added := func(d float64) float64 {
		const rings = 20000
		sum := 0.0
		for i := range rings {
			x := (float64(i) + 0.5) / rings * r
			away2 := d*d + x*x
			sum += 2 * math.Pi * x * (r / rings) * d * d / (away2 * away2)
		}
		return sum
	}
	for _, d := range []float64{0.3, 0.7, 1.4, 1.909, 5} {
		near(t, "against 1 m", At(1, 1, r, d), added(d)/added(1), 1e-6)
	}
	near(t, "measured elsewhere", At(At(200, 1, r, 2.2), 2.2, r, 1), 200, 1e-9)
}

// TestSupposedLamps: 100 lm/W over a cone of 120 degrees, or 80 % of it over 55
// (common practice), worked out by hand and rounded to tens.
func TestSupposedLamps(t *testing.T) {
	for _, c := range []struct{ watts, bare, reflector float64 }{
		{60, 1910, 6760}, {100, 3180, 11270}, {200, 6370, 22540}, {300, 9550, 33810},
	} {
		near(t, "bare", Usual().Supposed(c.watts, 120, 1), c.bare, 5)
		near(t, "reflector", Usual().Supposed(c.watts, 55, 0.8), c.reflector, 5)
	}
}

// TestOnPlane: lamps at known angles, by the cosine.
func TestOnPlane(t *testing.T) {
	lamps := []Lamp{
		{Role: Key, LeastLux: 100, DistanceM: 1, BearingDeg: 60},
		{Role: Fill, LeastLux: 80, DistanceM: 2, BearingDeg: -60},
		{Role: Back, LeastLux: 1000, DistanceM: 1, BearingDeg: 180},
	}
	near(t, "towards the camera", OnPlane(lamps, 0), 0.5*100+0.5*20, 1e-9)
	near(t, "towards the key", OnPlane(lamps, 60), 100, 1e-9) // the others lie behind
	near(t, "from behind", OnPlane(lamps, 180), 1000, 1e-9)
	lamps[0].ElevationDeg = 60
	near(t, "from above", OnPlane(lamps, 60), 50, 1e-9)
}
