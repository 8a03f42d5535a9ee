package loudness

import (
	"math"
	"slices"
)

// Gates, in LUFS and LU.
const (
	absoluteLUFS = -70.0 // [BS1770] Annex 1, equation 5; [TECH3342]
	relativeLU   = -10.0 // of integrated loudness: [BS1770] Annex 1, equation 6
	rangeGateLU  = -20.0 // of the loudness range: [TECH3342]
)

// Integrated returns the gated loudness in LUFS of blocks of 400 ms that overlap
// by three quarters, given as mean K-weighted powers. No blocks give NaN; minus
// infinity means that all lie at or below -70 LUFS.
//
// Source: [BS1770], Annex 1, equations 3 to 7.
func Integrated(powers []float64) Level {
	if len(powers) == 0 {
		return Level(math.NaN())
	}
	floor := powerOf(absoluteLUFS)
	gate := max(floor, meanAbove(powers, floor)*math.Pow(10, relativeLU/10))
	return lufs(meanAbove(powers, gate))
}

// meanAbove returns the mean of the powers above a limit, 0 when there is none.
func meanAbove(powers []float64, limit float64) float64 {
	var sum float64
	n := 0
	for _, p := range powers {
		if p > limit {
			sum += p
			n++
		}
	}
	return sum / float64(max(n, 1))
}

// powerOf returns the mean power that reads as a loudness.
func powerOf(loudnessLUFS float64) float64 { return math.Pow(10, (loudnessLUFS-zeroLUFS)/10) }

// Range returns the loudness range in LU of short-term loudness, given as mean
// K-weighted powers of 3 s at ten or more values a second: from the 10th to the
// 95th percentile of what passes the gates. NaN when nothing does.
//
// Source: [TECH3342], section 3 and the program in its annex.
func Range(powers []float64) Level {
	floor := powerOf(absoluteLUFS)
	var loud []float64
	var sum float64
	for _, p := range powers {
		if p >= floor {
			loud = append(loud, p)
			sum += p
		}
	}
	gate := sum / float64(len(loud)) * math.Pow(10, rangeGateLU/10)
	loud = slices.DeleteFunc(loud, func(p float64) bool { return p < gate })
	if len(loud) == 0 {
		return Level(math.NaN())
	}
	slices.Sort(loud)
	percentile := func(share float64) Level {
		return lufs(loud[int(math.Round(float64(len(loud)-1)*share))])
	}
	return percentile(0.95) - percentile(0.10)
}
