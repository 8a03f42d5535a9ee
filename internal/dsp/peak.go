package dsp

// Parabola fits a parabola through three equally spaced values around a peak
// and returns the place of its top, -0.5..0.5 from the middle, and its height.
// Where the middle is not a peak it returns 0 and the middle.
func Parabola(before, middle, after float64) (offset, height float64) {
	curve := before - 2*middle + after
	if curve >= 0 || middle < before || middle < after {
		return 0, middle
	}
	offset = (before - after) / (2 * curve)
	return offset, middle - (before-after)*offset/4
}

// Peak is a local maximum of a curve.
type Peak struct {
	At    int
	Value float32
}

// TopPeaks returns up to count local maxima of y, the highest first, no two
// closer than apart samples.
func TopPeaks(y []float32, count, apart int) []Peak {
	var out []Peak
	taken := make([]bool, len(y))
	for len(out) < count {
		best := -1
		for i, v := range y {
			if taken[i] || (i > 0 && y[i-1] > v) || (i+1 < len(y) && y[i+1] > v) {
				continue
			}
			if best < 0 || v > y[best] {
				best = i
			}
		}
		if best < 0 {
			break
		}
		out = append(out, Peak{best, y[best]})
		for i := max(0, best-apart+1); i < min(len(y), best+apart); i++ {
			taken[i] = true
		}
	}
	return out
}
