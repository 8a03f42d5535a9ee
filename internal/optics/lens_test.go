package optics

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// near fails the test unless got is want within a tolerance; infinities have to
// be equal.
func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if got != want && !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s: %.6g, want %.6g within %g", what, got, want, tolerance)
	}
}

func TestFieldOfView(t *testing.T) {
	// Source: 2 atan(d / 2f); the 36 x 24 rows for 24, 35, 50, 85 and 135 mm are
	// those of B. Claff, "Angle of View Values for Common Focal Lengths" (2006),
	// which prints one decimal; the others are worked out from the formula.
	// Horizontal, vertical, diagonal, and vertical of a full-width 16:9 part.
	focal := []float64{16, 24, 35, 50, 85, 135}
	for _, c := range []struct {
		sensor Sensor
		want   [6][4]float64
	}{
		{Sensor{36, 24}, [6][4]float64{
			{96.73, 73.74, 107.03, 64.65},
			{73.74, 53.13, 84.06, 45.75},
			{54.43, 37.85, 63.44, 32.27},
			{39.60, 26.99, 46.79, 22.90},
			{23.91, 16.07, 28.56, 13.59},
			{15.19, 10.16, 18.21, 8.58},
		}},
		{Sensor{24.89, 18.66}, [6][4]float64{
			{75.75, 60.50, 88.38, 47.26},
			{54.82, 42.49, 65.89, 32.52},
			{39.15, 29.85, 47.92, 22.62},
			{27.95, 21.14, 34.56, 15.94},
			{16.66, 12.53, 20.74, 9.42},
			{10.53, 7.91, 13.14, 5.94},
		}},
		{Sensor{23.5, 15.6}, [6][4]float64{
			{72.59, 51.98, 82.79, 44.89},
			{52.17, 36.01, 60.88, 30.79},
			{37.12, 25.13, 43.89, 21.39},
			{26.45, 17.73, 31.50, 15.06},
			{15.74, 10.49, 18.84, 8.89},
			{9.95, 6.61, 11.93, 5.61},
		}},
		{Sensor{17.3, 13}, [6][4]float64{
			{56.79, 44.22, 68.14, 33.83},
			{39.64, 30.31, 48.53, 22.92},
			{27.76, 21.04, 34.36, 15.83},
			{19.63, 14.81, 24.42, 11.12},
			{11.62, 8.75, 14.51, 6.55},
			{7.33, 5.51, 9.16, 4.13},
		}},
	} {
		wide := c.sensor.Part(16.0 / 9)
		for i, f := range focal {
			sides := []float64{c.sensor.WidthMM, c.sensor.HeightMM, c.sensor.DiagonalMM(), wide.HeightMM}
			for j, side := range sides {
				near(t, "view", ViewDeg(side, f), c.want[i][j], 0.005+1e-9) // two decimals
			}
		}
	}
	claff := map[float64][3]float64{24: {73.7, 53.1, 84.1}, 35: {54.4, 37.8, 63.4}, 50: {39.6, 27.0, 46.8}, 85: {23.9, 16.1, 28.6}, 135: {15.2, 10.2, 18.2}}
	for f, want := range claff {
		full := Sensor{36, 24}
		for j, side := range []float64{full.WidthMM, full.HeightMM, full.DiagonalMM()} {
			near(t, "printed view", ViewDeg(side, f), want[j], 0.06) // one decimal, as printed
		}
	}
}

func TestFormats(t *testing.T) {
	// Worked out: diagonal, factor by diagonal, factor by width, height of a
	// full-width 16:9 part.
	for i, want := range [][4]float64{{43.267, 1, 1, 20.25}, {31.108, 1.391, 1.446, 14.001}, {28.207, 1.534, 1.532, 13.219}, {21.640, 1.999, 2.081, 9.731}} {
		s := Formats[i].Sensor
		near(t, "diagonal", s.DiagonalMM(), want[0], 0.0005)
		near(t, "factor by diagonal", Formats[0].Sensor.DiagonalMM()/s.DiagonalMM(), want[1], 0.0005)
		near(t, "factor by width", Formats[0].Sensor.WidthMM/s.WidthMM, want[2], 0.0005)
		near(t, "16:9 height", s.Part(16.0/9).HeightMM, want[3], 0.0006)
	}
}

