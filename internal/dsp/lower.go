package dsp

import (
	"math"
	"slices"
)

// lowerEdge is the share of the lowered Nyquist frequency up to which lowering
// keeps the sound: notes need it, and a filter with a narrower edge costs more.
const lowerEdge = 0.85

// lowering keeps every n-th sample after a symmetric low pass, so that it adds
// no delay: sample k is at n*k of the source.
type lowering struct {
	every int
	side  int         // taps on either side of the middle one
	taps  [][]float32 // tap t is number t/every of the list t%every
	part  []float32   // every every-th sample
}

// newLowering prepares to keep every n-th sample. What folds back into the kept
// band is 50 dB down.
//
// Source: windowed sinc, window and length by [Kaiser1974].
func newLowering(every int) *lowering {
	const stopDB = 50.0
	beta := 0.5842*math.Pow(stopDB-21, 0.4) + 0.07886*(stopDB-21)
	width := 2 * math.Pi * (1 - lowerEdge) / float64(every) // from the kept band to what folds into it
	side := int(math.Ceil((stopDB - 8) / (2.285 * width) / 2))
	half := make([]float64, side+1)
	var sum float64
	for i := range half {
		x := float64(i) / float64(side)
		g := bessel0(beta*math.Sqrt(1-x*x)) / float64(every)
		if i > 0 {
			a := math.Pi * float64(i) / float64(every)
			g *= math.Sin(a) / a
			sum += g
		}
		half[i] = g
		sum += g
	}
	l := &lowering{every: every, side: side, taps: make([][]float32, every)}
	for t := range 2*side + 1 {
		g := half[max(t-side, side-t)] / sum
		l.taps[t%every] = append(l.taps[t%every], float32(g))
	}
	return l
}

// bessel0 is the modified Bessel function of order zero, by its power series.
func bessel0(x float64) float64 {
	sum, term := 1.0, 1.0
	for k := 1.0; term > 1e-12*sum; k++ {
		term *= (x / 2 / k) * (x / 2 / k)
		sum += term
	}
	return sum
}

// lower writes the kept samples to dst; in holds the source from side samples
// before the first of them to side after the last.
func (l *lowering) lower(dst, in []float32) {
	clear(dst)
	for r, taps := range l.taps {
		l.part = slices.Grow(l.part[:0], len(dst)+len(taps))[:len(dst)+len(taps)-1]
		for i := range l.part {
			l.part[i] = in[i*l.every+r]
		}
		combine(dst, l.part, taps, 1)
	}
}
