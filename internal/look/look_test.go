package look

import (
	"encoding/json"
	"math"
	"reflect"
	"testing"

	"takeweave/internal/film"
)

func near(a, b, tolerance float64) bool { return math.Abs(a-b) <= tolerance }

func nearRGB(a, b RGB, tolerance float64) bool {
	return near(a[0], b[0], tolerance) && near(a[1], b[1], tolerance) && near(a[2], b[2], tolerance)
}

// aLook is a plausible grade with every colour step in use.
func aLook() (Look, *film.LUT, *film.LUT) {
	d := film.NeutralCDL()
	d.Slope, d.Offset, d.Power, d.Saturation = [3]float64{1.08, 1, 0.94}, [3]float64{-0.01, 0, 0.02}, [3]float64{1.05, 1, 0.97}, 1.12
	warm := tableOf(17, func(c RGB) RGB { return RGB{math.Pow(c[0], 0.9), c[1], 0.95 * c[2]} })
	bleach := tableOf(17, func(c RGB) RGB {
		y := Luma(c)
		return RGB{(c[0] + y) / 2, (c[1] + y) / 2, (c[2] + y) / 2}
	})
	l := Look{
		ExposureStops: 0.3, White: White{Kelvin: 5600, Tint: 3, ShiftMired: 8}, CDL: &d,
		Curve: []Knot{{0, 0.02}, {0.25, 0.2}, {0.75, 0.8}, {1, 0.98}},
		A:     Layer{File: "warm.cube", Strength: 0.7}, B: Layer{File: "bleach.cube", Strength: 0.4},
		Edge: Edge{Stops: 0.8}, Letterbox: "2.39:1",
	}
	return l, &film.LUT{Steps: []film.LUTStep{warm}}, &film.LUT{Steps: []film.LUTStep{bleach}}
}

