package picture

import (
	"math"
	"slices"
	"testing"
)

func TestGrades(t *testing.T) {
	fine := Moment{Sharpness: 0.2, MoveKnown: true}
	with := func(change func(m *Moment)) Moment { m := fine; change(&m); return m }
	for _, c := range []struct {
		name      string
		m         Moment
		setupBest float64
		value     float64
		words     []string
	}{
		{"nothing wrong", fine, 0, 1, nil},
		{"half as sharp", with(func(m *Moment) { m.Sharpness = 0.1 }), 0, 1, nil},
		// Half way from 0.5 to 0.15 of the best.
		{"soft", with(func(m *Moment) { m.Sharpness = 0.2 * 0.325 }), 0, 0.55, []string{"soft"}},
		{"soft beside the setup's other passes", fine, 0.2 / 0.325, 0.55, []string{"soft"}},
		{"sharper than the setup's others", fine, 0.1, 1, nil},
		{"nothing to be sharp", with(func(m *Moment) { m.Sharpness = 0 }), 0, 1, nil},
		{"a steady hand", with(func(m *Moment) { m.Shake = 0.012 }), 0, 1, nil},
		{"a run", with(func(m *Moment) { m.Shake = 0.05 }), 0, 0.3, []string{"shakes"}},
		{"not known to shake", Moment{Shake: 0.05}, 0, 1, nil},
		{"a lamp in the picture", with(func(m *Moment) { m.Clipped = 0.1 }), 0, 1, nil},
		{"burnt out", with(func(m *Moment) { m.Clipped = 0.4 }), 0, 0.6, []string{"burnt out"}},
		{"a dark stage", with(func(m *Moment) { m.Crushed = 0.9 }), 0, 1, nil},
		{"a cap on the lens", with(func(m *Moment) { m.Crushed = 1 }), 0, 0.1, []string{"dark"}},
		{"a third of a stop down", with(func(m *Moment) { m.Step = -1.0 / 3 }), 0, 1, nil},
		{"two stops down", with(func(m *Moment) { m.Step = -2 }), 0, 0.5, []string{"jumps"}},
		{"the worst decides", with(func(m *Moment) { m.Step, m.Clipped = 2, 1 }), 0, 0.2, []string{"burnt out", "jumps"}},
	} {
		r := Reading{Best: 0.2, Moments: []Moment{c.m}}
		got := r.Grades(c.setupBest)
		if len(got) != 1 || math.Abs(got[0].Value-c.value) > 1e-9 || !slices.Equal(got[0].Words, c.words) {
			t.Errorf("%s: %+v, want %v %q", c.name, got, c.value, c.words)
		}
	}
}

func TestGradesTellOfFlicker(t *testing.T) {
	r := Reading{Moments: make([]Moment, 2), Flicker: []Flicker{{MainsHz: 50, Measurable: true, Amplitude: 0.1}, {MainsHz: 60, Measurable: true, Found: true, Amplitude: 0.0175}}}
	for _, g := range r.Grades(0) {
		if math.Abs(g.Value-0.75) > 1e-9 || !slices.Equal(g.Words, []string{"flickers"}) {
			t.Errorf("%+v", g)
		}
	}
	r.Flicker[1].Found = false
	for _, g := range r.Grades(0) {
		if g.Value != 1 {
			t.Errorf("%+v from flicker that was not found", g)
		}
	}
}
