package film

import (
	"cmp"
	"math"
	"slices"
)

// Covered returns how many seconds of song the segments cover at least once.
func Covered(segments []Segment) float64 {
	var spans []SongSpan
	for i := range segments {
		spans = append(spans, segments[i].SongSpan())
	}
	slices.SortFunc(spans, func(a, b SongSpan) int { return cmp.Compare(a.From, b.From) })
	var sum float64
	end := SongTime(math.Inf(-1))
	for _, s := range spans {
		if from := max(s.From, end); s.To > from {
			sum += float64(s.To - from)
		}
		end = max(end, s.To)
	}
	return sum
}
