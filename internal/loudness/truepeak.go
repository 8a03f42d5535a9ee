package loudness

import "math"

// phases are the four phases of the interpolating filter of order 48.
//
// Source: [BS1770], Annex 2, the table of filter coefficients.
var phases = [4][taps]float64{
	{0.0017089843750, 0.0109863281250, -0.0196533203125, 0.0332031250000, -0.0594482421875, 0.1373291015625, 0.9721679687500, -0.1022949218750, 0.0476074218750, -0.0266113281250, 0.0148925781250, -0.0083007812500},
	{-0.0291748046875, 0.0292968750000, -0.0517578125000, 0.0891113281250, -0.1665039062500, 0.4650878906250, 0.7797851562500, -0.2003173828125, 0.1015625000000, -0.0582275390625, 0.0330810546875, -0.0189208984375},
	{-0.0189208984375, 0.0330810546875, -0.0582275390625, 0.1015625000000, -0.2003173828125, 0.7797851562500, 0.4650878906250, -0.1665039062500, 0.0891113281250, -0.0517578125000, 0.0292968750000, -0.0291748046875},
	{-0.0083007812500, 0.0148925781250, -0.0266113281250, 0.0476074218750, -0.1022949218750, 0.9721679687500, 0.1373291015625, -0.0594482421875, 0.0332031250000, -0.0196533203125, 0.0109863281250, 0.0017089843750},
}

const taps = 12

// Phase 3 is phase 0 backwards, and phase 2 phase 1. So each pair is worked out
// from the sums and the differences of the samples at equal distance from the
// middle, with half the multiplications: the pair is even+odd and even-odd, and
// the greater magnitude of the two is |even|+|odd|.
var evens, odds = halves()

func halves() (evens, odds [2][taps / 2]float64) {
	for p := range 2 {
		for k := range taps / 2 {
			a, b := phases[p][k], phases[p][taps-1-k]
			evens[p][k], odds[p][k] = (a+b)/2, (a-b)/2
		}
	}
	return evens, odds
}

// enoughHz is the sample rate from which the samples themselves are close
// enough: four times 48 kHz. Source: [BS1770], Annex 2.
const enoughHz = 192000

// peakMeter follows the true peak of one channel.
type peakMeter struct {
	last    [2 * taps]float64 // the last 12 samples, twice, so that they lie in a row from at
	at      int
	between bool // look between the samples
}

// next takes a sample and returns the greatest magnitude around the one half a
// filter before it, at least that of the sample itself.
func (p *peakMeter) next(x float64) float64 {
	peak := math.Abs(x)
	if !p.between {
		return peak
	}
	p.last[p.at], p.last[p.at+taps] = x, x
	p.at++
	if p.at == taps {
		p.at = 0
	}
	w := (*[taps]float64)(p.last[p.at:])
	var even0, odd0, even1, odd1 float64
	for k := range taps / 2 {
		sum, difference := w[k]+w[taps-1-k], w[k]-w[taps-1-k]
		even0 += evens[0][k] * sum
		odd0 += odds[0][k] * difference
		even1 += evens[1][k] * sum
		odd1 += odds[1][k] * difference
	}
	return max(peak, math.Abs(even0)+math.Abs(odd0), math.Abs(even1)+math.Abs(odd1))
}
