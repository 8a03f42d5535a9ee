package film

import (
	"cmp"
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
	var end SongTime
	for i, s := range spans {
		from := s.From
		if i > 0 {
			from = max(from, end)
		}
		if s.To > from {
			sum += float64(s.To - from)
		}
		end = max(end, s.To)
	}
	return sum
}
