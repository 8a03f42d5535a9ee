package agree

import (
	"math"
	"slices"

	"takeweave/internal/dsp"
	"takeweave/internal/film"
)

// What is measured of each moment, over +-0.75 s.
const (
	harmony = iota // cosine of the pitch classes that sound
	found          // share of the record's attacks that the pass has, by semitone
	wanted         // share of the pass's attacks that the record has, by semitone
	density        // logarithm of how many more attacks the pass has than the record
	level          // how much harder the pass plays what both play than it usually does, dB
	bend           // how far the map strays from a rigid placement, ms to both sides
	meant          // share of the time in which the record sounds
	heard          // share of the time in which the pass sounds
	measures
)

const (
	reach         = 0.75 // seconds to both sides
	soundingNorm  = 3.2  // of tonal: generated playing has 6 to 9 in the middle, noise lifted by automatic gain up to 3
	soundingShare = 0.6  // of the usual level, which is logarithmic: some 20 dB down
	roomMS        = 5.0  // by which a room's echo makes attacks seem late: half of the generated passes have more
	leastSounding = 0.15 // share of the time below which nothing is played
)

// evidence is what was measured along one segment, on the grid of agreement.
type evidence struct {
	first   int
	moments [][measures]float64
	lateMS  []float64
	under   bool    // of what is played under a loudspeaker
	levelDB float64 // of that over the loudspeaker
}

// gather measures every moment of a segment.
func gather(b *beside) *evidence {
	e := &evidence{first: int(math.Floor(b.from/film.AgreementStep + 1e-9)), under: b.under}
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
	e.matches(b, lags)
	e.tones(b)
	for m := range e.moments {
		e.moments[m][bend] = b.bend(e.at(m))
		row, _ := b.rows(e.at(m), e.at(m))
		e.lateMS[m] = math.Round(lags[min(row, n-1)]/fluxHz*1e4-10*roomMS) / 10
	}
	return e
}

// at returns the song time of the middle of moment m.
func (e *evidence) at(m int) float64 { return (float64(e.first+m) + 0.5) * film.AgreementStep }

// rows returns the rows of [from, to) seconds of song, cut to what there is.
func (b *beside) rows(from, to float64) (lo, hi int) {
	n := len(b.passAt)
	lo = min(max(int(math.Round(from*fluxHz))-b.first, 0), n)
	hi = min(max(int(math.Round(to*fluxHz))-b.first, lo), n)
	return lo, hi
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

// usual returns, per measure, what this pass gives when it agrees: the 80th
// percentile over all moments in which the record sounds; of density the median.
// Of the quantiles 0.5, 0.6, 0.7 and 0.8 the last told best.
func usual(all []*evidence) [measures]float64 {
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
		own[k] = dsp.Quantile(x, 0.8)
		if k == density {
			own[k] = dsp.Median(x)
		}
	}
	return own
}
