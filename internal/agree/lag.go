package agree

import (
	"math"

	"takeweave/internal/dsp"
)

const (
	lagReach  = 12    // rows of fluxHz: +-120 ms
	lagWindow = 0.6   // seconds to both sides
	lagSteady = 1.5   // the same under a loudspeaker, which whoever plays along keeps up with
	lagHop    = 10    // rows
	lagBend   = 0.006 // cost of a change by one row from one hop to the next
	bandShare = 0.3   // of attacks by band against attacks by pitch
)

// lags returns, for every row, how many rows later the pass plays than the
// line-up says: the lags of the best correlation around, changing as little as
// possible.
func (b *beside) lags() []float64 {
	n := len(b.passAt)
	hops := n/lagHop + 1
	const width = 2*lagReach + 1
	score := make([][width]float64, hops)
	energy := [2][]float64{sums(n, func(i int) float64 { return b.power(ofRecord, i) }), sums(n, func(i int) float64 { return b.power(ofPass, i) })}
	half := int(b.lagWindow() * fluxHz)
	for l := range width {
		d := l - lagReach
		cross := sums(n, func(i int) float64 {
			if i+d < 0 || i+d >= n {
				return 0
			}
			r, p := i, i+d
			return float64(dsp.Dot(b.pitch[ofRecord][r][:], b.pitch[ofPass][p][:])) + bandShare*float64(dsp.Dot(b.band[ofRecord][r][:], b.band[ofPass][p][:]))
		})
		for h := range hops {
			lo, hi := max(0, h*lagHop-half), min(n, h*lagHop+half)
			plo, phi := min(max(0, lo+d), n), min(max(0, hi+d), n)
			e := math.Sqrt((energy[0][hi] - energy[0][lo] + 5) * (energy[1][phi] - energy[1][plo] + 5))
			score[h][l] = (cross[hi] - cross[lo]) / e
		}
	}
	// Viterbi over the hops.
	best := score[0]
	back := make([][width]int, hops)
	for h := 1; h < hops; h++ {
		var next [width]float64
		for l := range width {
			next[l] = math.Inf(-1)
			for k := max(0, l-3); k <= min(width-1, l+3); k++ {
				if v := best[k] - lagBend*float64((l-k)*(l-k)); v > next[l] {
					next[l], back[h][l] = v, k
				}
			}
			next[l] += score[h][l]
		}
		best = next
	}
	l := lagReach
	for k, v := range best {
		if v > best[l] {
			l = k
		}
	}
	at := make([]float64, hops)
	for h := hops - 1; h >= 0; h-- {
		off := 0.0
		if l > 0 && l < width-1 {
			off, _ = dsp.Parabola(score[h][l-1], score[h][l], score[h][l+1])
		}
		at[h] = float64(l-lagReach) + off
		l = back[h][l]
	}
	out := make([]float64, n)
	for i := range out {
		h := min(i/lagHop, hops-1)
		k := min(h+1, hops-1)
		out[i] = at[h] + float64(i%lagHop)/lagHop*(at[k]-at[h])
	}
	return out
}

func (b *beside) lagWindow() float64 {
	if b.under {
		return lagSteady
	}
	return lagWindow
}

func (b *beside) power(side, i int) float64 {
	return float64(dsp.Dot(b.pitch[side][i][:], b.pitch[side][i][:])) + bandShare*float64(dsp.Dot(b.band[side][i][:], b.band[side][i][:]))
}

// sums returns the running sums of f(0..n-1), one longer than n.
func sums(n int, f func(i int) float64) []float64 {
	out := make([]float64, n+1)
	for i := range n {
		out[i+1] = out[i] + f(i)
	}
	return out
}
