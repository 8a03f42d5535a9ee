package agree

import "math"

// feature is one number of a moment that counts for its score.
type feature struct {
	name    string
	measure int
	how     int
}

// How a feature is made of a measure.
const (
	plain    = iota
	relative // to the pass's own better part
	around   // the same, mean of the moments a second before and after
)

// features are what the chance is weighed from.
var features = []feature{
	{"attacks", attacks, plain},
	{"treble attacks, relative", treble, relative},
	{"harmony, relative", harmony, relative},
	{"found, relative", found, relative},
	{"wanted, relative", wanted, relative},
	{"attacks around", attacks, around},
	{"harmony around", harmony, around},
}

// leastOwn keeps a pass that agrees nowhere from being its own measure: no
// better part counts as lower than this. Between what disagreeing moments of the
// generated passes have in the middle and the least that a good pass has as its
// better part.
var leastOwn = [measures]float64{attacks: 0.45, treble: 0.45, harmony: 0.75, found: 0.6, wanted: 0.6}

// features returns the features of moment i.
func (e *evidence) features(i int, own [measures]float64) []float64 {
	const second = 20 // moments
	before, after := &e.moments[max(0, i-second)], &e.moments[min(len(e.moments)-1, i+second)]
	share := func(m *[measures]float64, k int) float64 { return math.Min(1.25, m[k]/math.Max(own[k], leastOwn[k])) }
	out := make([]float64, len(features))
	for k, f := range features {
		switch f.how {
		case plain:
			out[k] = e.moments[i][f.measure]
		case relative:
			out[k] = share(&e.moments[i], f.measure)
		case around:
			out[k] = (share(before, f.measure) + share(after, f.measure)) / 2
		}
	}
	return out
}

// weigh returns the chance for features x by weights w, of which the first is
// the constant.
func weigh(w, x []float64) float64 {
	z := w[0]
	for k, v := range x {
		z += w[k+1] * v
	}
	return 1 / (1 + math.Exp(-z))
}

// weights were fitted by TestRefit (run it with TAKEWEAVE_REFIT=1 and
// TAKEWEAVE_SONGS=96; it prints this table) on generated songs of 20 bars: picked
// and strummed, with and without a singer and players whom nobody films, in rooms
// from dry to echoing at 4 to 24 dB over the noise, with wrong notes, other
// patterns and riffs, thinned, busy and stopped stretches. None may be negative:
// more likeness never counts against. Songs left out of the fit, moments that
// clearly agree or differ: area under the curve 0.994, calibration error 0.023,
// precision 0.97 and recall 0.99 at 0.5.
var weights = []float64{
	-13.99, // constant
	5.331,  // attacks
	1.219,  // treble attacks, relative
	4.257,  // harmony, relative
	1.478,  // found, relative
	1.707,  // wanted, relative
	1.316,  // attacks around
	5.171,  // harmony around
}
