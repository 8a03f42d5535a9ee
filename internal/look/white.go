package look

import (
	"fmt"
	"math"
)

// White is a white balance. The zero value changes nothing.
type White struct {
	// Kelvin is the colour temperature of the light that shall come out white,
	// 2000 to 25000; 0 is the film's own white, 6504. A number above 6504 warms.
	Kelvin float64 `json:"kelvin,omitempty"`
	// Tint is how far that light lies off the line of such lights, in thousandths
	// of the CIE 1960 diagram, -50 to 50: above 0 it is greener, so that the
	// picture turns to magenta.
	Tint float64 `json:"tint,omitempty"`
	// ShiftMired is a filter as though before the lens, -300 to 300: above 0 it
	// warms as orange filters do. A shift and its opposite cancel.
	ShiftMired float64 `json:"shift_mired,omitempty"`
}

const (
	leastKelvin, mostKelvin = 2000, 25000
	mostTint                = 50
	mostShiftMired          = 300
	nominalKelvin           = 6504.0
)

// Mired is a million over a colour temperature in kelvin.
func Mired(kelvin float64) float64 { return 1e6 / kelvin }

func (w White) neutral() bool {
	return (w.Kelvin == 0 || w.Kelvin == nominalKelvin) && w.Tint == 0 && w.ShiftMired == 0
}

func (w White) check() error {
	switch {
	case w.Kelvin != 0 && !(w.Kelvin >= leastKelvin && w.Kelvin <= mostKelvin):
		return usage(fmt.Sprintf("a light of %g K is out of reach", w.Kelvin), "choose 2000 to 25000 K")
	case !(math.Abs(w.Tint) <= mostTint):
		return usage(fmt.Sprintf("a tint of %g is out of reach", w.Tint), "choose -50 to 50")
	case !(math.Abs(w.ShiftMired) <= mostShiftMired):
		return usage(fmt.Sprintf("a shift of %g mired is out of reach", w.ShiftMired), "choose -300 to 300")
	}
	return nil
}

// matrix returns what the balance does to linear RGB of the encoding.
func (w White) matrix(e Encoding) matrix {
	kelvin := w.Kelvin
	if kelvin == 0 {
		kelvin = nominalKelvin
	}
	white := light(nominalKelvin, 0)
	xyz := Adaptation(light(kelvin, w.Tint).xyz(), white.xyz())
	if s := w.ShiftMired; s != 0 {
		warm := light(1e6/(Mired(nominalKelvin)+math.Abs(s)), 0)
		from, to := white, warm
		if s < 0 {
			from, to = warm, white
		}
		xyz = Adaptation(from.xyz(), to.xyz()).times(xyz)
	}
	m := e.toXYZ()
	return m.inverse().times(xyz).times(m)
}

// bradford is the cone matrix of the linear Bradford adaptation. Source:
// [Bradford], digits as in [Colour].
var bradford = matrix{
	{0.8951, 0.2664, -0.1614},
	{-0.7502, 1.7135, 0.0367},
	{0.0389, -0.0685, 1.0296},
}

// Adaptation returns the matrix that takes XYZ seen under one white to XYZ that
// look alike under another. Source: [Lindbloom].
func Adaptation(from, to RGB) matrix {
	a, b := bradford.of(from), bradford.of(to)
	return bradford.inverse().times(diagonal(RGB{b[0] / a[0], b[1] / a[1], b[2] / a[2]})).times(bradford)
}

// light returns the chromaticity of a light: on the Planckian locus up to 4000 K,
// on the daylight locus from 5000 K, where CIE 15 changes from one to the other,
// and between the two in between, so that a slider has no step there; and off it
// by tint.
func light(kelvin, tint float64) chromaticity {
	p := locus(kelvin)
	if tint == 0 {
		return p
	}
	// The normal of the locus in the CIE 1960 diagram, upwards, where green is.
	m := Mired(kelvin)
	a, b := uv(locus(1e6/(m-1))), uv(locus(1e6/(m+1)))
	du, dv := b[0]-a[0], b[1]-a[1]
	n := math.Hypot(du, dv)
	at := uv(p)
	return fromUV([2]float64{at[0] - dv/n*tint/1000, at[1] + du/n*tint/1000})
}

func locus(kelvin float64) chromaticity {
	const planckTo, daylightFrom = 4000, 5000
	switch {
	case kelvin <= planckTo:
		return planck(kelvin)
	case kelvin >= daylightFrom:
		return daylight(kelvin)
	}
	k := (Mired(planckTo) - Mired(kelvin)) / (Mired(planckTo) - Mired(daylightFrom))
	a, b := planck(kelvin), daylight(kelvin)
	return chromaticity{a[0] + k*(b[0]-a[0]), a[1] + k*(b[1]-a[1])}
}

// daylight is the daylight locus, 4000 to 25000 K. Source: [CIE15].
func daylight(t float64) chromaticity {
	x := -4.6070e9/(t*t*t) + 2.9678e6/(t*t) + 0.09911e3/t + 0.244063
	if t > 7000 {
		x = -2.0064e9/(t*t*t) + 1.9018e6/(t*t) + 0.24748e3/t + 0.23704
	}
	return chromaticity{x, -3*x*x + 2.87*x - 0.275}
}

// planck is the Planckian locus, 1667 to 4000 K here. Source: [Kang2002].
func planck(t float64) chromaticity {
	x := -0.2661239e9/(t*t*t) - 0.2343589e6/(t*t) + 0.8776956e3/t + 0.179910
	if t > 4000 {
		x = -3.0258469e9/(t*t*t) + 2.1070379e6/(t*t) + 0.2226347e3/t + 0.240390
	}
	var y float64
	switch {
	case t <= 2222:
		y = -1.1063814*x*x*x - 1.34811020*x*x + 2.18555832*x - 0.20219683
	case t <= 4000:
		y = -0.9549476*x*x*x - 1.37418593*x*x + 2.09137015*x - 0.16748867
	default:
		y = 3.0817580*x*x*x - 5.87338670*x*x + 3.75112997*x - 0.37001483
	}
	return chromaticity{x, y}
}

// uv returns the place in the CIE 1960 diagram. Source: [CIE15].
func uv(p chromaticity) [2]float64 {
	d := -2*p[0] + 12*p[1] + 3
	return [2]float64{4 * p[0] / d, 6 * p[1] / d}
}

func fromUV(p [2]float64) chromaticity {
	d := 2*p[0] - 8*p[1] + 4
	return chromaticity{3 * p[0] / d, 2 * p[1] / d}
}
