package loudness

import "math"

// biquad is a filter of second order with its memory, in transposed direct
// form II: y[n] = b0 x[n] + b1 x[n-1] + b2 x[n-2] - a1 y[n-1] - a2 y[n-2].
type biquad struct {
	b0, b1, b2, a1, a2 float64
	s1, s2             float64
}

func (f *biquad) next(x float64) float64 {
	y := f.b0*x + f.s1
	f.s1 = f.b1*x - f.a1*y + f.s2
	f.s2 = f.b2*x - f.a2*y
	return y
}

// settle forgets memory too small to matter (-600 dB), on which arithmetic
// would be slow.
func (f *biquad) settle() {
	if math.Abs(f.s1) < 1e-30 && math.Abs(f.s2) < 1e-30 {
		f.s1, f.s2 = 0, 0
	}
}

// The two stages of the K-weighting as analogue filters, from which the digital
// ones follow at any sample rate. At 48 kHz they give the coefficients that
// [BS1770] prints in Annex 1, tables 1 and 2, to eleven places.
//
// Source: [DeMan2018].
const (
	shelfHz    = 1681.974450955533
	shelfDB    = 3.999843853973347
	shelfQ     = 0.7071752369554196
	shelfBand  = 0.4996667741545416 // exponent of the gain at the shelf's middle
	highPassHz = 38.13547087602444
	highPassQ  = 0.5003270373238773
)

// shelf returns the first stage: the head as a sphere.
func shelf(rateHz float64) biquad {
	k := math.Tan(math.Pi * shelfHz / rateHz)
	high := math.Pow(10, shelfDB/20)
	band := math.Pow(high, shelfBand)
	a0 := 1 + k/shelfQ + k*k
	return biquad{
		b0: (high + band*k/shelfQ + k*k) / a0,
		b1: 2 * (k*k - high) / a0,
		b2: (high - band*k/shelfQ + k*k) / a0,
		a1: 2 * (k*k - 1) / a0,
		a2: (1 - k/shelfQ + k*k) / a0,
	}
}

// highPass returns the second stage. At 48 kHz its numerator is 1, -2, 1 as
// printed, which lets highs pass 0.04 dB too loud; at other rates it lets them
// pass just as loud.
func highPass(rateHz float64) biquad {
	scale := func(hz float64) (k, a0 float64) {
		k = math.Tan(math.Pi * highPassHz / hz)
		return k, 1 + k/highPassQ + k*k
	}
	k, a0 := scale(rateHz)
	_, printed := scale(48000)
	b := printed / a0
	return biquad{
		b0: b, b1: -2 * b, b2: b,
		a1: 2 * (k*k - 1) / a0,
		a2: (1 - k/highPassQ + k*k) / a0,
	}
}
