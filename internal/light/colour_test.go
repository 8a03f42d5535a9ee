package light

import (
	"math"
	"testing"

	"takeweave/internal/look"
)

// TestMired: conversions worked out by hand; 131 is printed in trade tables.
func TestMired(t *testing.T) {
	for kelvin, want := range map[float64]float64{
		2000: 500, 2700: 370.4, 2800: 357.1, 3000: 333.3, 3200: 312.5, 3400: 294.1, 4000: 250, 4300: 232.6,
		5000: 200, 5500: 181.8, 5600: 178.6, 6000: 166.7, 6500: 153.8, 7500: 133.3, 10000: 100,
	} {
		near(t, "mired", Shift(math.Inf(1), kelvin), want, 0.0501)
	}
	for _, c := range []struct{ from, to, want float64 }{
		{3200, 5600, -133.93}, {3200, 5500, -130.68}, {5600, 3200, 133.93}, {6500, 3200, 158.65}, {3200, 4300, -79.94},
	} {
		near(t, "shift", Shift(c.from, c.to), c.want, 0.0051)
	}
	near(t, "printed", math.Round(Shift(3200, 5500)), -131, 0)
}

// TestGels: shifts of published tables; where they go, by adding mired.
func TestGels(t *testing.T) {
	gels := map[string]float64{}
	for _, g := range Gels {
		gels[g.Name] = g.Value
	}
	for _, c := range []struct {
		name        string
		mired, from float64
		to          float64
	}{
		{"double blue", -274, 3200, 25974},
		{"full blue", -137, 3200, 5698},
		{"three-quarter blue", -112, 3200, 4988},
		{"half blue", -78, 3200, 4264},
		{"quarter blue", -35, 3200, 3604},
		{"eighth blue", -18, 3200, 3396},
		{"full orange", 159, 6500, 3197},
		{"full orange", 159, 5600, 2962},
		{"three-quarter orange", 124, 6500, 3599},
		{"half orange", 109, 6500, 3804},
		{"half orange", 109, 5600, 3477},
		{"quarter orange", 64, 6500, 4590},
		{"quarter orange", 64, 5600, 4123},
		{"eighth orange", 26, 6500, 5560},
	} {
		near(t, c.name, gels[c.name], c.mired, 0)
		near(t, c.name, Filtered(c.from, gels[c.name]), c.to, 0.6) // some were worked out from rounded mired
	}
	if !math.IsInf(Filtered(6500, -274), 1) {
		t.Error("light bluer than any has a temperature")
	}
	if gel, left := Usual().GelFor(3200, 5600); gel != "full blue" || math.Abs(left-3.07) > 0.005 {
		t.Errorf("%s leaves %.2f", gel, left)
	}
	if gel, left := Usual().GelFor(5600, 5500); gel != "" || math.Abs(left-3.25) > 0.005 {
		t.Errorf("%q leaves %.2f", gel, left)
	}
}

// TestMismatches: limits of common practice.
func TestMismatches(t *testing.T) {
	l := Usual()
	for mired, want := range map[float64]Notice{10: Unseen, -10: Unseen, 10.1: Slight, 20: Slight, 20.1: Shows, -134: Shows} {
		if got := l.Noticed(mired); got != want {
			t.Errorf("%g mired: %s, want %s", mired, got, want)
		}
	}
	blue := Filter{Name: "full blue", Mired: -137}
	got := l.Mismatches([]Lamp{
		{Name: "window", Kelvin: 5600}, {Name: "lamp", Kelvin: 3200}, {Name: "lit alike", Kelvin: 3200, Filters: []Filter{blue}}, {Name: "unknown"},
	})
	if len(got) != 2 || got[0].A != "window" || got[0].B != "lamp" || got[0].Notice != Shows || got[0].Gel != "full blue" || got[1].B != "lit alike" {
		t.Fatalf("%+v", got)
	}
	near(t, "mired", got[0].Mired, 133.93, 0.005)
	near(t, "left", got[0].Left, 3.07, 0.005)
}

// TestChromaticity: values in the tests of [Colour]; the rest computed from the
// published formulas to the digits given.
func TestChromaticity(t *testing.T) {
	for _, c := range []struct {
		name              string
		x, y              float64
		mcCamy, hernandez float64 // 0: not given
		tolerance         float64
	}{
		{"D65, Colour", 0.31270, 0.32900, 6505.08059131, 6500.74204318, 1e-7},
		{"A, Colour", 0.44757, 0.40745, 2857.28961266, 2790.64222533, 1e-7},
		{"Colour", 0.252520939, 0.252220884, 19501.6195313, 0, 1e-4}, // nine digits of x and y
		{"D50", 0.34567, 0.35850, 5002.10, 5002.42, 0.0051},
		{"D55", 0.33242, 0.34743, 5502.62, 5501.53, 0.0051},
		// x and y of these are rounded to five digits, which is worth 0.3 K.
		{"daylight 4300 K", 0.36968, 0.37599, 4303.5, 4300.9, 0.3},
		{"daylight 5600 K", 0.33016, 0.34555, 5599.2, 5597.6, 0.3},
		{"daylight 6504 K", 0.31271, 0.32912, 6503.4, 6499.0, 0.5},
		// On the line of [Kang2002].
		{"Planck 3200 K", 0.423181807, 0.399077686, 3212, 3178, 0.5},
		{"Planck 5600 K", 0.330105001, 0.339087913, 5605, 5611, 0.5},
		{"Planck 6504 K", 0.313432036, 0.323601872, 6505, 6506, 0.5},
	} {
		if c.mcCamy != 0 {
			near(t, c.name+", McCamy", McCamy(c.x, c.y), c.mcCamy, c.tolerance)
		}
		if c.hernandez != 0 {
			near(t, c.name+", Hernández", Hernandez(c.x, c.y), c.hernandez, c.tolerance)
		}
	}
	// White points of [CIE15] come out within 20 K of their names.
	for _, c := range []struct{ x, y, kelvin float64 }{
		{0.44757, 0.40745, 2856}, {0.34567, 0.35850, 5003}, {0.33242, 0.34743, 5503}, {0.31270, 0.32900, 6504},
	} {
		got, ok := Kelvin(c.x, c.y)
		near(t, "meter", got, c.kelvin, 20)
		if !ok {
			t.Errorf("%g K is out of reach", c.kelvin)
		}
	}
	if k, ok := Kelvin(0.244162248, 0.240333675); ok { // 64448 K in [Colour], out of reach here
		t.Errorf("a blue sky is %g K", k)
	}
}

// TestTungstenToDaylight: the Bradford adaptation is the look's; this row of whites
// after [Lindbloom], worked out by hand, is what lamps need of it.
func TestTungstenToDaylight(t *testing.T) {
	got := look.Adaptation(look.RGB{1.09850, 1, 0.35585}, look.RGB{0.95047, 1, 1.08883})
	for i, row := range [3][3]float64{
		{0.8446965, -0.1179225, 0.3948108}, {-0.1366303, 1.1041226, 0.1291718}, {0.0798490, -0.1348999, 3.1924009},
	} {
		for j, want := range row {
			near(t, "A to D65", got[i][j], want, 1e-7)
		}
	}
}
