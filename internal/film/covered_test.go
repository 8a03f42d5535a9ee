package film

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// The obvious twin counts milliseconds.
func TestCoveredCountsEachMomentOnce(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var segments []Segment
		seen := map[int]bool{}
		for range rapid.IntRange(0, 5).Draw(t, "segments") {
			from := rapid.IntRange(-500, 3000).Draw(t, "from")
			to := from + rapid.IntRange(1, 2000).Draw(t, "length")
			segments = append(segments, Segment{Knots: []Knot{{Pass: 0, Song: SongTime(from) / 1000}, {Pass: 1, Song: SongTime(to) / 1000}}})
			for ms := from; ms < to; ms++ {
				seen[ms] = true
			}
		}
		if got, want := Covered(segments), float64(len(seen))/1000; math.Abs(got-want) > 1e-9 {
			t.Fatalf("got %g s, want %g", got, want)
		}
	})
}
