package songmap

import (
	"math"

	"takeweave/internal/dsp"
	"takeweave/internal/film"
)

const (
	likelyLine = 7.0 // seconds a line lasts; common practice, 36 lines in 252 s
	lineCost   = 1.0 // for a line of half or double that length
	unevenCost = 0.6 // for a line of an odd number of bars
	restWeight = 0.5 // for a melody that rests before the line, in deviations
)

// The range of a sung melody in MIDI notes, A3 to A5.
const (
	melodyLow  = 57
	melodyHigh = 81
)

// linesOf breaks every section into lines of a few bars.
func linesOf(h *heard, song film.Song) []film.Line {
	rest := rests(h, song.Bars)
	var out []film.Line
	for s, sec := range song.Sections {
		var bars []int
		for b, bar := range song.Bars {
			if sec.Span.Holds(bar.Span.From) {
				bars = append(bars, b)
			}
		}
		number := 0
		starts := breakLines(song.Bars, bars, rest)
		for k, b := range starts {
			to := sec.Span.To
			if k+1 < len(starts) {
				to = song.Bars[starts[k+1]].Span.From
			}
			number++
			out = append(out, film.Line{Section: s, Number: number, Span: film.SongSpan{From: song.Bars[b].Span.From, To: to}})
		}
	}
	return out
}

// breakLines returns the first bar of each line of a section: lines of likely
// length that begin after a rest, by dynamic programming.
func breakLines(all []film.Bar, bars []int, rest []float64) []int {
	n := len(bars)
	best := make([]float64, n+1)
	back := make([]int, n+1)
	for to := 1; to <= n; to++ {
		best[to] = math.Inf(-1)
		for from := max(0, to-8); from < to; from++ {
			length := float64(all[bars[to-1]].Span.To - all[bars[from]].Span.From)
			octaves := math.Log2(math.Max(length, 0.1) / likelyLine)
			v := best[from] - lineCost*octaves*octaves
			if count := to - from; count%2 != 0 {
				v -= unevenCost
			}
			if from > 0 {
				v += restWeight * rest[bars[from]]
			}
			if v > best[to] {
				best[to], back[to] = v, from
			}
		}
	}
	var starts []int
	for k := n; k > 0; k = back[k] {
		starts = append([]int{bars[back[k]]}, starts...)
	}
	return starts
}

// rests returns, per bar, how much the melody pauses just before it, in
// deviations.
func rests(h *heard, bars []film.Bar) []float64 {
	out := make([]float64, len(bars))
	for b, bar := range bars {
		length := bar.Span.Len()
		at := float64(bar.Span.From)
		out[b] = melody(h, at-length, at-length/2) - melody(h, at-length/4, at)
	}
	standardise(out)
	return out
}

// melody returns how strongly the most prominent note of a singing voice's range
// sounds in [from, to) seconds.
func melody(h *heard, from, to float64) float64 {
	row := meanRow(h.notes, from, to)
	var top float32
	for n := melodyLow; n <= melodyHigh; n++ {
		top = max(top, row[n-dsp.LowestNote])
	}
	return float64(top)
}
