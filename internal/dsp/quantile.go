package dsp

import (
	"math"
	"slices"
)

// Quantile returns the q-th quantile (0..1) of values, linear between ranks; 0
// for none. values is reordered.
func Quantile[T float32 | float64](values []T, q float64) T {
	if len(values) == 0 {
		return 0
	}
	slices.Sort(values)
	x := q * float64(len(values)-1)
	i := min(int(math.Floor(x)), len(values)-1)
	if i+1 >= len(values) {
		return values[i]
	}
	part := T(x - float64(i))
	return values[i]*(1-part) + values[i+1]*part
}

// Median returns the median of values, which it reorders.
func Median[T float32 | float64](values []T) T { return Quantile(values, 0.5) }
