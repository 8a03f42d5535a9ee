package light

import "math"

// Banding returns how strong the bands of the mains are in a test of some
// seconds of a still wall: the amplitude against the light, as a share.
//
// pictures holds for every picture the mean light of each row, linear and above 0,
// and as many rows in each. safe is the same of one picture with a safe shutter,
// against which bands that stand still are seen too; without it, nil, the mean of
// the pictures serves, and only what moves is found. Everything that changes
// counts: a hand in the picture, and noise where pictures are small. The cleaner
// measure from whole clips is the picture room's.
//
// Source: the amplitude of a sine is its root mean square times the root of 2.
// No picture gives 0; what does not fit together is an error of code usage.
func Banding(pictures [][]float64, safe []float64) (float64, error) {
	if len(pictures) == 0 {
		return 0, nil
	}
	if safe == nil {
		safe = make([]float64, len(pictures[0]))
		for _, rows := range pictures {
			for i := range min(len(rows), len(safe)) {
				safe[i] += rows[i] / float64(len(pictures))
			}
		}
	}
	sum, n := 0.0, 0.0
	for _, rows := range pictures {
		if len(rows) != len(safe) {
			return 0, usage("the test's pictures differ in height", "give as many rows for each")
		}
		for i, v := range rows {
			if !(v > 0 && safe[i] > 0) {
				return 0, usage("a row of the test is black", "light the wall, and open the lens")
			}
			d := v/safe[i] - 1
			sum, n = sum+d*d, n+1
		}
	}
	return math.Sqrt2 * math.Sqrt(sum/max(1, n)), nil
}
