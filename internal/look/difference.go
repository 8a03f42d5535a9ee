package look

import "math"

// Lab is CIE L*a*b*.
type Lab [3]float64

// labOf returns L*a*b* of XYZ under a white of luminance 1. Source: [CIE15].
func labOf(xyz, white RGB) Lab {
	var f RGB
	for i := range f {
		t := xyz[i] / white[i]
		if t > 216.0/24389 {
			f[i] = math.Cbrt(t)
		} else {
			f[i] = (24389.0/27*t + 16) / 116
		}
	}
	return Lab{116*f[1] - 16, 500 * (f[0] - f[1]), 200 * (f[1] - f[2])}
}

// xyzOf is its inverse.
func xyzOf(lab Lab, white RGB) RGB {
	fy := (lab[0] + 16) / 116
	f := RGB{fy + lab[1]/500, fy, fy - lab[2]/200}
	for i, v := range f {
		if cube := v * v * v; cube > 216.0/24389 {
			f[i] = cube
		} else {
			f[i] = (116*v - 16) * 27 / 24389
		}
		f[i] *= white[i]
	}
	return f
}

// Shown returns the L*a*b* under D65 that a display shows for an encoded colour,
// which is clamped to 0..1 first.
func Shown(c RGB) Lab {
	for i, v := range c {
		c[i] = clamp01(v)
	}
	return labOf(xyz709.of(BT1886.decode(c)), d65.xyz())
}

// Apart returns the CIEDE2000 difference between what a display shows for two
// encoded colours. About 1 is the least that an attentive eye sees side by side
// (common practice).
func Apart(a, b RGB) float64 { return CIEDE2000(Shown(a), Shown(b)) }

// CIEDE2000 is the colour difference with all weights 1. Source: [Sharma2005].
func CIEDE2000(p, q Lab) float64 {
	const pow7of25 = 6103515625.0
	mean := (math.Hypot(p[1], p[2]) + math.Hypot(q[1], q[2])) / 2
	m7 := math.Pow(mean, 7)
	g := 0.5 * (1 - math.Sqrt(m7/(m7+pow7of25)))
	a1, a2 := p[1]*(1+g), q[1]*(1+g)
	c1, c2 := math.Hypot(a1, p[2]), math.Hypot(a2, q[2])
	h1, h2 := hue(p[2], a1), hue(q[2], a2)

	dL, dC := q[0]-p[0], c2-c1
	dh, meanH := h2-h1, h1+h2
	if c1*c2 == 0 {
		dh = 0
	} else {
		switch {
		case dh > 180:
			dh -= 360
		case dh < -180:
			dh += 360
		}
		switch {
		case math.Abs(h1-h2) <= 180:
			meanH /= 2
		case meanH < 360:
			meanH = (meanH + 360) / 2
		default:
			meanH = (meanH - 360) / 2
		}
	}
	dH := 2 * math.Sqrt(c1*c2) * sinDegrees(dh/2)

	meanL, meanC := (p[0]+q[0])/2, (c1+c2)/2
	t := 1 - 0.17*cosDegrees(meanH-30) + 0.24*cosDegrees(2*meanH) + 0.32*cosDegrees(3*meanH+6) - 0.20*cosDegrees(4*meanH-63)
	off := (meanL - 50) * (meanL - 50)
	sL := 1 + 0.015*off/math.Sqrt(20+off)
	sC := 1 + 0.045*meanC
	sH := 1 + 0.015*meanC*t
	turn := (meanH - 275) / 25
	c7 := math.Pow(meanC, 7)
	rT := -2 * math.Sqrt(c7/(c7+pow7of25)) * sinDegrees(60*math.Exp(-turn*turn))
	l, c, h := dL/sL, dC/sC, dH/sH
	return math.Sqrt(math.Max(0, l*l+c*c+h*h+rT*c*h))
}

// hue in degrees, 0 to 360; 0 for grey.
func hue(b, a float64) float64 {
	if a == 0 && b == 0 {
		return 0
	}
	h := math.Atan2(b, a) * 180 / math.Pi
	if h < 0 {
		h += 360
	}
	return h
}

func sinDegrees(d float64) float64 { return math.Sin(d * math.Pi / 180) }
func cosDegrees(d float64) float64 { return math.Cos(d * math.Pi / 180) }

// Difference sums up how far apart pairs of colours are, in CIEDE2000.
type Difference struct {
	Mean    float64 `json:"mean"`
	Max     float64 `json:"max"`
	Colours int     `json:"colours"`
}

// compare measures two functions over a sample.
func compare(sample []RGB, f, g func(RGB) RGB) Difference {
	d := Difference{Colours: len(sample)}
	for _, c := range sample {
		e := Apart(f(c), g(c))
		d.Mean += e / float64(len(sample))
		d.Max = math.Max(d.Max, e)
	}
	return d
}