func TestFieldInFocus(t *testing.T) {
	// Worked out by the thin lens: side (s - f) / f.
	for _, c := range []struct{ w, h, f, s, wantW, wantH float64 }{
		{36, 20.25, 50, 2000, 1404.0, 789.8},
		{36, 20.25, 35, 2500, 2535.4, 1426.2},
		{24.89, 14.00, 35, 2500, 1753.0, 986.0},
		{17.3, 9.73, 50, 2000, 674.7, 379.5},
	} {
		l := Lens{FocalMM: c.f, FocusMM: c.s}
		near(t, "width", l.FieldMM(c.w, c.s), c.wantW, 0.06)
		near(t, "height", l.FieldMM(c.h, c.s), c.wantH, 0.06)
	}
	for _, c := range []struct{ f, h, wanted, s float64 }{{50, 20.25, 600, 1531.48}, {85, 20.25, 450, 1973.89}, {35, 14.00, 1900, 4785.0}} {
		near(t, "distance", FocusFor(c.f, c.h, c.wanted), c.s, 0.06)
	}
}

func TestHyperfocal(t *testing.T) {
	for _, c := range []struct {
		source              string
		f, n, circle        float64
		with, without, near float64 // mm; 0 is not published
	}{
		{"the usual encyclopaedia's example: 10 467 and 10 417 mm, half of it 5 233", 50, 8, 0.03, 10466.67, 10416.67, 5233.33},
		{"its other lenses, worked out", 50, 16, 0.03, 5258.33, 0, 0},
		{"its other lenses, worked out", 25, 8, 0.03, 2629.17, 0, 0},
		{"a calculator forum's worked value, 3.75 m", 35, 11, 0.03, 3747.12, 0, 0},
		{"worked out", 50, 2.8, 0.030, 29811.9, 0, 0},
		{"worked out", 50, 1.8, 0.030, 46346.3, 0, 0},
		{"worked out", 85, 2.0, 0.030, 120501.7, 0, 0},
		{"worked out", 85, 1.8, 0.030, 133881.3, 0, 0},
		{"worked out", 35, 4.0, 0.025, 12285.0, 0, 0},
		{"worked out", 25, 2.8, 0.015, 14906.0, 0, 0},
		{"worked out", 24, 2.8, 0.030, 6881.1, 0, 0},
	} {
		l := Lens{FocalMM: c.f, Stop: c.n}
		h := l.HyperfocalMM(c.circle)
		near(t, c.source, h, c.with, 0.06)
		if c.without > 0 {
			near(t, c.source, h-c.f, c.without, 0.006)
			l.FocusMM = h
			nearest, far := l.SharpMM(c.circle)
			near(t, c.source, nearest, c.near, 0.006)
			if far < 1e9 { // infinite but for the last bit of the focus distance
				t.Errorf("focused at the hyperfocal distance far is %g", far)
			}
		}
	}
	// Source: a film maker's reference guide, 50 mm, circle 0.001 inch, in feet,
	// without the focal length. Engraved f-numbers, one decimal.
	stops := []float64{1.4, 2, 2.8, 4, 5.6, 8, 11, 16, 22, 32}
	feet := []float64{230.7, 161.5, 115.3, 80.7, 57.7, 40.4, 29.4, 20.2, 14.7, 10.1}
	for i, n := range stops {
		l := Lens{FocalMM: 50, Stop: n}
		near(t, "printed in feet", (l.HyperfocalMM(0.0254)-50)/304.8, feet[i], 0.051)
	}
}

