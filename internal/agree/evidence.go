package agree

import (
	"math"
	"slices"

	"takeweave/internal/dsp"
	"takeweave/internal/film"
)

// What is measured of each moment, over +-0.75 s.
const (
	attacks = iota // correlation of attacks by pitch
	treble         // the same, pitches of the treble alone
	harmony        // cosine of the pitch classes that sound
	found          // share of the record's attacks that the pass has, by pitch
	wanted         // share of the pass's attacks that the record has, by pitch
	bend           // how far the map strays from a rigid placement, ms to both sides
	meant          // share of the time in which the record sounds
	heard          // share of the time in which the pass sounds
	measures
)

const (
	reach         = 0.75 // seconds to both sides
	soundingNorm  = 3.2  // of tonal: generated playing has 6 to 9 in the middle, noise lifted by automatic gain up to 3
	soundingShare = 0.6  // of the usual level, which is logarithmic: some 20 dB down
	leastSounding = 0.15 // share of the time below which nothing is played
)

// evidence is what was measured along one segment, on the grid of agreement.
type evidence struct {
	first   int
	moments [][measures]float64
	lateMS  []float64
}

// gather measures every moment of a segment.
func gather(b *beside) *evidence {
	e := &evidence{first: int(math.Floor(b.from/film.AgreementStep + 1e-9))}
	end := int(math.Ceil(b.to/film.AgreementStep - 1e-9))
	n := len(b.passAt)
	if n < 2 {
		end = e.first
	}
	e.moments = make([][measures]float64, max(0, end-e.first))
	e.lateMS = make([]float64, len(e.moments))
	if len(e.moments) == 0 {
		return e
	}
	lags := b.lags()
	b.shift(lags)
	pitch := &b.pitch
	e.window(b, attacks, func(i int) (r, p []float32) { return pitch[ofRecord][i][:], pitch[ofPass][i][:] })
	e.window(b, treble, func(i int) (r, p []float32) { return pitch[ofRecord][i][12:], pitch[ofPass][i][12:] })
	e.shares(b)
	e.tones(b)
	for m := range e.moments {
		e.moments[m][bend] = b.bend(e.at(m))
		row, _ := b.rows(e.at(m), e.at(m))
		e.lateMS[m] = math.Round(lags[min(row, n-1)]/fluxHz*1e4) / 10
	}
	return e
}

// at returns the song time of the middle of moment m.
func (e *evidence) at(m int) float64 { return (float64(e.first+m) + 0.5) * film.AgreementStep }

// window writes the normalised correlation of two rows around each moment to
// measure what.
func (e *evidence) window(b *beside, what int, rows func(i int) (record, pass []float32)) {
	n := len(b.passAt)
	product := func(of func(r, p []float32) float32) []float64 {
		return sums(n, func(i int) float64 { return float64(of(rows(i))) })
	}
	both := product(dsp.Dot)
	record := product(func(r, _ []float32) float32 { return dsp.Dot(r, r) })
	pass := product(func(_, p []float32) float32 { return dsp.Dot(p, p) })
	const rest = 3.0 // keeps rests from shouting
	for m := range e.moments {
		lo, hi := b.rows(e.at(m)-reach, e.at(m)+reach)
		e.moments[m][what] = (both[hi] - both[lo]) / math.Sqrt((record[hi]-record[lo]+rest)*(pass[hi]-pass[lo]+rest))
	}
}

// rows returns the rows of [from, to) seconds of song, cut to what there is.
func (b *beside) rows(from, to float64) (lo, hi int) {
	n := len(b.passAt)
	lo = min(max(int(math.Round(from*fluxHz))-b.first, 0), n)
	hi = min(max(int(math.Round(to*fluxHz))-b.first, lo), n)
	return lo, hi
}

// shares measures which share of each side's attacks the other side has: per
// pitch the smaller of both, where the other may lie up to 30 ms off.
func (e *evidence) shares(b *beside) {
	const near = 3 // rows
	n := len(b.passAt)
	common := func(a, other []row24) (sumsCommon, sumsAll []float64) {
		sumsCommon, sumsAll = make([]float64, n+1), make([]float64, n+1)
		for i := range n {
			var c, all float64
			for d := range 24 {
				v := a[i][d] - 0.3
				if v <= 0 {
					continue
				}
				var most float32
				for k := max(0, i-near); k <= min(n-1, i+near); k++ {
					most = max(most, other[k][d])
				}
				c += float64(min(v, 1.5*most))
				all += float64(v)
			}
			sumsCommon[i+1], sumsAll[i+1] = sumsCommon[i]+c, sumsAll[i]+all
		}
		return sumsCommon, sumsAll
	}
	for what, sides := range map[int][2]int{found: {0, 1}, wanted: {1, 0}} {
		c, all := common(b.pitch[sides[0]], b.pitch[sides[1]])
		for m := range e.moments {
			lo, hi := b.rows(e.at(m)-reach, e.at(m)+reach)
			e.moments[m][what] = (c[hi] - c[lo]) / (all[hi] - all[lo] + 3)
		}
	}
}

// tones measures what sounds, rather than what starts.
func (e *evidence) tones(b *beside) {
	n := len(b.tone[0])
	var limit [2]float64
	for side := range limit {
		limit[side] = math.Max(soundingNorm, soundingShare*dsp.Median(slices.Clone(b.level[side])))
	}
	on := func(side, i int) float64 {
		if b.level[side][i] > limit[side] {
			return 1
		}
		return 0
	}
	weight := func(i int) float64 { return math.Max(on(0, i), on(1, i)) }
	same := sums(n, func(i int) float64 { return weight(i) * float64(dsp.Dot(b.tone[0][i][:], b.tone[1][i][:])) })
	both := sums(n, weight)
	record, pass := sums(n, func(i int) float64 { return on(0, i) }), sums(n, func(i int) float64 { return on(1, i) })
	for m := range e.moments {
		lo, hi := b.rows(e.at(m)-reach, e.at(m)+reach)
		lo, hi = min(lo/2, n), min(hi/2, n)
		x := &e.moments[m]
		x[harmony] = (same[hi] - same[lo] + 0.5) / (both[hi] - both[lo] + 1)
		x[meant] = (record[hi] - record[lo]) / math.Max(1, float64(hi-lo))
		x[heard] = (pass[hi] - pass[lo]) / math.Max(1, float64(hi-lo))
	}
}

// bend returns how far, in ms to both sides, the map strays from a rigid
// placement within a second of t.
func (b *beside) bend(t float64) float64 {
	lo, hi := b.rows(t-1, t+1)
	least, most := math.Inf(1), math.Inf(-1)
	for i := lo; i < hi; i += 5 {
		d := b.passAt[i] - float64(b.first+i)/fluxHz
		least, most = math.Min(least, d), math.Max(most, d)
	}
	if hi <= lo {
		return 0
	}
	return (most - least) / 2 * 1000
}

// betterPart returns, per measure, its 70th percentile over all moments in
// which the record sounds: what this pass gives when it agrees.
func betterPart(all []*evidence) [measures]float64 {
	var own [measures]float64
	for k := range own {
		var x []float64
		for _, e := range all {
			for _, m := range e.moments {
				if m[meant] > leastSounding {
					x = append(x, m[k])
				}
			}
		}
		own[k] = dsp.Quantile(x, 0.7)
	}
	return own
}
