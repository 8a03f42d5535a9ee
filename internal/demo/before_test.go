package demo

import (
	"math"
	"testing"

	"takeweave/internal/plan"
)

// The setups of the plan are those that the footage is drawn by: frame and stop,
// and the discs of lamps behind, which the drawing computes by itself.
func TestThePlanIsWhatIsDrawn(t *testing.T) {
	before := Before()
	told := plan.Compute(before, plan.Known{})
	if len(told.Setups) != len(positions) {
		t.Fatalf("%d setups are planned, %d drawn", len(told.Setups), len(positions))
	}
	for i, at := range positions {
		s := told.Setups[i]
		if s.Frame == nil || s.Name != at.setup.Name || s.Camera.Stop != at.lens.stop {
			t.Fatalf("%+v is not %+v", s, at)
		}
		if drawn := at.lens.fieldWidthMM(at.lens.focusMM) / 1000; math.Abs(drawn-s.Frame.WidthM) > 1e-9 {
			t.Errorf("%s: drawn %.4f m wide, planned %.4f", s.Name, drawn, s.Frame.WidthM)
		}
		if at.setup.Name != "wide" {
			continue // it looks straight at her: what is behind her is behind along its axis
		}
		if len(s.Frame.Discs) != len(before.Practicals) {
			t.Errorf("%d discs of %d practicals", len(s.Frame.Discs), len(before.Practicals))
		}
		for k, d := range s.Frame.Discs {
			behind := before.Practicals[k].At.Y - before.Musician.At.Y
			if drawn := at.lens.discMM(at.lens.focusMM + 1000*behind); math.Abs(drawn-d.MM) > 1e-9 {
				t.Errorf("%s: drawn %.4f mm, planned %.4f", d.Name, drawn, d.MM)
			}
		}
	}
}

// The plan is whole: all in it works and nothing is missing.
func TestThePlanIsWhole(t *testing.T) {
	told := plan.Compute(Before(), plan.Known{})
	for _, f := range told.Findings {
		t.Logf("%-14s %s: %s", f.Answer, f.About, f.Say)
		if f.Answer == plan.Fails || f.Answer == plan.Unknown {
			t.Errorf("%+v", f)
		}
	}
}
