package songmap

import (
	"math"
	"testing"
)

// hits returns how many of want and got can be paired one to one within window
// seconds. Both rise, so pairing greedily from the left is the most there can be.
func hits(want, got []float64, window float64) int {
	n, j := 0, 0
	for _, w := range want {
		for j < len(got) && got[j] < w-window {
			j++
		}
		if j < len(got) && got[j] <= w+window {
			n++
			j++
		}
	}
	return n
}

// fMeasure returns the harmonic mean of precision and recall.
func fMeasure(want, got []float64, window float64) float64 {
	if len(want)+len(got) == 0 {
		return 1
	}
	return 2 * float64(hits(want, got, window)) / float64(len(want)+len(got))
}

// Windows of [Raffel2014]: beats 70 ms, section boundaries 0.5 and 3 s.
const (
	beatWindow  = 0.070
	nearSection = 3.0
)

// Worked by hand with one-to-one pairs, windows as in [Raffel2014].
func TestFMeasureWorkedExamples(t *testing.T) {
	for _, c := range []struct {
		name      string
		want, got []float64
		window    float64
		f         float64
	}{
		{"beats", []float64{10, 11, 12, 13}, []float64{10.06, 11.08, 12, 13, 13.5}, beatWindow, 0.6667},
		{"onsets", []float64{1, 2, 3}, []float64{1.04, 1.06, 2.051, 3.0}, 0.05, 0.5714},
		{"boundaries, 0.5 s", []float64{0, 10, 20, 30}, []float64{0, 10.4, 22, 30}, 0.5, 0.75},
		{"boundaries, 0.5 s, ends trimmed", []float64{10, 20}, []float64{10.4, 22}, 0.5, 0.5},
		{"boundaries, 3 s", []float64{0, 10, 20, 30}, []float64{0, 10.4, 22, 30}, nearSection, 1},
		{"nothing found", []float64{1}, nil, 1, 0},
	} {
		if got := fMeasure(c.want, c.got, c.window); math.Abs(got-c.f) > 5e-5 {
			t.Errorf("%s: F %.4f, want %.4f", c.name, got, c.f)
		}
	}
}
