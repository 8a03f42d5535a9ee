package songmap

import (
	"math"

	"takeweave/internal/dsp"
	"takeweave/internal/film"
)

const (
	slots        = 4    // a bar is compared at so many places
	likelySecs   = 20.0 // a section lasts about so long; common practice
	shortestBars = 3
	longestBars  = 32

	lengthCost = 0.35 // for a section of half or double the likely length
	oddCost    = 0.25 // for a length that is no multiple of 4 bars; half of it for one of 2

	lagWeight    = 1.0 // of change in what repeats
	timbreWeight = 0.5 // of change in sound
)

// form is the record bar by bar.
type form struct {
	like   [][]float64 // how alike two bars are, -1..1
	starts []int       // first bar of each section
	letter []int       // of each section
}

// formOf finds where sections begin and which of them are the same.
func formOf(h *heard, bars []film.Bar, perBar int) *form {
	f := &form{like: likeness(harmonyOf(h, bars))}
	n := len(bars)
	likely := likelyBars(bars)
	change := make([]float64, n+1)
	add := func(x []float64, weight float64) {
		standardise(x)
		for b, v := range x {
			change[b] += weight * v
		}
	}
	add(lagNovelty(f.like), lagWeight)
	add(checkerboard(likeness(soundOf(h, bars)), max(2, likely/2)), timbreWeight)
	f.starts = chooseStarts(change[:n], likely, firstFull(bars, perBar))
	f.letter = f.letters(n)
	return f
}

// firstFull returns the bar from which the form is counted: after a pickup.
func firstFull(bars []film.Bar, perBar int) int {
	if len(bars) > 1 && bars[0].Count < perBar {
		return 1
	}
	return 0
}

// likelyBars returns the usual length of a section: the power of two of bars
// nearest to likelySecs.
func likelyBars(bars []film.Bar) int {
	length := float64(bars[len(bars)-1].Span.To-bars[0].Span.From) / float64(len(bars))
	return max(4, min(16, 1<<int(math.Round(math.Log2(likelySecs/math.Max(length, 0.1))))))
}

// harmonyOf returns each bar as the bass and treble pitch classes of its
// quarters, less the average of the record.
func harmonyOf(h *heard, bars []film.Bar) [][]float32 {
	two := dsp.FoldTwoPart(h.notes, 0)
	rows := make([][]float32, len(bars))
	for b, bar := range bars {
		step := bar.Span.Len() / slots
		for s := range slots {
			at := float64(bar.Span.From) + float64(s)*step
			part := meanRow(two, at+0.05, at+step)
			dsp.Normalise(part[:12])
			dsp.Normalise(part[12:])
			rows[b] = append(rows[b], part...)
		}
	}
	return rows
}

// soundOf returns each bar as the level of its mel bands.
func soundOf(h *heard, bars []film.Bar) [][]float32 {
	rows := make([][]float32, len(bars))
	for b, bar := range bars {
		rows[b] = meanRow(h.timbre, float64(bar.Span.From), float64(bar.Span.To))
	}
	return rows
}

// likeness returns the cosine between all pairs of rows, less their mean.
func likeness(rows [][]float32) [][]float64 {
	mean := make([]float32, len(rows[0]))
	for _, r := range rows {
		for d, v := range r {
			mean[d] += v / float32(len(rows))
		}
	}
	for _, r := range rows {
		for d := range r {
			r[d] -= 0.9 * mean[d]
		}
	}
	out := make([][]float64, len(rows))
	for i := range rows {
		out[i] = make([]float64, len(rows))
		for j := range i {
			out[i][j] = cosine(rows[i], rows[j])
			out[j][i] = out[i][j]
		}
		out[i][i] = 1
	}
	return out
}

// lagNovelty returns, per bar, how much what it repeats changes there: the
// matrix of bar and distance, smoothed, differenced over time.
//
// Source: the structure features of [Serra2014].
func lagNovelty(like [][]float64) []float64 {
	n := len(like)
	// repeats[b][l]: bars from b on are like those l bars away.
	repeats := make([][]float64, n)
	for b := range n {
		repeats[b] = make([]float64, 2*n+1)
		for l := -b; l < n-b; l++ {
			if l < -1 || l > 1 { // a bar is always like itself
				v := like[b][b+l]
				repeats[b][l+n] = math.Max(0, v-0.3)
			}
		}
	}
	smooth := func(b, l int) float64 { // over two bars to both sides
		var sum, weight float64
		for d := -2; d <= 1; d++ {
			if b+d >= 0 && b+d < n {
				sum += repeats[b+d][l]
				weight++
			}
		}
		return sum / math.Max(1, weight)
	}
	out := make([]float64, n)
	for b := 1; b < n; b++ {
		for l := range 2*n + 1 {
			d := smooth(min(n-1, b+2), l) - smooth(max(0, b-2), l)
			out[b] += d * d
		}
		out[b] = math.Sqrt(out[b])
	}
	return out
}

// checkerboard returns, per bar, how much more alike the bars on each side are
// than the bars across.
//
// Source: [Foote2000].
func checkerboard(like [][]float64, half int) []float64 {
	n := len(like)
	out := make([]float64, n)
	for b := 1; b < n; b++ {
		var sum, weight float64
		for i := max(0, b-half); i < min(n, b+half); i++ {
			for j := max(0, b-half); j < min(n, b+half); j++ {
				sign := -1.0
				if (i < b) == (j < b) {
					sign = 1
				}
				x, y := float64(i-b)+0.5, float64(j-b)+0.5
				g := math.Exp(-(x*x + y*y) / float64(half*half))
				sum += sign * g * like[i][j]
				weight += g
			}
		}
		out[b] = sum / weight
	}
	return out
}

// chooseStarts returns the first bars of the sections: where much changes, at
// likely distances, by dynamic programming. The first section starts with bar 0,
// whose length is counted from bar first on.
func chooseStarts(change []float64, likely, first int) []int {
	n := len(change)
	best := make([]float64, n+1)
	back := make([]int, n+1)
	for to := 1; to <= n; to++ {
		best[to] = math.Inf(-1)
		for from := max(0, to-longestBars-first); from < to; from++ {
			if from > 0 && from <= first {
				continue
			}
			length := to - from
			if from == 0 {
				length -= first
			}
			if length < shortestBars && !(from == 0 && to == n) {
				continue
			}
			v := best[from] - lengthPenalty(max(1, length), likely)
			if to < n {
				v += change[to]
			}
			if v > best[to] {
				best[to], back[to] = v, from
			}
		}
		if math.IsInf(best[to], -1) {
			best[to], back[to] = -1e6, 0
		}
	}
	var starts []int
	for b := n; b > 0; b = back[b] {
		starts = append([]int{back[b]}, starts...)
	}
	return starts
}

func lengthPenalty(bars, likely int) float64 {
	octaves := math.Log2(float64(bars) / float64(likely))
	v := lengthCost * octaves * octaves
	switch {
	case bars%2 != 0:
		v += oddCost
	case bars%4 != 0:
		v += oddCost / 2
	}
	return v
}
