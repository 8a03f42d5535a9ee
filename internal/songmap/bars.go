package songmap

import (
	"math"

	"takeweave/internal/dsp"
	"takeweave/internal/film"
)

const (
	// Weights of what marks the first beat of a bar, each in standard deviations.
	weightHarmony = 1.0
	weightBass    = 0.7
	weightAttack  = 0.4

	// lostCount is what it costs to count a bar too short or too long, in the
	// same unit: some eight clear downbeats.
	lostCount = 12.0

	// fourBias multiplies the evidence for four in a bar: most songs have it.
	// Common practice.
	fourBias = 1.2
)

// countBars returns how many beats a bar has, 3 or 4, and the beats with their
// place in it.
func countBars(h *heard, times []float64) (perBar int, beats []film.Beat) {
	accent := accents(h, times)
	best := math.Inf(-1)
	var count []int
	for _, m := range []int{4, 3} {
		places := places(accent, m)
		var sum float64
		n := 0
		for i, p := range places {
			if p == 0 {
				sum, n = sum+accent[i], n+1
			}
		}
		strength := sum / math.Sqrt(float64(max(n, 1)))
		if m == 4 {
			strength *= fourBias
		}
		if strength > best {
			best, perBar, count = strength, m, places
		}
	}
	for i, t := range times {
		beats = append(beats, film.Beat{At: film.SongTime(t), InBar: count[i]})
	}
	return perBar, beats
}

// accents returns how much each beat sounds like the first of a bar: change of
// harmony, of bass, strength of the attack; mean 0.
func accents(h *heard, times []float64) []float64 {
	n := len(times)
	two := dsp.FoldTwoPart(h.notes, 0)
	within := make([][]float32, n)
	for i := range times {
		to := times[i] + 0.6
		if i+1 < n {
			to = times[i+1]
		}
		within[i] = meanRow(two, times[i]+0.05, to)
	}
	harmony, bass, attack := make([]float64, n), make([]float64, n), make([]float64, n)
	for i := range times {
		attack[i] = float64(peakNear(h.onset, times[i]+latency, 0.05))
		if i == 0 {
			continue
		}
		harmony[i] = 1 - cosine(within[i], within[i-1])
		bass[i] = bassAt(h.notes, times[i]+0.12) - bassAt(h.notes, times[i]-0.10)
	}
	out := make([]float64, n)
	for _, part := range []struct {
		x      []float64
		weight float64
	}{{harmony, weightHarmony}, {bass, weightBass}, {attack, weightAttack}} {
		standardise(part.x)
		for i, v := range part.x {
			out[i] += part.weight * v
		}
	}
	standardise(out)
	return out
}

// places counts the beats in bars of m: the count whose first beats have the
// largest accents (Viterbi). Losing count costs lostCount.
func places(accent []float64, m int) []int {
	best := make([]float64, m)
	back := make([][]int, len(accent))
	for i, a := range accent {
		next := make([]float64, m)
		back[i] = make([]int, m)
		top := 0
		for p, v := range best {
			if v > best[top] {
				top = p
			}
		}
		for p := range next {
			from := (p + m - 1) % m
			next[p], back[i][p] = best[from], from
			if v := best[top] - lostCount; i > 0 && p == 0 && v > next[p] {
				next[p], back[i][p] = v, top
			}
		}
		next[0] += a
		best = next
	}
	out := make([]int, len(accent))
	p := 0
	for q, v := range best {
		if v > best[p] {
			p = q
		}
	}
	for i := len(accent) - 1; i >= 0; i-- {
		out[i] = p
		p = back[i][p]
	}
	return out
}

// barsOf groups the beats into bars. A pickup is a bar of its own.
func barsOf(beats []film.Beat, music film.SongSpan) []film.Bar {
	var bars []film.Bar
	for i, b := range beats {
		if i == 0 || b.InBar == 0 {
			bars = append(bars, film.Bar{Span: film.SongSpan{From: b.At}, FirstBeat: i})
		}
		bars[len(bars)-1].Count++
	}
	for i := range bars {
		bars[i].Span.To = music.To
		if i+1 < len(bars) {
			bars[i].Span.To = bars[i+1].Span.From
		}
	}
	return bars
}

// meanRow returns the average of the rows in [from, to) seconds, of one at least.
func meanRow(s *dsp.Series, from, to float64) []float32 {
	out := make([]float32, s.Dim)
	if s.Rows() == 0 {
		return out
	}
	a := min(max(int(math.Round(from*s.Hz))-s.First, 0), s.Rows()-1)
	b := min(max(int(math.Round(to*s.Hz))-s.First, a+1), s.Rows())
	for i := a; i < b; i++ {
		for d, v := range s.Row(i) {
			out[d] += v / float32(b-a)
		}
	}
	return out
}

func cosine(a, b []float32) float64 {
	return float64(dsp.Dot(a, b)) / math.Max(float64(dsp.Norm(a)*dsp.Norm(b)), 1e-6)
}

// bassAt returns how strong the bass sounds at t.
func bassAt(notes *dsp.Series, t float64) float64 {
	var sum float64
	for _, v := range meanRow(notes, t, t)[:bassTop-dsp.LowestNote] {
		sum += float64(v)
	}
	return sum
}

// peakNear returns the largest onset within reach seconds of t.
func peakNear(onset []float32, t, reach float64) float32 {
	var top float32
	for i := max(0, int((t-reach)*onsetHz)); i <= min(len(onset)-1, int((t+reach)*onsetHz)); i++ {
		top = max(top, onset[i])
	}
	return top
}

// standardise shifts and scales x to mean 0 and standard deviation 1; a constant
// becomes 0. Values are kept within 3 deviations.
func standardise(x []float64) {
	var mean, square float64
	for _, v := range x {
		mean += v / float64(len(x))
	}
	for _, v := range x {
		square += (v - mean) * (v - mean) / float64(len(x))
	}
	sd := math.Sqrt(square)
	for i := range x {
		if sd < 1e-9 {
			x[i] = 0
			continue
		}
		x[i] = math.Min(math.Max((x[i]-mean)/sd, -3), 3)
	}
}
