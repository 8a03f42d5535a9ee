package crop

import (
	"math"
	"testing"

	"takeweave/internal/film"

	"github.com/google/go-cmp/cmp"
)

func TestTrack(t *testing.T) {
	a, b := Box{0.1, 0.2, 0.2, 0.4}, Box{0.3, 0.2, 0.4, 0.4}
	tr := newTrack([]Sighting{
		{At: 12, Box: b, Confidence: 0.9},
		{At: 10, Box: a, Confidence: 0.9},
		{At: 10, Box: b, Confidence: 0.6},                      // less sure
		{At: 11, Box: Box{0, 0, 1, 1}, Confidence: 0.4},        // not sure
		{At: 11, Box: Box{1.1, 0, 0.2, 1}, Confidence: 1},      // outside
		{At: 11, Box: Box{math.NaN(), 0, 1, 1}, Confidence: 1}, // no number
		{At: film.PassTime(math.NaN()), Box: Box{0, 0, 1, 1}, Confidence: 1},
		{At: 20, Box: Box{-0.1, 0.5, 0.3, 0.7}, Confidence: 1}, // partly outside
	})
	for _, c := range []struct {
		at    film.PassTime
		want  Box
		known bool
	}{
		{8.9, Box{}, false},
		{9, a, true},
		{10, a, true},
		{11, Box{0.2, 0.2, 0.3, 0.4}, true},
		{12, b, true},
		{13, b, true},
		{13.1, Box{}, false},
		{18.9, Box{}, false},
		{19.5, Box{0, 0.5, 0.2, 0.5}, true},
		{21.1, Box{}, false},
	} {
		got, known := tr.at(c.at)
		near := cmp.Comparer(func(x, y float64) bool { return math.Abs(x-y) < 1e-12 })
		if known != c.known || !cmp.Equal(got, c.want, near) {
			t.Errorf("at %v: %v, %v, want %v, %v", c.at, got, known, c.want, c.known)
		}
	}
}
