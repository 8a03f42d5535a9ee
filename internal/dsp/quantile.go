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
	x := q * float64(len(values)-1)
	i := min(int(math.Floor(x)), len(values)-1)
	rank(values, i)
	if i+1 >= len(values) {
		return values[i]
	}
	part := T(x - float64(i))
	return values[i]*(1-part) + slices.Min(values[i+1:])*part
}

// sortedQuantile is Quantile of values that are sorted already, of which there
// must be some.
func sortedQuantile(values []float32, q float64) float32 {
	x := q * float64(len(values)-1)
	i := int(x)
	part := float32(x - float64(i))
	return values[i]*(1-part) + values[min(i+1, len(values)-1)]*part
}

// rank reorders v so that v[k] is what it would be if v were sorted, with
// nothing greater before it and nothing smaller after it.
//
// Source: [Hoare1961].
func rank[T float32 | float64](v []T, k int) {
	for lo, hi := 0, len(v)-1; lo < hi; {
		pivot := middleOf(v[lo], v[(lo+hi)/2], v[hi])
		i, j := lo, hi
		for i <= j {
			for v[i] < pivot {
				i++
			}
			for v[j] > pivot {
				j--
			}
			if i <= j {
				v[i], v[j] = v[j], v[i]
				i, j = i+1, j-1
			}
		}
		switch {
		case k <= j:
			hi = j
		case k >= i:
			lo = i
		default:
			return
		}
	}
}

func middleOf[T float32 | float64](a, b, c T) T { return max(min(a, b), min(max(a, b), c)) }

// Median returns the median of values, which it reorders.
func Median[T float32 | float64](values []T) T { return Quantile(values, 0.5) }
