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
	around   // mean of the moments a second before and after
)

// features are what the chance is weighed from.
var features = []feature{
	{"attacks", attacks, plain},
	{"bass attacks", bassTone, plain},
	{"treble attacks", trebleTone, plain},
	{"noises", noises, plain},
	{"rhythm", rhythm, plain},
	{"in place", inPlace, plain},
	{"in key", inKey, plain},
	{"harmony", harmony, plain},
	{"found", found, plain},
	{"wanted", wanted, plain},
	{"attacks, relative", attacks, relative},
	{"noises, relative", noises, relative},
	{"in place, relative", inPlace, relative},
	{"harmony, relative", harmony, relative},
	{"found, relative", found, relative},
	{"wanted, relative", wanted, relative},
	{"attacks around", attacks, around},
	{"harmony around", harmony, around},
	{"found around", found, around},
}

// leastOwn keeps a pass that agrees nowhere from being its own measure: no
// better part counts as lower than this. The 5th percentile of the generated
// passes in which most agrees.
var leastOwn = [measures]float64{attacks: 0.35, noises: 0.2, inPlace: 0.15, harmony: 0.7, found: 0.55, wanted: 0.55, rhythm: 0.7}

// features returns the features of moment i.
func (e *evidence) features(i int, own [measures]float64) []float64 {
	const second = 20 // moments
	before, after := &e.moments[max(0, i-second)], &e.moments[min(len(e.moments)-1, i+second)]
	out := make([]float64, len(features))
	for k, f := range features {
		x := e.moments[i][f.measure]
		switch f.how {
		case relative:
			x = math.Min(1.5, x/math.Max(own[f.measure], leastOwn[f.measure]))
		case around:
			x = (before[f.measure] + after[f.measure]) / 2
		}
		out[k] = x
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

var weights = []float64{
	-17.89,  // constant
	0,       // attacks
	0.03105, // bass attacks
	0,       // treble attacks
	1.457,   // noises
	0,       // rhythm
	0,       // in place
	0,       // in key
	0,       // harmony
	0,       // found
	0.491,   // wanted
	2.265,   // attacks, relative
	0,       // noises, relative
	0,       // in place, relative
	4.465,   // harmony, relative
	3.53,    // found, relative
	3.531,   // wanted, relative
	1.346,   // attacks around
	6.799,   // harmony around
	1.48,    // found around
}
