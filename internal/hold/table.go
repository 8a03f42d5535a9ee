package hold

import (
	"math"
	"math/bits"
	"sort"

	"takeweave/internal/film"
)

// Table knows the lowest and the highest d = pass - song of one segment over
// any span of song. It is read-only once made, so it may be shared.
type Table struct {
	song  []float64   // song time of each knot
	part  []float64   // pass - song at each knot, seconds
	low   [][]float64 // low[k][i] is the least of part[i : i+2^k]
	high  [][]float64 // high[k][i] is the greatest of part[i : i+2^k]
	start float64     // of the segment, song time
	end   float64
}

// New prepares the tables of one segment: O(n log n) time and memory for n
// knots. The segment has at least two knots, strictly rising on both clocks;
// it is only read and not kept.
//
// Source: Bender, Farach-Colton [LCA2000], the sparse table for range minima.
func New(seg *film.Segment) *Table {
	n := len(seg.Knots)
	t := &Table{song: make([]float64, n), part: make([]float64, n)}
	for i, k := range seg.Knots {
		t.song[i] = float64(k.Song)
		t.part[i] = float64(k.Pass) - float64(k.Song)
	}
	t.start, t.end = t.song[0], t.song[n-1]
	t.low = sparse(t.part, math.Min)
	t.high = sparse(t.part, math.Max)
	return t
}

func sparse(v []float64, pick func(a, b float64) float64) [][]float64 {
	rows := [][]float64{v}
	for width := 2; width <= len(v); width *= 2 {
		above := rows[len(rows)-1]
		row := make([]float64, len(v)-width+1)
		for i := range row {
			row[i] = pick(above[i], above[i+width/2])
		}
		rows = append(rows, row)
	}
	return rows
}

// partAt returns d at song time t. Outside the segment the map goes on at
// slope 1, so d keeps the value of the nearest end.
func (t *Table) partAt(at float64) float64 {
	n := len(t.song)
	if at <= t.start {
		return t.part[0]
	}
	if at >= t.end {
		return t.part[n-1]
	}
	i := sort.SearchFloat64s(t.song, at) // first knot at or after at, so 1 <= i < n
	share := (at - t.song[i-1]) / (t.song[i] - t.song[i-1])
	return t.part[i-1] + share*(t.part[i]-t.part[i-1])
}

// inside returns the knots strictly between from and to as a half-open range.
func (t *Table) inside(from, to float64) (first, end int) {
	first = sort.Search(len(t.song), func(i int) bool { return t.song[i] > from })
	end = first + sort.Search(len(t.song)-first, func(i int) bool { return t.song[first+i] >= to })
	return first, end
}

// extremes returns the least and the greatest d over [from, to]. Because d is
// linear between knots they lie at knots or at the ends of the span.
func (t *Table) extremes(from, to float64) (lo, hi float64) {
	a, b := t.partAt(from), t.partAt(to)
	lo, hi = math.Min(a, b), math.Max(a, b)
	first, end := t.inside(from, to)
	if first < end {
		k := bits.Len(uint(end-first)) - 1
		other := end - 1<<k
		lo = min(lo, t.low[k][first], t.low[k][other])
		hi = max(hi, t.high[k][first], t.high[k][other])
	}
	return lo, hi
}
