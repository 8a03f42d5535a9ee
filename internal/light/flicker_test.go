package light

import (
	"math"
	"math/rand/v2"
	"testing"

	"takeweave/internal/film"
)

// TestSafeAngles: angles of whole pulses, computed; those for 25 pictures a second
// on 60 Hz are printed in a tutorial on lights of a set.
func TestSafeAngles(t *testing.T) {
	for _, c := range []struct {
		rate             film.Rate
		on50, on60       []float64
		beat50, beat60   float64
		digits, tolerate float64
	}{
		{film.Rate{Num: 24000, Den: 1001}, []float64{86.31, 172.63, 258.94, 345.25}, []float64{71.93, 143.86, 215.78, 287.71, 359.64}, 4.096, 0.120, 0.00501, 0.0005},
		{film.Rate{Num: 24, Den: 1}, []float64{86.40, 172.80, 259.20, 345.60}, []float64{72, 144, 216, 288, 360}, 4, 0, 0.00501, 1e-9},
		{film.Rate{Num: 25, Den: 1}, []float64{90, 180, 270, 360}, []float64{75, 150, 225, 300}, 0, 5, 1e-9, 1e-9},
		{film.Rate{Num: 30000, Den: 1001}, []float64{107.89, 215.78, 323.68}, []float64{89.91, 179.82, 269.73, 359.64}, 10.09, 0.120, 0.00501, 0.005},
		{film.Rate{Num: 30, Den: 1}, []float64{108, 216, 324}, []float64{90, 180, 270, 360}, 10, 0, 1e-9, 1e-9},
		{film.Rate{Num: 50, Den: 1}, []float64{180, 360}, []float64{150, 300}, 0, 20, 1e-9, 1e-9},
		{film.Rate{Num: 60, Den: 1}, []float64{216}, []float64{180, 360}, 20, 0, 1e-9, 1e-9},
	} {
		near(t, "beat on 50 Hz", BeatHz(50, c.rate), c.beat50, c.tolerate)
		near(t, "beat on 60 Hz", BeatHz(60, c.rate), c.beat60, c.tolerate)
		for mains, want := range map[float64][]float64{50: c.on50, 60: c.on60} {
			got := SafeDegrees(mains, c.rate)
			if len(got) != len(want) {
				t.Errorf("%v on %g Hz: %v, want %v", c.rate, mains, got, want)
				continue
			}
			for i := range got {
				near(t, "angle", got[i], want[i], c.digits)
			}
		}
	}
	for i, want := range []float64{1.0 / 120, 1.0 / 60, 1.0 / 40, 1.0 / 30, 1.0 / 24} {
		near(t, "on 60 Hz", SafeSeconds(60, 1.0/24)[i], want, 1e-12)
	}
}

// TestRipple: what a sine leaves in an exposure, computed by hand.
func TestRipple(t *testing.T) {
	for _, c := range []struct{ per, pulse, r, stops, weak float64 }{
		{48, 100, 0.03954, 0.1142, 0.0114},
		{60, 100, 0.16540, 0.4817, 0.0477},
		{125, 100, 0.23387, 0.6875, 0.0675},
		{50, 120, 0.12614, 0.3659, 0.0364},
		{250, 120, 0.66184, 2.2970, 0.1913},
		{50, 100, 0, 0, 0},
		{60, 120, 0, 0, 0},
	} {
		r := Ripple(1/c.per, c.pulse, 1)
		near(t, "ripple", r, c.r, 0.0000051)
		near(t, "stops", SwingStops(r), c.stops, 0.000051)
		near(t, "at a tenth", SwingStops(Ripple(1/c.per, c.pulse, 0.1)), c.weak, 0.00006) // one was worked out from a rounded ripple
	}
	// A sensor of 1080 rows read in 1/60 s, 100 Hz: 648 rows to a band.
	near(t, "rows", BandRows(100, 1.0/60/1080), 648, 1e-9)
}