func chainOf(t *testing.T, l Look, trim Trim, a, b *film.LUT) *Chain {
	t.Helper()
	c, err := NewChain(l, trim, a, b)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

func TestNothingChangesNothing(t *testing.T) {
	c := chainOf(t, Look{}, Trim{}, nil, nil)
	for _, v := range append(Colours(50, 1), RGB{-0.2, 1.4, 0}) {
		if got := c.Apply(v); got != v {
			t.Errorf("%v became %v", v, got)
		}
	}
	if e := c.Effects(Colours(50, 1)); len(e) != 0 {
		t.Errorf("a look that does nothing has the effects %v", e)
	}
}

func TestOneStopDoublesTheLight(t *testing.T) {
	for _, e := range []Encoding{BT709, BT1886, SRGB, ACEScct, Linear} {
		c := chainOf(t, Look{Encoding: e, ExposureStops: 1}, Trim{}, nil, nil)
		for _, light := range []float64{0.01, 0.09, 0.18, 0.4} {
			v := e.Encode(light)
			if got := e.Decode(c.Apply(RGB{v, v, v})[1]); !near(got, 2*light, 1e-12) {
				t.Errorf("%s: light %g became %g", e, light, got)
			}
		}
	}
}

// TestStepsByHand works a colour through the whole look with plain arithmetic.
func TestStepsByHand(t *testing.T) {
	l, a, b := aLook()
	trim := Trim{ExposureStops: -0.2, Saturation: 0.1}
	in := RGB{0.5, 0.4, 0.3}

	v := BT709.encode(exposure(-0.2).of(BT709.decode(in)))
	v = Saturate(1.1, v)
	v = BT709.encode(exposure(0.3).of(BT709.decode(v)))
	v = BT709.encode(l.White.matrix(BT709).of(BT709.decode(v)))
	v = ApplyCDL(*l.CDL, v)
	curve, err := NewCurve(l.Curve)
	if err != nil {
		t.Fatal(err)
	}
	given := RGB{curve.At(v[0]), curve.At(v[1]), curve.At(v[2])}
	afterA := RGB{}
	for i, x := range ApplyLUT(*a, "", given) {
		afterA[i] = 0.3*given[i] + 0.7*x
	}
	for _, place := range []struct {
		Placing
		on RGB
	}{{Over, afterA}, {Beside, given}} {
		l.Placing = place.Placing
		want := RGB{}
		for i, x := range ApplyLUT(*b, "", place.on) {
			want[i] = 0.6*afterA[i] + 0.4*x
		}
		if got := chainOf(t, l, trim, a, b).Apply(in); !nearRGB(got, want, 1e-12) {
			t.Errorf("%s: %v, by hand %v", place.Placing, got, want)
		}
	}
}

// TestBesideWithoutA: B alone does the same over and beside.
func TestBesideWithoutA(t *testing.T) {
	l, a, b := aLook()
	l.Off = []Step{StepA}
	d, err := OverOrBeside(l, Trim{}, a, b, Colours(100, 2))
	if err != nil || d.Max != 0 {
		t.Errorf("they differ by %v (%v)", d, err)
	}
	l.Off = nil
	if d, err = OverOrBeside(l, Trim{}, a, b, Colours(100, 2)); err != nil || d.Mean < 0.1 {
		t.Errorf("with LUT A they differ by %v only (%v)", d, err)
	}
}

func TestEffects(t *testing.T) {
	l, a, b := aLook()
	l.White = White{ShiftMired: 0.5} // invisible
	l.Off = []Step{StepCurve}
	dead := map[Step]bool{}
	var order []Step
	for _, e := range chainOf(t, l, Trim{ExposureStops: 0.5}, a, b).Effects(Colours(500, 3)) {
		order, dead[e.Step] = append(order, e.Step), e.Dead
		if e.Dead != (e.Mean < 0.5) || e.Max < e.Mean || e.Colours != 500 {
			t.Errorf("%+v", e)
		}
	}
	want := []Step{StepTrim, StepExposure, StepWhite, StepCDL, StepA, StepB, StepEdge}
	if !reflect.DeepEqual(order, want) {
		t.Errorf("effects of %v, want %v", order, want)
	}
	for s, is := range dead {
		if is != (s == StepWhite) {
			t.Errorf("%s: dead %v", s, is)
		}
	}
}

func TestLookSurvivesJSON(t *testing.T) {
	l, _, _ := aLook()
	l.Off = []Step{StepCurve}
	text, err := json.Marshal(l)
	if err != nil {
		t.Fatal(err)
	}
	var back Look
	if err := json.Unmarshal(text, &back); err != nil || !reflect.DeepEqual(l, back) {
		t.Errorf("%v\n%+v\n%+v", err, l, back)
	}
	if text, _ = json.Marshal(Look{}); string(text) != "{}" {
		t.Errorf("no look is written as %s", text)
	}
}

func TestSettingsOutOfReach(t *testing.T) {
	for name, l := range map[string]Look{
		"exposure":   {ExposureStops: 9},
		"no number":  {ExposureStops: math.NaN()},
		"kelvin":     {White: White{Kelvin: 1000}},
		"tint":       {White: White{Tint: 80}},
		"shift":      {White: White{ShiftMired: -400}},
		"encoding":   {Encoding: "film"},
		"curve":      {Curve: []Knot{{0, 0}}},
		"curve nan":  {Curve: []Knot{{0, math.NaN()}, {1, 1}}},
		"curve back": {Curve: []Knot{{0.5, 0}, {0.5, 1}}},
		"strength":   {A: Layer{Strength: 2}},
		"lost LUT":   {A: Layer{File: "lost.cube", Strength: 1}},
		"placing":    {Placing: "under"},
		"edge":       {Edge: Edge{Stops: -1}},
		"off":        {Off: []Step{"grain"}},
		"cdl":        {CDL: &film.CDL{}},
	} {
		_, err := NewChain(l, Trim{}, nil, nil)
		if film.CodeOf(err) != film.CodeUsage || film.HintOf(err) == "" {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// TestBakedLook: the goal for a look of ordinary strength is a mean of 0.3 and a
// greatest difference of 1.5 CIEDE2000.
func TestBakedLook(t *testing.T) {
	l, a, b := aLook()
	baked := chainOf(t, l, Trim{ExposureStops: 0.4, TemperatureMired: -15, Tint: 2, Saturation: 0.1}, a, b).BakeWell()
	t.Logf("%d points: %+v", baked.Table.Size, baked.Error)
	if baked.Error.Mean > bakeMean || baked.Error.Max > bakeMax || baked.Error.Colours != 10000 {
		t.Errorf("%d points: %+v", baked.Table.Size, baked.Error)
	}
	if none := chainOf(t, Look{}, Trim{}, nil, nil).Bake(33); none.Error.Max > 1e-3 { // single precision
		t.Errorf("no look at all is off by %+v", none.Error)
	}
}

// TestBakedSteps: single steps, strong ones among them, and the size they need.
func TestBakedSteps(t *testing.T) {
	crush := film.NeutralCDL()
	crush.Slope, crush.Offset = [3]float64{1.3, 1.3, 1.3}, [3]float64{-0.06, -0.06, -0.06}
	for name, l := range map[string]Look{
		"one stop up":              {ExposureStops: 1},
		"three stops up":           {ExposureStops: 3},
		"two stops down":           {ExposureStops: -2},
		"lamp light made white":    {White: White{Kelvin: 3200}},
		"open shade made white":    {White: White{Kelvin: 10000}},
		"crushed blacks":           {CDL: &crush},
		"strong contrast":          {Curve: []Knot{{0, 0}, {0.25, 0.12}, {0.75, 0.88}, {1, 1}}},
		"display light, half stop": {Encoding: BT1886, ExposureStops: 0.5},
	} {
		b := chainOf(t, l, Trim{}, nil, nil).BakeWell()
		t.Logf("%s: %d points, %.3f mean, %.2f max", name, b.Table.Size, b.Error.Mean, b.Error.Max)
		if b.Error.Mean > bakeMean || b.Error.Max > bakeMax {
			t.Errorf("%s: %d points: %+v", name, b.Table.Size, b.Error)
		}
	}
}
