package agree

import (
	"math"

	"takeweave/internal/dsp"
	"takeweave/internal/film"
)

// What is measured of each moment, over +-0.75 s.
const (
	attacks    = iota // correlation of attacks by pitch
	bassTone          // the same, bass alone
	trebleTone        // the same, treble alone
	noises            // correlation of attacks by band
	rhythm            // correlation of the strength of attacks, whatever the pitch
	inPlace           // attacks less what they correlate when the pass is moved by 0.2 to 0.7 s
	inKey             // attacks less what they correlate in other keys
	harmony           // cosine of the pitch classes that sound
	found             // share of the record's attacks that the pass has (by pitch)
	wanted            // share of the pass's attacks that the record has (by pitch)
	bend              // how far the map strays from a rigid placement, ms
	meant             // share of the time in which the record sounds
	heard             // share of the time in which the pass sounds
	measures
)

const (
	reach         = 0.75 // seconds to both sides
	soundingNorm  = 0.5  // length of a row of compressed notes from which something sounds
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
	e.window(b, attacks, func(i, j int) (float64, float64, float64) { return products(b.pitch[0][i][:], b.pitch[1][j][:]) }, 0)
	e.window(b, bassTone, func(i, j int) (float64, float64, float64) { return products(b.pitch[0][i][:12], b.pitch[1][j][:12]) }, 0)
	e.window(b, trebleTone, func(i, j int) (float64, float64, float64) { return products(b.pitch[0][i][12:], b.pitch[1][j][12:]) }, 0)
	e.window(b, noises, func(i, j int) (float64, float64, float64) { return products(b.band[0][i][:], b.band[1][j][:]) }, 0)
	total := func(r *row24) float32 {
		var s float32
		for _, v := range r {
			s += v
		}
		return s
	}
	e.window(b, rhythm, func(i, j int) (float64, float64, float64) {
		x, y := float64(total(&b.pitch[0][i])), float64(total(&b.pitch[1][j]))
		return x * y, x * x, y * y
	}, 0)
	moved := []float64{-0.7, -0.55, -0.4, -0.25, 0.25, 0.4, 0.55, 0.7}
	e.mean(inPlace, len(moved), func(k int) {
		e.window(b, inPlace, func(i, j int) (float64, float64, float64) { return products(b.pitch[0][i][:], b.pitch[1][j][:]) }, int(moved[k]*fluxHz))
	})
	turns := []int{2, 3, 4, 5, 7, 8, 9, 10}
	e.mean(inKey, len(turns), func(k int) {
		e.window(b, inKey, func(i, j int) (float64, float64, float64) {
			return productsTurned(&b.pitch[0][i], &b.pitch[1][j], turns[k])
		}, 0)
	})
	e.shares(b)
	e.tones(b)
	for m := range e.moments {
		x := &e.moments[m]
		x[inPlace] = x[attacks] - x[inPlace]
		x[inKey] = x[attacks] - x[inKey]
		x[bend] = b.bend(e.at(m))
		i := min(max(int((e.at(m))*fluxHz)-b.first, 0), n-1)
		e.lateMS[m] = math.Round(lags[i]/fluxHz*1e4) / 10
	}
	return e
}

// at returns the song time of the middle of moment m.
func (e *evidence) at(m int) float64 { return (float64(e.first+m) + 0.5) * film.AgreementStep }

// products returns the inner products of two rows: of both, of each with itself.
func products(a, b []float32) (ab, aa, bb float64) {
	return float64(dsp.Dot(a, b)), float64(dsp.Dot(a, a)), float64(dsp.Dot(b, b))
}

// productsTurned is products with the pitch classes of b moved up by turn.
func productsTurned(a, b *row24, turn int) (ab, aa, bb float64) {
	var sum float32
	for d := range 12 {
		k := d + turn
		if k >= 12 {
			k -= 12
		}
		sum += a[d]*b[k] + a[12+d]*b[12+k]
	}
	return float64(sum), float64(dsp.Dot(a[:], a[:])), float64(dsp.Dot(b[:], b[:]))
}

// window writes the normalised correlation around each moment, the pass moved by
// rows, to measure what.
func (e *evidence) window(b *beside, what int, of func(i, j int) (ab, aa, bb float64), moved int) {
	n := len(b.passAt)
	var parts [3][]float64
	for p := range parts {
		parts[p] = make([]float64, n+1)
	}
	for i := range n {
		j := min(max(i+moved, 0), n-1)
		ab, aa, bb := of(i, j)
		parts[0][i+1], parts[1][i+1], parts[2][i+1] = parts[0][i]+ab, parts[1][i]+aa, parts[2][i]+bb
	}
	const rest = 3.0 // keeps rests from shouting
	for m := range e.moments {
		lo, hi := b.rows(e.at(m)-reach, e.at(m)+reach)
		aa, bb := parts[1][hi]-parts[1][lo], parts[2][hi]-parts[2][lo]
		e.moments[m][what] = (parts[0][hi] - parts[0][lo]) / math.Sqrt((aa+rest)*(bb+rest))
	}
}

// rows returns the rows of [from, to) seconds of song, cut to what there is.
func (b *beside) rows(from, to float64) (lo, hi int) {
	n := len(b.passAt)
	lo = min(max(int(math.Round(from*fluxHz))-b.first, 0), n)
	hi = min(max(int(math.Round(to*fluxHz))-b.first, lo), n)
	return lo, hi
}

// mean averages measure what over n ways of computing it.
func (e *evidence) mean(what, n int, compute func(k int)) {
	sum := make([]float64, len(e.moments))
	for k := range n {
		compute(k)
		for m := range sum {
			sum[m] += e.moments[m][what] / float64(n)
		}
	}
	for m := range sum {
		e.moments[m][what] = sum[m]
	}
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
	on := func(side, i int) float64 {
		if b.level[side][i] > soundingNorm {
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
