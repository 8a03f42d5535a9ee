package songmap

import (
	"math"

	"takeweave/internal/dsp"
)

// Tempo is looked for on a logarithmic grid.
const (
	slowestBPM  = 42.0
	fastestBPM  = 210.0
	tempoStep   = 0.02 // natural logarithm: 2 %
	tempoWindow = 8.0  // seconds
	tempoHop    = 0.5  // seconds
	multiples   = 4    // of the period that must also fit

	// A wide preference for walking pace, in octaves of spread. Source: the shape
	// and the spread are those of [Ellis2007], centre 120; ballads are slower.
	likelyBPM    = 105.0
	likelySpread = 0.9
	priorWeight  = 0.25

	// Bending: a change of 2 % from one hop to the next costs this much of the
	// correlation, growing with the square.
	bendCost = 0.004
)

// pulseWeights are how much each curve of heard.pulse counts.
var pulseWeights = [3]float64{0.5, 0.3, 0.2}

// tempoCurve is the length of a beat every tempoHop seconds from 0.
type tempoCurve struct {
	period  []float64 // seconds
	clarity []float64 // how well the chosen period explains the window, about 0..1
}

// at returns the length of a beat at t.
func (c *tempoCurve) at(t float64) float64 {
	x := math.Min(math.Max(t/tempoHop, 0), float64(len(c.period)-1))
	i := min(int(x), len(c.period)-1)
	j := min(i+1, len(c.period)-1)
	return c.period[i] + (x-float64(i))*(c.period[j]-c.period[i])
}

// tempoOf chooses the tempo over time: the periods whose multiples correlate
// best with the onsets around, bending as little as possible.
func tempoOf(h *heard) *tempoCurve {
	var curves []*dsp.Series
	for _, p := range h.pulse {
		curves = append(curves, (&dsp.Series{Hz: onsetHz, Dim: 1, Data: p}).Smooth(0.06, 2))
	}
	var periods []float64
	for v := math.Log(60 / fastestBPM); v <= math.Log(60/slowestBPM); v += tempoStep {
		periods = append(periods, math.Exp(v))
	}
	hops := max(1, int(math.Ceil(float64(len(h.onset))/onsetHz/tempoHop)))
	fit := make([][]float64, hops)
	score := make([][]float64, hops)
	for k := range hops {
		score[k] = make([]float64, len(periods))
		for c, x := range curves {
			comb := combs(autocorrelation(x, float64(k)*tempoHop), x.Hz, periods)
			if c == 0 {
				fit[k] = comb
			}
			for j, v := range comb {
				score[k][j] += pulseWeights[c] * v
			}
		}
		for j, p := range periods {
			octaves := math.Log2(60/p/likelyBPM) / likelySpread
			score[k][j] -= priorWeight * octaves * octaves / 2
		}
	}
	curve := &tempoCurve{}
	for k, j := range smoothPath(score, bendCost) {
		curve.period = append(curve.period, periods[j])
		curve.clarity = append(curve.clarity, fit[k][j])
	}
	return curve
}

// autocorrelation returns the correlation of the window around t with itself
// shifted by each lag, 1 at lag 0, corrected for the overlap.
func autocorrelation(x *dsp.Series, t float64) []float64 {
	n := int(tempoWindow * x.Hz)
	from := int((t - tempoWindow/2) * x.Hz)
	from = max(0, min(from, x.Rows()-n))
	part := x.Data[from:min(from+n, x.Rows())]
	var mean float64
	for _, v := range part {
		mean += float64(v) / float64(len(part))
	}
	centred := make([]float32, len(part))
	for i, v := range part {
		centred[i] = v - float32(mean)
	}
	all := dsp.Correlate(centred, centred)[len(centred)-1:]
	out := make([]float64, len(all))
	if !(all[0] > 0) {
		return out
	}
	for l, v := range all {
		out[l] = float64(v) / float64(all[0]) * float64(len(all)) / float64(max(len(all)-l, len(all)/5))
	}
	return out
}

// combs returns, per period, the mean correlation at its multiples.
func combs(ac []float64, hz float64, periods []float64) []float64 {
	at := func(lag float64) (float64, bool) {
		x := lag * hz
		i := int(x)
		if i+1 >= len(ac)*4/5 {
			return 0, false
		}
		return ac[i] + (x-float64(i))*(ac[i+1]-ac[i]), true
	}
	out := make([]float64, len(periods))
	for j, p := range periods {
		var sum, n float64
		for k := 1; k <= multiples; k++ {
			on, ok := at(p * float64(k))
			if !ok {
				break
			}
			sum += on
			n++
		}
		if n > 0 {
			out[j] = sum / n
		}
	}
	return out
}

// smoothPath returns the column of each row that together have the largest
// score, less cost times the square of each step (Viterbi). A step is at most 6.
func smoothPath(score [][]float64, cost float64) []int {
	const reach = 6
	n := len(score[0])
	best := append([]float64(nil), score[0]...)
	back := make([][]int, len(score))
	for k := 1; k < len(score); k++ {
		next := make([]float64, n)
		back[k] = make([]int, n)
		for j := range next {
			next[j] = math.Inf(-1)
			for i := max(0, j-reach); i <= min(n-1, j+reach); i++ {
				if v := best[i] - cost*float64((i-j)*(i-j)); v > next[j] {
					next[j], back[k][j] = v, i
				}
			}
			next[j] += score[k][j]
		}
		best = next
	}
	path := make([]int, len(score))
	last := len(path) - 1
	for j, v := range best {
		if v > best[path[last]] {
			path[last] = j
		}
	}
	for k := last; k > 0; k-- {
		path[k-1] = back[k][path[k]]
	}
	return path
}
