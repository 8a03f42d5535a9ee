package look

import (
	"math"
	"strings"
	"testing"

	"takeweave/internal/film"
)

// conversion is a LUT from one encoding to that of a display, with a shoulder as
// such conversions have.
func conversion(from func(float64) float64) film.LUT {
	shoulder := func(l float64) float64 { return l * (1 + l/16) / (1 + l) * 1.6 }
	return film.LUT{Steps: []film.LUTStep{tableOf(33, func(c RGB) RGB {
		var out RGB
		for i, v := range c {
			out[i] = BT1886.Encode(math.Min(1, shoulder(math.Max(0, from(v)))))
		}
		return out
	})}}
}

// pq is the curve of BT.2100 as light, 1 for its reference white of 203 cd/m2
// (from memory).
func pq(v float64) float64 {
	const m1, m2, c1, c2, c3 = 0.1593017578125, 78.84375, 0.8359375, 18.8515625, 18.6875
	p := math.Pow(v, 1/m2)
	return 10000.0 / 203 * math.Pow(math.Max(p-c1, 0)/(c2-c3*p), 1/m1)
}

func TestShapeTellsTheInput(t *testing.T) {
	curve := func(knots ...Knot) film.LUT {
		c, err := NewCurve(knots)
		if err != nil {
			t.Fatal(err)
		}
		return film.LUT{Steps: []film.LUTStep{tableOf(33, func(v RGB) RGB { return RGB{c.At(v[0]), c.At(v[1]), c.At(v[2])} })}}
	}
	l, a, b := aLook()
	for name, c := range map[string]struct {
		lut  film.LUT
		want input
	}{
		"ACEScct":            {conversion(ACEScct.Decode), logInput},
		"PQ":                 {conversion(pq), logInput},
		"plain light":        {film.LUT{Steps: []film.LUTStep{tableOf(65, SRGB.encode)}}, linearInput},
		"light to BT.709":    {film.LUT{Steps: []film.LUTStep{tableOf(65, BT709.encode)}}, linearInput},
		"nothing":            {film.LUT{Steps: []film.LUTStep{IdentityTable(9)}}, ""},
		"warm":               {*a, ""},
		"bleach":             {*b, ""},
		"a whole look":       {chainOf(t, l, Trim{}, a, b).Bake(33).LUT("mine"), ""},
		"strong contrast":    {curve(Knot{0, 0}, Knot{0.25, 0.1}, Knot{0.75, 0.9}, Knot{1, 1}), ""},
		"stronger":           {curve(Knot{0, 0}, Knot{0.25, 0.06}, Knot{0.75, 0.94}, Knot{1, 1}), ""},
		"crushed":            {curve(Knot{0, -0.1}, Knot{0.15, 0.05}, Knot{1, 1}), ""},
		"faded":              {curve(Knot{0, 0.12}, Knot{0.5, 0.55}, Knot{1, 0.9}), ""},
		"brightened":         {curve(Knot{0, 0}, Knot{0.25, 0.4}, Knot{1, 1}), ""},
		"display to BT.1886": {film.LUT{Steps: []film.LUTStep{tableOf(33, func(c RGB) RGB { return BT1886.encode(SRGB.decode(c)) })}}, ""},
	} {
		if got := shapeInput(c.lut); got != c.want {
			t.Errorf("%s: guessed %q, want %q", name, got, c.want)
		}
	}
}

func TestMisfit(t *testing.T) {
	none := []film.LUTStep{IdentityTable(2)}
	wide := IdentityTable(2)
	wide.Max = [3]float64{4, 4, 4}
	for _, c := range []struct {
		name string
		lut  film.LUT
		e    Encoding
		want string // a part of the only warning, "" for none
	}{
		{"says nothing", film.LUT{Title: "Late summer", Steps: none}, BT709, ""},
		{"ours", Baked{Table: IdentityTable(2)}.LUT("x"), BT709, ""},
		{"from log", film.LUT{Title: "ACEScct to Rec.709", Steps: none}, BT709, `"ACEScct"`},
		{"right for log", film.LUT{Title: "ACEScct to Rec.709", Steps: none}, ACEScct, ""},
		{"to log", film.LUT{Title: "sRGB_to_ACEScct", Steps: none}, BT709, ""},
		{"from video", film.LUT{Title: "Haze from Rec.709", Steps: none}, ACEScct, "display"},
		{"some log", film.LUT{Title: "K-Log3 dusk", Steps: none}, BT709, "logarithmic"},
		{"as file names are", film.LUT{Title: "mylog2rec709_v2", Steps: none}, BT709, "logarithmic"},
		{"photo to video", film.LUT{Title: "phototovideo", Steps: none}, BT709, ""},
		{"no log", film.LUT{Title: "Catalogue of dusk, dialog", Steps: none}, BT709, ""},
		{"descriptor", film.LUT{Title: "x", Expects: "scene-linear ap0", Steps: none}, BT709, "linear light"},
		{"domain", film.LUT{Steps: []film.LUTStep{wide}}, BT709, "from 0 to 4"},
		{"shape", conversion(ACEScct.Decode), "", "greys"},
	} {
		got := Misfit(c.lut, c.e)
		switch {
		case c.want == "" && len(got) > 0, c.want != "" && len(got) != 1,
			c.want != "" && !strings.Contains(got[0], c.want):
			t.Errorf("%s: %q, want %q", c.name, got, c.want)
		}
	}
}
