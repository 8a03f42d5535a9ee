package look

import (
	"cmp"
	"slices"
)

// Coefficients of the simplex search. Source: [NelderMead1965].
const (
	reflectBy  = 1.0
	expandBy   = 2.0
	contractBy = 0.5
	shrinkBy   = 0.5
)

// vertex is a corner of a simplex and the cost there.
type vertex struct {
	x    []float64
	cost float64
}

// minimise returns where f is least near x, searched with a simplex whose first
// sides have the given size, in the given number of rounds.
func minimise(f func([]float64) float64, x []float64, size float64, rounds int) []float64 {
	at := func(x []float64) vertex { return vertex{x, f(x)} }
	simplex := []vertex{at(x)}
	for i := range x {
		y := slices.Clone(x)
		y[i] += size
		simplex = append(simplex, at(y))
	}
	worst := len(x)
	for range rounds {
		slices.SortStableFunc(simplex, func(a, b vertex) int { return cmp.Compare(a.cost, b.cost) })
		middle := make([]float64, len(x))
		for _, v := range simplex[:worst] {
			for i := range middle {
				middle[i] += v.x[i] / float64(len(x))
			}
		}
		// along goes from the worst corner through the middle of the others.
		along := func(by float64) vertex { return at(between(middle, simplex[worst].x, -by)) }
		mirror := along(reflectBy)
		switch {
		case mirror.cost < simplex[0].cost:
			if far := along(expandBy); far.cost < mirror.cost {
				mirror = far
			}
		case mirror.cost >= simplex[worst-1].cost:
			by := contractBy
			if mirror.cost >= simplex[worst].cost {
				by = -contractBy
			}
			if mirror = along(by); mirror.cost >= simplex[worst].cost {
				for k := range simplex[1:] {
					simplex[k+1] = at(between(simplex[0].x, simplex[k+1].x, shrinkBy))
				}
				continue
			}
		}
		simplex[worst] = mirror
	}
	return slices.MinFunc(simplex, func(a, b vertex) int { return cmp.Compare(a.cost, b.cost) }).x
}

// between goes from a a share of the way to b.
func between(a, b []float64, share float64) []float64 {
	out := make([]float64, len(a))
	for i := range out {
		out[i] = a[i] + share*(b[i]-a[i])
	}
	return out
}