func TestSharp(t *testing.T) {
	inf := math.Inf(1)
	const foot = 304.8
	for _, c := range []struct {
		source             string
		f, n, circle, s    float64
		near, far, rounded float64
	}{
		// Source: documentation of an open maths library, reference "dof", exact
		// form, 4 m at f/8, in metres to five decimals (here mm).
		{"maths library", 28, 8, 0.03, 4000, 1805.12, inf, 0.006},
		{"maths library", 35, 8, 0.03, 4000, 2251.22, 17922.46, 0.006},
		{"maths library", 50, 8, 0.03, 4000, 2900.23, 6443.30, 0.006},
		{"maths library", 85, 8, 0.03, 4000, 3539.67, 4597.96, 0.006},
		// Source: an article on depth of field by a photographic publisher, 50 mm,
		// f/4, 10 ft: 8 ft 9 in to 11 ft 8 in; for 0.019 mm 9 ft 2 in to 11 ft 0 in.
		{"article", 50, 4, 0.03, 10 * foot, 8*foot + 9*25.4, 11*foot + 8*25.4, 0.5 * 25.4},
		{"article", 50, 4, 0.019, 10 * foot, 9*foot + 2*25.4, 11 * foot, 0.5 * 25.4},
		{"worked out", 50, 2.8, 0.030, 3000, 2729.5, 3330.1, 0.06},
		{"worked out", 50, 1.8, 0.030, 2000, 1919.2, 2087.9, 0.06},
		{"worked out", 85, 2.0, 0.030, 3000, 2929.1, 3074.4, 0.06},
		{"worked out", 85, 1.8, 0.030, 2000, 1971.8, 2029.0, 0.06},
		{"worked out", 35, 4.0, 0.025, 2500, 2081.2, 3129.8, 0.06},
		{"worked out", 25, 2.8, 0.015, 2000, 1765.7, 2306.1, 0.06},
		{"worked out", 24, 2.8, 0.030, 3000, 2092.1, 5300.4, 0.06},
	} {
		l := Lens{c.f, c.n, c.s}
		nearest, far := l.SharpMM(c.circle)
		near(t, c.source+" near", nearest, c.near, c.rounded)
		near(t, c.source+" far", far, c.far, c.rounded)
	}
}

func TestDisc(t *testing.T) {
	// Worked out: f^2 / (N (s - f)) |x - s| / x, as millimetres, share of the
	// frame's height, and pixels of 1080.
	for _, c := range []struct{ f, n, s, x, height, mm, share, px float64 }{
		{50, 2.8, 2000, 5000, 20.25, 0.2747, 0.01357, 14.65},
		{50, 2.8, 2000, math.Inf(1), 20.25, 0.4579, 0.02261, 24.42},
		{50, 2.8, 2000, 1500, 20.25, 0.1526, 0.00754, 8.14},
		{85, 2.0, 2500, 5000, 20.25, 0.7479, 0.03693, 39.89},
		{35, 4.0, 2500, 6000, 14.00, 0.0725, 0.00518, 5.59},
		{25, 1.4, 2000, 5000, 9.73, 0.1356, 0.01394, 15.05},
	} {
		got := Lens{c.f, c.n, c.s}.DiscMM(c.x)
		near(t, "mm", got, c.mm, 0.00006)
		near(t, "share", got/c.height, c.share, 0.000006)
		near(t, "px", got/c.height*1080, c.px, 0.006)
	}
	// Diffraction at 0.55 micrometres, in micrometres.
	for stop, want := range map[float64]float64{2.8: 3.76, 5.6: 7.52, 8: 10.74, 11: 14.76, 16: 21.47} {
		near(t, "Airy", 1000*AiryMM(stop, 0.00055), want, 0.006)
	}
}

func TestForecastOfPointLights(t *testing.T) {
	// The worked example of the trade's practice: at f/2, UHD on 36 mm, the
	// subject 1.8 to 2.4 m and lamps 4.3 to 5 m away, 28, 40, 75 and 100 mm make
	// discs of 9, 21, 95 and 182 pixels; those of 75 mm are 3.6 stops weaker than
	// those of 28 mm, and opening by a stop loses one more.
	lenses := []Lens{{28, 2, 2400}, {40, 2, 2200}, {75, 2, 1900}, {100, 2, 1800}}
	lamps, px := []float64{5000, 4800, 4500, 4300}, []float64{9, 21, 95, 182}
	for i, l := range lenses {
		near(t, "pixels", l.DiscMM(lamps[i])/36*3840, px[i], 0.5)
	}
	weaker := lenses[0].DiscStops(lamps[0], 10, 20) - lenses[2].DiscStops(lamps[2], 10, 20)
	near(t, "stops from 28 to 75 mm", weaker, 3.6, 0.05)
	open := lenses[2]
	open.Stop /= math.Sqrt2
	near(t, "a stop more", lenses[2].DiscStops(4500, 10, 20)-open.DiscStops(4500, 10, 20), 1, 1e-9)
}

