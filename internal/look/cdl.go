package look

import (
	"math"

	"takeweave/internal/film"
)

// Luma returns Y' of an encoded colour, or luminance of a linear one. Source:
// [BT709], item 3.2; the ASC CDL weighs alike.
func Luma(c RGB) float64 { return 0.2126*c[0] + 0.7152*c[1] + 0.0722*c[2] }

// Saturate draws a colour away from the grey of its luma (saturation above 1) or
// towards it (below).
func Saturate(saturation float64, c RGB) RGB {
	y := Luma(c)
	for i, v := range c {
		c[i] = y + saturation*(v-y)
	}
	return c
}

// ApplyCDL applies a colour decision or its inverse. Without NoClamp values are
// held within 0..1 after the offset and after the saturation; with it nothing
// is, and negative values pass the power untouched. The inverse divides by
// slope and saturation, which must then be above 0.
//
// Source: [ASCCDL].
func ApplyCDL(d film.CDL, c RGB) RGB {
	hold := func(v float64) float64 {
		if d.NoClamp {
			return v
		}
		return clamp01(v)
	}
	raise := func(v, power float64) float64 {
		if v < 0 {
			return v // only without clamping
		}
		return math.Pow(v, power)
	}
	if d.Inverse {
		for i, v := range c {
			c[i] = hold(v)
		}
		c = Saturate(1/d.Saturation, c)
		for i, v := range c {
			c[i] = hold((raise(hold(v), 1/d.Power[i]) - d.Offset[i]) / d.Slope[i])
		}
		return c
	}
	for i, v := range c {
		c[i] = raise(hold(v*d.Slope[i]+d.Offset[i]), d.Power[i])
	}
	c = Saturate(d.Saturation, c)
	for i, v := range c {
		c[i] = hold(v)
	}
	return c
}

// clamp01 holds v within 0..1; what is no number becomes 0.
func clamp01(v float64) float64 {
	if !(v > 0) {
		return 0
	}
	return math.Min(v, 1)
}