func TestShutterInWords(t *testing.T) {
	fps := func(n int64) film.Rate { return film.Rate{Num: n, Den: 1} }
	for _, c := range []struct {
		per   float64
		rate  film.Rate
		mains float64
		want  string
	}{
		{50, fps(25), 50, "1/50 s on 50 Hz is safe"},
		{48, fps(24), 50, "1/48 s on 50 Hz: bands of up to 0.11 stops, 4 times a second; 1/50 s (172.8 degrees) is safe"},
		{50, fps(30), 60, "1/50 s on 60 Hz: every picture is alike, but bands of up to 0.37 stops may stand in it; 1/60 s (180.0 degrees) is safe"},
		{250, fps(120), 50, "1/250 s on 50 Hz: bands of up to 2.85 stops, 20 times a second; no shutter is safe at this rate"}, // r = sin(0.4 pi) / 0.4 pi = 0.757
	} {
		got := Usual().CheckShutter(1/c.per, c.rate, c.mains)
		if got.Words != c.want {
			t.Errorf("%s\nwant\n%s", got.Words, c.want)
		}
	}
}

// TestIEEE1789: limits of [IEEE1789] as a lighting engineer's page gives them.
func TestIEEE1789(t *testing.T) {
	near(t, "modulation", Modulation(3, 1), 50, 1e-9)
	for _, c := range []struct{ hz, low, none float64 }{
		{100, 8.0, 3.33}, {120, 9.6, 3.996}, {60, 1.5, 0.6}, {1250, 100, 41.625}, {1251, math.Inf(1), 41.6583}, {3001, math.Inf(1), math.Inf(1)},
	} {
		near(t, "low risk", LowRisk(c.hz), c.low, 1e-4)
		near(t, "no effect", NoEffect(c.hz), c.none, 1e-4)
	}
}

// TestBanding: made pictures of a shaded wall with bands of a known amplitude.
func TestBanding(t *testing.T) {
	const height, pictures, rate = 270, 250, 25.0
	wall := func(row int) float64 { return 0.4 + 0.3*float64(row)/height }
	test := func(amplitude, beatHz, noise float64) [][]float64 {
		random := rand.New(rand.NewPCG(1, 2))
		out := make([][]float64, pictures)
		for i := range out {
			out[i] = make([]float64, height)
			for j := range out[i] {
				phase := 2 * math.Pi * (beatHz*float64(i)/rate + 1.7*float64(j)/height)
				out[i][j] = wall(j) * (1 + amplitude*math.Sin(phase) + noise*random.NormFloat64())
			}
		}
		return out
	}
	safe := make([]float64, height)
	for j := range safe {
		safe[j] = wall(j)
	}
	for _, c := range []struct {
		name                   string
		amplitude, beat, noise float64
		against                []float64
		want, tolerance        float64
	}{
		{"rolling", 0.02, 5, 0, nil, 0.02, 1e-4},
		{"rolling in noise", 0.02, 5, 0.002, nil, 0.0202, 2e-4}, // root of 0.02² + 2 x 0.002²
		{"standing, seen against a safe shutter", 0.02, 0, 0, safe, 0.02, 1e-3},
		{"standing, alone", 0.02, 0, 0, nil, 0, 1e-9},
		{"none", 0, 5, 0, nil, 0, 1e-9},
	} {
		got, err := Banding(test(c.amplitude, c.beat, c.noise), c.against)
		if err != nil {
			t.Fatal(err)
		}
		near(t, c.name, got, c.want, c.tolerance)
	}
	if got, err := Banding(nil, nil); got != 0 || err != nil {
		t.Error(got, err)
	}
	for name, bad := range map[string][][]float64{"heights": {{1, 1}, {1}}, "black": {{1, 0}}} {
		if _, err := Banding(bad, nil); err == nil {
			t.Errorf("%s: no error", name)
		}
	}
}
