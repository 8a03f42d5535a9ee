package demo

import "sort"

// smooth is 0 below 0, 1 above 1, and rises without a corner between.
func smooth(x float64) float64 {
	if x <= 0 {
		return 0
	}
	if x >= 1 {
		return 1
	}
	return x * x * (3 - 2*x)
}

// lastBefore returns the last index of n things that is not after now, given
// after(i) in the order of time, or -1.
func lastBefore(n int, after func(i int) bool) int {
	return sort.Search(n, after) - 1
}