func TestDiscStopsAgainstTheLightItself(t *testing.T) {
	// The slow way: the light through the aperture over the area of the disc,
	// against the illuminance pi L / (4 N^2) of the scene's image.
	rapid.Check(t, func(rt *rapid.T) {
		l := Lens{
			rapid.Float64Range(15, 135).Draw(rt, "f"), rapid.Float64Range(1, 16).Draw(rt, "N"),
			rapid.Float64Range(800, 5000).Draw(rt, "s"),
		}
		x := l.FocusMM + rapid.Float64Range(100, 9000).Draw(rt, "behind")
		candela, luminance := rapid.Float64Range(1, 1000).Draw(rt, "cd"), rapid.Float64Range(1, 1000).Draw(rt, "L")
		aperture := math.Pi / 4 * math.Pow(l.FocalMM/l.Stop/1000, 2) // m^2
		lumens := candela * aperture / math.Pow(x/1000, 2)
		disc := lumens / (math.Pi / 4 * math.Pow(l.DiscMM(x)/1000, 2))
		scene := math.Pi * luminance / (4 * l.Stop * l.Stop)
		if got, want := l.DiscStops(x, candela, luminance), math.Log2(disc/scene); math.Abs(got-want) > 1e-9 {
			rt.Fatalf("%g, want %g", got, want)
		}
	})
}

func TestDiscIsTheCircleAtTheLimits(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		l := Lens{
			rapid.Float64Range(12, 200).Draw(rt, "f"), rapid.Float64Range(1, 22).Draw(rt, "N"),
			rapid.Float64Range(500, 8000).Draw(rt, "s"),
		}
		circle := rapid.Float64Range(0.004, 0.05).Draw(rt, "c")
		nearest, far := l.SharpMM(circle)
		for _, x := range []float64{nearest, far} {
			if math.IsInf(x, 1) && l.DiscMM(x) <= circle {
				continue // past the hyperfocal distance
			}
			if got := l.DiscMM(x); math.Abs(got/circle-1) > 1e-6 {
				rt.Fatalf("disc %g at %g, circle %g", got, x, circle)
			}
		}
		// At the stop that a sway needs, the near end of the sway is that limit.
		sway := rapid.Float64Range(5, 200).Draw(rt, "sway")
		l.Stop = l.StopFor(sway, circle)
		if got, _ := l.SharpMM(circle); math.Abs(got-(l.FocusMM-sway)) > 1e-6*l.FocusMM {
			rt.Fatalf("near %g, want %g", got, l.FocusMM-sway)
		}
		if _, far := l.SharpMM(circle); far < l.FocusMM+sway {
			rt.Fatalf("far %g, want at least %g", far, l.FocusMM+sway)
		}
	})
}

func TestStops(t *testing.T) {
	// The exact series is powers of the square root of two; thirds from f/2.
	exact := []float64{1, 1.4142, 2, 2.8284, 4, 5.6569, 8, 11.3137, 16, 22.6274, 32}
	for i, want := range exact {
		near(t, "full stop", ThirdStop(3*i), want, 0.00006)
	}
	for i, want := range []float64{2, 2.2449, 2.5198, 2.8284, 3.1748, 3.5636, 4} {
		near(t, "third stop", ThirdStop(6+i), want, 0.00006)
	}
	for _, c := range []struct{ a, b, want float64 }{{2.8, 4, 1.029}, {4, 5.6, 0.971}, {1.8, 2.8, 1.275}} {
		near(t, "engraved", Stops(c.a, c.b), c.want, 0.0006)
	}
	for i, n := range engraved {
		if n == 1.2 {
			continue // the trade writes 1.2 for 1.26
		}
		near(t, "engraved against exact", Stops(ThirdStop(i), n), 0, stopSlack)
	}
	for n, want := range map[float64]float64{0.95: 1, 2: 2, 2.06: 2, 2.1: 2.2, 4.38: 4.5, 5.6569: 5.6, 11.2: 11, 31: 32, 40: 40} {
		near(t, "next stop", NextStop(n), want, 0)
	}
}
