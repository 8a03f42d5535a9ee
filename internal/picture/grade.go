package picture

import "math"

// Grade says how good the picture is at one moment.
type Grade struct {
	Value float64  `json:"value"` // 0..1: 1 within ordinary variation
	Words []string `json:"words"` // what lowers it: soft, shakes, burnt out, dark, jumps, flickers
}

// fault is one way in which a picture is bad. The grade falls evenly from 1 where
// the measure is good to least where it is bad, and is 1 where nobody knows.
type fault struct {
	word      string
	good, bad float64
	least     float64
	measure   func(r *Reading, m *Moment, best float64) (v float64, known bool)
}

// The faults. Each begins outside what ordinary clips showed (docs/picture.md):
// sharpness of 0.51 and more of the best at nine tenths of all moments in every
// clip, against 0.49 and less once blurred by 1 pixel of 320; a shake of 0.0017
// of the width on a stand and 0.013 by a hand that stands still; 0.11 of the
// middle clipped; 0.89 crushed in a dark hall; steps of 0.2 stops at nine tenths
// of all moments. The least grades are our own.
var faults = []fault{
	{"soft", 0.5, 0.15, 0.1, func(_ *Reading, m *Moment, best float64) (float64, bool) {
		return m.Sharpness / best, m.Sharpness > 0
	}},
	{"shakes", 0.013, 0.04, 0.3, func(_ *Reading, m *Moment, _ float64) (float64, bool) {
		return m.Shake, m.MoveKnown
	}},
	{"burnt out", 0.2, 0.6, 0.2, func(_ *Reading, m *Moment, _ float64) (float64, bool) {
		return m.Clipped, true
	}},
	{"dark", 0.95, 0.995, 0.1, func(_ *Reading, m *Moment, _ float64) (float64, bool) {
		return m.Crushed, true
	}},
	{"jumps", 1.0 / 3, 1, 0.5, func(_ *Reading, m *Moment, _ float64) (float64, bool) {
		return math.Abs(m.Step), true
	}},
	{"flickers", 0.005, 0.03, 0.5, func(r *Reading, _ *Moment, _ float64) (float64, bool) {
		worst := 0.0
		for _, f := range r.Flicker {
			if f.Found {
				worst = math.Max(worst, f.Amplitude)
			}
		}
		return worst, true
	}},
}

// Grades returns a grade for every moment: that of its worst fault. setupBest is
// the best sharpness of all passes of the setup; 0, or less than the reading's
// own, leaves it at the reading's own.
func (r *Reading) Grades(setupBest float64) []Grade {
	best := math.Max(r.Best, setupBest)
	out := make([]Grade, len(r.Moments))
	for i := range out {
		out[i].Value = 1
		for _, f := range faults {
			if v, known := f.measure(r, &r.Moments[i], best); known {
				if g := f.grade(v); g < 1 {
					out[i].Value = math.Min(out[i].Value, g)
					out[i].Words = append(out[i].Words, f.word)
				}
			}
		}
	}
	return out
}

func (f *fault) grade(v float64) float64 {
	share := (v - f.good) / (f.bad - f.good)
	return 1 - (1-f.least)*math.Max(0, math.Min(1, share))
}
