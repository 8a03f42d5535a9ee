package look

import (
	"math"

	"takeweave/internal/film"
)

// RGB is red, green, blue.
type RGB [3]float64

// ApplyLUT takes a colour through the steps of a LUT. Nothing is rounded, and
// nothing is clamped but where a step says so. A how of "" leaves the way
// between the points of 3D tables to each table, whose own default is trilinear.
//
// Source: [CLF3].
func ApplyLUT(l film.LUT, how film.Interpolation, c RGB) RGB {
	for _, step := range l.Steps {
		c = applyStep(step, how, c)
	}
	return c
}

func applyStep(step film.LUTStep, how film.Interpolation, c RGB) RGB {
	switch s := step.(type) {
	case film.Table1D:
		return table1D(s, c)
	case film.Table3D:
		if how == "" {
			how = s.Interpolation
		}
		if how == film.Tetrahedral {
			return tetrahedral(s, c)
		}
		return trilinear(s, c)
	case film.ColourMatrix:
		return affine(s, c)
	case film.ColourRange:
		for i, v := range c {
			c[i] = math.Min(s.High, math.Max(s.Low, v*s.Scale+s.Offset))
		}
	case film.LogCurves:
		for i, v := range c {
			c[i] = logCurve(s, s.Channel[i], v)
		}
	case film.PowerCurves:
		for i, v := range c {
			c[i] = power(s.Style, s.Inverse, s.Exponent[i], s.Offset[i], v)
		}
	case film.CDL:
		return ApplyCDL(s, c)
	}
	return c
}

func affine(m film.ColourMatrix, c RGB) RGB {
	var out RGB
	for i, row := range m {
		out[i] = row[0]*c[0] + row[1]*c[1] + row[2]*c[2] + row[3]
	}
	return out
}

// leastLog is the least number a logarithm is taken of, so that 0 and below stay
// finite: the smallest normal single-precision float.
const leastLog = 0x1p-126

func logCurve(s film.LogCurves, k film.LogCurve, v float64) float64 {
	toLog := func(x float64) float64 {
		return k.LogSlope*math.Log(math.Max(leastLog, k.LinSlope*x+k.LinOffset))/math.Log(k.Base) + k.LogOffset
	}
	foot := toLog(k.Break) - k.LinearSlope*k.Break
	switch {
	case s.Camera && !s.Inverse && v <= k.Break:
		return k.LinearSlope*v + foot
	case !s.Inverse:
		return toLog(v)
	case s.Camera && v <= k.LinearSlope*k.Break+foot:
		return (v - foot) / k.LinearSlope
	}
	return (math.Pow(k.Base, (v-k.LogOffset)/k.LogSlope) - k.LinOffset) / k.LinSlope
}

func power(style film.PowerStyle, inverse bool, exponent, offset, v float64) float64 {
	switch style {
	case film.PowerMirror, film.PowerMonitorMirror:
		if v < 0 {
			return -power(style, inverse, exponent, offset, -v)
		}
	case film.PowerPass:
		if v < 0 {
			return v
		}
	}
	if style == film.PowerMonitor || style == film.PowerMonitorMirror {
		return monitorCurve(inverse, exponent, offset, v)
	}
	if inverse {
		exponent = 1 / exponent
	}
	return math.Pow(math.Max(0, v), exponent)
}

// monitorCurve is a power with a straight foot: ((x + offset)/(1 + offset))^exponent
// from x = offset/(exponent-1) on, a line of the same slope through 0 below.
func monitorCurve(inverse bool, exponent, offset, v float64) float64 {
	if exponent == 1 { // straight everywhere
		if inverse {
			return v * (1 + offset)
		}
		return v / (1 + offset)
	}
	if offset == 0 { // the foot has no length and no slope
		if inverse {
			exponent = 1 / exponent
		}
		return math.Pow(math.Max(0, v), exponent)
	}
	join := offset / (exponent - 1)
	height := math.Pow(join*exponent/(1+offset), exponent)
	slope := height / join
	switch {
	case !inverse && v >= join:
		return math.Pow((v+offset)/(1+offset), exponent)
	case !inverse:
		return v * slope
	case v >= height:
		return math.Pow(v, 1/exponent)*(1+offset) - offset
	}
	return v / slope
}
