package songmap

import (
	"fmt"
	"math"
	"slices"

	"takeweave/internal/dsp"
	"takeweave/internal/film"
)

// Two sections share a letter when their bars, side by side, are at least this
// alike, and at least half-way from what bars of this record are by chance to
// what its best repeats are.
const sameLeast = 0.35

// letters gives sections that repeat the same number, from 0 in order of
// appearance.
func (f *form) letters(bars int) []int {
	n := len(f.starts)
	end := func(s int) int {
		if s+1 < n {
			return f.starts[s+1]
		}
		return bars
	}
	alike := make([][]float64, n)
	var all []float64
	for a := range n {
		alike[a] = make([]float64, n)
		for b := range a {
			alike[a][b] = f.sideBySide(f.starts[b], end(b), f.starts[a], end(a))
			alike[b][a] = alike[a][b]
			all = append(all, alike[a][b])
		}
	}
	limit := math.Max(sameLeast, (f.chance()+dsp.Quantile(all, 1))/2)
	out := make([]int, n)
	next := 0
	for a := range n {
		out[a] = -1
		best := limit
		for l := range next {
			var sum, count float64
			for b := range a {
				if out[b] == l {
					sum, count = sum+alike[a][b], count+1
				}
			}
			if v := sum / count; v >= best {
				best, out[a] = v, l
			}
		}
		if out[a] < 0 {
			out[a] = next
			next++
		}
	}
	return out
}

// sideBySide returns how alike two stretches of bars are when laid side by side
// from their beginnings, or one bar off. Stretches of very different length are
// less alike.
func (f *form) sideBySide(a0, a1, b0, b1 int) float64 {
	short, long := min(a1-a0, b1-b0), max(a1-a0, b1-b0)
	best := math.Inf(-1)
	for off := -1; off <= 1; off++ {
		var sum float64
		count := 0
		for i := range short {
			if a, b := a0+i+max(0, -off), b0+i+max(0, off); a < a1 && b < b1 {
				sum, count = sum+f.like[a][b], count+1
			}
		}
		if count > 0 && count >= short-1 {
			best = math.Max(best, sum/float64(count))
		}
	}
	if 2*short < long {
		best *= 2 * float64(short) / float64(long)
	}
	return best
}

// chance returns how alike two bars of the record usually are.
func (f *form) chance() float64 {
	var all []float64
	for i := range f.like {
		all = append(all, f.like[i][:i]...)
	}
	return dsp.Median(all)
}

// sections puts the form into words: "A1", "B1", "A2".
func (f *form) sections(bars []film.Bar) []film.Section {
	var out []film.Section
	seen := map[int]int{}
	for s, b := range f.starts {
		l := f.letter[s]
		seen[l]++
		letter := letterOf(l)
		span := film.SongSpan{From: bars[b].Span.From, To: bars[len(bars)-1].Span.To}
		if s+1 < len(f.starts) {
			span.To = bars[f.starts[s+1]].Span.From
		}
		out = append(out, film.Section{Name: fmt.Sprintf("%s%d", letter, seen[l]), Letter: letter, Span: span})
	}
	return slices.Clip(out)
}

// letterOf counts A to Z, then AA, AB and on.
func letterOf(n int) string {
	if n < 26 {
		return string(rune('A' + n))
	}
	return letterOf(n/26-1) + letterOf(n%26)
}
