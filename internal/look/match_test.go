package look

import (
	"math"
	"testing"
)

// TestSimplex: Rosenbrock's valley, least at (1, 1) (common practice in testing
// such searches).
func TestSimplex(t *testing.T) {
	x := minimise(func(x []float64) float64 {
		a, b := 1-x[0], x[1]-x[0]*x[0]
		return a*a + 100*b*b
	}, []float64{-1.2, 1}, 0.5, 300)
	if !near(x[0], 1, 1e-4) || !near(x[1], 1, 1e-4) {
		t.Errorf("found %v", x)
	}
}

// TestChartColours: the chart's xyY as [Colour] has them from the same L*a*b*, and
// what L*a*b*, Bradford and sRGB give in 8 bits.
func TestChartColours(t *testing.T) {
	for i, want := range map[int][3]float64{
		1: {0.4316, 0.3777, 0.1008}, 2: {0.4197, 0.3744, 0.3495}, 19: {0.3469, 0.3608, 0.9131}, 24: {0.3406, 0.3537, 0.0311},
	} {
		v := xyzOf(chartLab[MadeBefore2014][i-1], whiteD50)
		sum := v[0] + v[1] + v[2]
		// Their white of D50 has other last digits.
		if !near(v[0]/sum, want[0], 1.5e-4) || !near(v[1]/sum, want[1], 1.5e-4) || !near(v[1], want[2], 1e-4) {
			t.Errorf("patch %d: %g %g %g, want %v", i, v[0]/sum, v[1]/sum, v[1], want)
		}
	}
	srgb := Chart(SRGB, MadeBefore2014)
	for i, want := range map[int]RGB{
		1: {115.5, 80.9, 67.4}, 6: {92.4, 189.9, 172.0}, 13: {35.4, 63.3, 147.1}, 15: {179.9, 48.7, 57.0}, 19: {244.9, 245.2, 242.7}, 22: {120.7, 121.2, 121.6},
	} {
		for c := range 3 {
			if !near(255*srgb[i-1][c], want[c], 0.2) { // white D65 in other digits
				t.Errorf("patch %d: %v, want %v", i, srgb[i-1], want)
				break
			}
		}
	}
	// The editions are alike, but not the same: "patch 1 37.54 14.37 14.92, patch 19
	// 95.19 -1.03 2.93" since November 2014 [Colour].
	apart := pairs(BT709, Chart(BT709, MadeSince2014), Chart(BT709, MadeBefore2014), Trim{})
	if apart.Mean < 0.3 || apart.Max > 3 {
		t.Errorf("the editions are apart by %+v", apart)
	}
	if srgb[17][0] >= 0 {
		t.Error("cyan has no red below 0")
	}
	for _, lab := range chartLab[MadeSince2014] {
		back := labOf(xyzOf(lab, whiteD50), whiteD50)
		if !near(back[0], lab[0], 1e-9) || !near(back[1], lab[1], 1e-9) || !near(back[2], lab[2], 1e-9) {
			t.Errorf("%v comes back as %v", lab, back)
		}
	}
}

// TestACEScctIsTheSameColours: the chart comes out alike through both encodings.
func TestACEScctIsTheSameColours(t *testing.T) {
	want := Chart(BT709, MadeSince2014)
	for i, c := range Chart(ACEScct, MadeSince2014) {
		// The adaptation from D50 goes by way of another white.
		if d := Apart(ACEScct.toBT709(c), want[i]); d > 0.05 {
			t.Errorf("patch %d is %.2f apart", i+1, d)
		}
	}
}

// setupsOff are setups that are off by known trims: undoing them is the truth.
var setupsOff = []Trim{
	{ExposureStops: -0.7, TemperatureMired: 40, Tint: -6, Saturation: -0.15},
	{ExposureStops: 0.4, TemperatureMired: -25, Tint: 4, Saturation: 0.1},
	{ExposureStops: -1.2, TemperatureMired: 80},
}

func spoil(by Trim, all []RGB) []RGB {
	f, out := trimmer(by, BT709), make([]RGB, len(all))
	for i, c := range all {
		out[i] = f(c)
	}
	return out
}

func TestMatchGrey(t *testing.T) {
	for _, off := range setupsOff {
		seen := spoil(off, []RGB{Grey18})[0]
		m, err := MatchGrey(BT709, seen, Grey18)
		if err != nil {
			t.Fatal(err)
		}
		// As rounded trims allow: 0.1 mired is about 0.02.
		if m.Before.Mean < 5 || m.After.Mean > 0.1 {
			t.Errorf("%+v: %+v", off, m)
		}
	}
}

