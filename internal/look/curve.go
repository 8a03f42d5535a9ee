package look

import (
	"fmt"
	"math"
	"sort"
)

// Knot is a point of a contrast curve, in encoded values.
type Knot struct {
	In  float64 `json:"in"`
	Out float64 `json:"out"`
}

// Curve is a smooth curve through knots that rises and falls only where they do.
type Curve struct {
	knots    []Knot
	tangents []float64
}

// Bounds of a curve: a hand draws fewer than ten points, within 0..1.
const (
	mostKnots = 32
	mostKnot  = 100
)

// NewCurve lays a curve through 2 to 32 knots whose In rise. Beyond the first and
// the last it goes straight on.
//
// Source: [FritschCarlson1980], tangents as the mean of the neighbouring slopes,
// shortened to the circle of radius 3.
func NewCurve(knots []Knot) (*Curve, error) {
	if len(knots) < 2 || len(knots) > mostKnots {
		return nil, usage(fmt.Sprintf("a curve of %d points", len(knots)), "give 2 to 32 points")
	}
	for _, k := range knots {
		if !(math.Abs(k.In) <= mostKnot && math.Abs(k.Out) <= mostKnot) {
			return nil, usage(fmt.Sprintf("the curve has a point at %g, %g", k.In, k.Out), "keep its points about 0 to 1")
		}
	}
	n := len(knots)
	slope := make([]float64, n-1)
	for i := range slope {
		step := knots[i+1].In - knots[i].In
		if !(step > 0) {
			return nil, usage("the points of the curve do not go from left to right", "sort them, and keep only one at each place")
		}
		slope[i] = (knots[i+1].Out - knots[i].Out) / step
	}
	m := make([]float64, n)
	m[0], m[n-1] = slope[0], slope[n-2]
	for i := 1; i < n-1; i++ {
		if slope[i-1]*slope[i] > 0 {
			m[i] = (slope[i-1] + slope[i]) / 2
		}
	}
	for i, s := range slope {
		if s == 0 {
			m[i], m[i+1] = 0, 0
			continue
		}
		if length := math.Hypot(m[i]/s, m[i+1]/s); length > 3 {
			m[i] *= 3 / length
			m[i+1] *= 3 / length
		}
	}
	return &Curve{knots, m}, nil
}

// At returns the curve's value.
func (c *Curve) At(x float64) float64 {
	last := len(c.knots) - 1
	switch k := c.knots; {
	case x <= k[0].In:
		return k[0].Out + c.tangents[0]*(x-k[0].In)
	case x >= k[last].In:
		return k[last].Out + c.tangents[last]*(x-k[last].In)
	}
	i := sort.Search(last, func(i int) bool { return c.knots[i+1].In > x })
	a, b := c.knots[i], c.knots[i+1]
	h := b.In - a.In
	t := (x - a.In) / h
	u := 1 - t
	return u*u*(1+2*t)*a.Out + t*t*(3-2*t)*b.Out + h*t*u*(u*c.tangents[i]-t*c.tangents[i+1])
}
