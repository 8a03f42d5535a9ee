package lineup

import (
	"math"

	"takeweave/internal/dsp"
)

// curveStep is the grid of a curve in seconds of song time.
const curveStep = 0.05

// curve is a map from song time to pass time on an even grid of song time.
type curve struct {
	from float64   // song time of pass[0], seconds
	pass []float64 // pass times, seconds
}

func (c *curve) to() float64 { return c.from + float64(len(c.pass)-1)*curveStep }

func (c *curve) song(i int) float64 { return c.from + float64(i)*curveStep }

// at returns the pass time at song time t; outside it goes on at slope 1.
func (c *curve) at(t float64) float64 {
	x := (t - c.from) / curveStep
	n := len(c.pass)
	switch {
	case x <= 0:
		return c.pass[0] + x*curveStep
	case x >= float64(n-1):
		return c.pass[n-1] + (x-float64(n-1))*curveStep
	}
	i := int(x)
	return c.pass[i] + (x-float64(i))*(c.pass[i+1]-c.pass[i])
}

// slope returns how many pass seconds go by per song second around t, over
// width seconds.
func (c *curve) slope(t, width float64) float64 {
	return (c.at(t+width/2) - c.at(t-width/2)) / width
}

// makeRising pulls the curve to slopes of at least minSlope by the least change
// of neighbours.
func (c *curve) makeRising(minSlope float64) {
	// The mean of the running maximum from the left and the running minimum
	// from the right keeps the middle of a dent.
	n := len(c.pass)
	up, down := make([]float64, n), make([]float64, n)
	tilt := minSlope * curveStep
	for i := range n {
		up[i] = c.pass[i]
		if i > 0 {
			up[i] = math.Max(up[i], up[i-1]+tilt)
		}
	}
	for i := n - 1; i >= 0; i-- {
		down[i] = c.pass[i]
		if i < n-1 {
			down[i] = math.Min(down[i], down[i+1]-tilt)
		}
	}
	for i := range n {
		c.pass[i] = (up[i] + down[i]) / 2
	}
}

// smooth replaces the curve by robust local lines: at each place a line through
// width seconds with tricube weights, three rounds of Cauchy weights.
//
// Source: locally weighted regression, [Cleveland1979]; our weights. A width of
// 2.5 s repairs alignments that are one eighth note off.
func (c *curve) smooth(width float64) {
	n := len(c.pass)
	half := int(width / 2 / curveStep)
	out := make([]float64, n)
	resid := make([]float64, 2*half+1)
	kernel := make([]float64, 2*half+1)
	for u := range kernel {
		x := math.Abs(float64(u-half)) / float64(half+1)
		kernel[u] = math.Pow(1-x*x*x, 3)
	}
	for i := range n {
		a, b := max(0, i-half), min(n-1, i+half)
		var value, slope float64
		scale := math.Inf(1)
		for round := range 3 {
			var sw, sx, sy, sxx, sxy float64
			for j := a; j <= b; j++ {
				x := float64(j-i) * curveStep
				y := c.pass[j] - c.pass[i] - x
				w := kernel[j-i+half]
				if round > 0 {
					r := (y - value - slope*x) / scale
					w /= 1 + r*r
				}
				sw += w
				sx += w * x
				sy += w * y
				sxx += w * x * x
				sxy += w * x * y
			}
			det := sw*sxx - sx*sx
			if det > 1e-12 {
				slope = (sw*sxy - sx*sy) / det
			}
			value = (sy - slope*sx) / sw
			r := resid[:0]
			for j := a; j <= b; j++ {
				x := float64(j-i) * curveStep
				r = append(r, math.Abs(c.pass[j]-c.pass[i]-x-value-slope*x))
			}
			scale = math.Max(2*dsp.Median(r), 0.005)
		}
		out[i] = c.pass[i] + value
	}
	c.pass = out
}