func TestMatchChart(t *testing.T) {
	for _, off := range setupsOff {
		m, err := MatchChart(BT709, MadeBefore2014, spoil(off, Chart(BT709, MadeBefore2014)))
		if err != nil {
			t.Fatal(err)
		}
		t.Logf("%+v\n  %+v", off, m)
		// Saturation came after the light there and weakened the cast, 40 mired at
		// -15 % to about 34; it is undone after the light as well, so a trace remains.
		if m.Before.Mean < 4 || m.After.Mean > 0.6 {
			t.Errorf("%+v: %+v", off, m)
		}
		if !near(m.Trim.ExposureStops, -off.ExposureStops, 0.05) || !near(m.Trim.TemperatureMired, -off.TemperatureMired, 8) {
			t.Errorf("%+v is undone by %+v", off, m.Trim)
		}
	}
	// Logarithmic pictures are judged as BT.709, not as they are.
	off := trimmer(Trim{ExposureStops: -1, TemperatureMired: 30}, ACEScct)
	var log []RGB
	for _, c := range Chart(ACEScct, MadeBefore2014) {
		log = append(log, off(c))
	}
	m, err := MatchChart(ACEScct, MadeBefore2014, log)
	if err != nil || m.After.Mean > 0.01 || !near(m.Trim.ExposureStops, 1, 2e-3) || !near(m.Trim.TemperatureMired, -30, 0.2) {
		t.Errorf("ACEScct: %+v (%v)", m, err)
	}
	if _, err := MatchChart(BT709, MadeBefore2014, []RGB{Grey18}); err == nil {
		t.Error("one patch passes for a chart")
	}
}

// scene is pixels of a room: two thirds a brown wall in uneven light, then skin,
// a blue shirt and a lamp.
func scene(n int, seed uint64) []RGB {
	all := Colours(n, seed)
	for i, c := range all {
		light := 0.05 + 0.5*c[0]
		surface := RGB{0.5, 0.4, 0.3}
		switch i % 10 {
		case 7:
			surface = RGB{0.75, 0.5, 0.4}
		case 8:
			surface = RGB{0.2, 0.3, 0.6}
		case 9:
			surface = RGB{1, 0.9, 0.7}
		}
		for k := range surface {
			surface[k] *= light * (0.95 + 0.1*c[1])
		}
		all[i] = BT709.encode(surface)
	}
	return all
}

// TestMatchMoment: the same scene with other pixels, in a setup that is off.
func TestMatchMoment(t *testing.T) {
	wanted := scene(3000, 11)
	for _, off := range setupsOff {
		m, err := MatchMoment(BT709, spoil(off, scene(3000, 12)), wanted)
		if err != nil {
			t.Fatal(err)
		}
		t.Logf("%+v\n  %+v", off, m)
		if m.Warning != "" || m.After.Mean > 1 || m.After.Mean > m.Before.Mean/4 {
			t.Errorf("%+v: %+v", off, m)
		}
		if !near(m.Trim.ExposureStops, -off.ExposureStops, 0.1) || math.Abs(m.Trim.TemperatureMired+off.TemperatureMired) > 10 {
			t.Errorf("%+v is undone by %+v", off, m.Trim)
		}
	}
	// A close shot of the lamp and the shirt is another thing.
	var nearby []RGB
	for i, c := range wanted {
		if i%10 >= 8 {
			nearby = append(nearby, c)
		}
	}
	if m, err := MatchMoment(BT709, nearby, wanted); err != nil || m.Warning == "" || m.Trim.Saturation != 0 {
		t.Errorf("other things pass as the same: %+v (%v)", m, err)
	}
	if _, err := MatchMoment(BT709, wanted[:20], wanted); err == nil {
		t.Error("twenty pixels pass for a picture")
	}
}

// TestReadChart paints the chart into a picture and reads it back.
func TestReadChart(t *testing.T) {
	const w, h = 600, 400
	pic := &Picture{w, h, make([]float32, 3*w*h)}
	want := Chart(BT709, MadeBefore2014)
	for y := range 200 {
		for x := range 300 {
			c := want[6*(y/50)+x/50]
			at := 3 * ((y+60)*w + x + 90)
			for k := range 3 {
				pic.Pix[at+k] = float32(c[k])
			}
		}
	}
	got := ReadChart(pic, [4]Point{{90.0 / w, 60.0 / h}, {390.0 / w, 60.0 / h}, {390.0 / w, 260.0 / h}, {90.0 / w, 260.0 / h}})
	for i := range want {
		if !nearRGB(got[i], want[i], 1e-6) {
			t.Errorf("patch %d: %v, want %v", i+1, got[i], want[i])
		}
	}
}
