package look

import (
	"fmt"
	"math"

	"takeweave/internal/film"
)

// Encoding is the curve and the primaries of a picture's numbers: how they
// become linear light, in which exposure and white balance work.
type Encoding string

// The encodings known. The BT.709 camera curve and the BT.1886 display curve are
// no inverses of each other: a look decodes and encodes with one of them.
const (
	BT709   Encoding = "bt709"   // light at the camera
	BT1886  Encoding = "bt1886"  // light of the display, a power of 2.4
	SRGB    Encoding = "srgb"    // the same for pictures made on a computer
	ACEScct Encoding = "acescct" // the open logarithmic encoding, with its own primaries
	Linear  Encoding = "linear"
)

// known refuses encodings that are not.
func (e Encoding) known() error {
	switch e {
	case BT709, BT1886, SRGB, ACEScct, Linear:
		return nil
	}
	return usage(fmt.Sprintf("%q is not an encoding known here", string(e)), "choose bt709, bt1886, srgb, acescct or linear")
}

func usage(msg, hint string) error {
	return &film.Error{Code: film.CodeUsage, Msg: msg, Hint: hint}
}

// Constants of BT.709 with as many digits as join its two parts without a step;
// it prints 1.099 and 0.018. Source: [BT709], item 1.2, digits as in BT.2020.
const (
	alpha709 = 1.09929682680944
	beta709  = 0.018053968510807
)

// displayGamma is the display's power at a black of 0. Source: [BT1886].
const displayGamma = 2.4

// Encode brings linear light to the encoding, where 1 is white. Light below 0,
// which saturated colours reach, is mirrored.
func (e Encoding) Encode(l float64) float64 {
	if l < 0 && e != ACEScct {
		return -e.Encode(-l)
	}
	switch e {
	case BT709:
		if l < beta709 {
			return 4.5 * l
		}
		return alpha709*math.Pow(l, 0.45) - (alpha709 - 1)
	case BT1886:
		return math.Pow(l, 1/displayGamma)
	case SRGB: // [SRGB1999]
		if l <= 0.0031308 {
			return 12.92 * l
		}
		return 1.055*math.Pow(l, 1/2.4) - 0.055
	case ACEScct: // [ACEScct]
		if l <= 0.0078125 {
			return 10.5402377416545*l + 0.0729055341958355
		}
		return (math.Log2(l) + 9.72) / 17.52
	}
	return l
}

// Decode is the inverse of Encode.
func (e Encoding) Decode(v float64) float64 {
	if v < 0 && e != ACEScct {
		return -e.Decode(-v)
	}
	switch e {
	case BT709:
		if v < 4.5*beta709 {
			return v / 4.5
		}
		return math.Pow((v+alpha709-1)/alpha709, 1/0.45)
	case BT1886:
		return math.Pow(v, displayGamma)
	case SRGB:
		if v <= 12.92*0.0031308 {
			return v / 12.92
		}
		return math.Pow((v+0.055)/1.055, 2.4)
	case ACEScct:
		if v <= 0.155251141552511 {
			return (v - 0.0729055341958355) / 10.5402377416545
		}
		return math.Exp2(v*17.52 - 9.72)
	}
	return v
}

// decode and encode take all three channels.
func (e Encoding) decode(c RGB) RGB { return RGB{e.Decode(c[0]), e.Decode(c[1]), e.Decode(c[2])} }
func (e Encoding) encode(c RGB) RGB { return RGB{e.Encode(c[0]), e.Encode(c[1]), e.Encode(c[2])} }

// chromaticity is x and y of a colour.
type chromaticity [2]float64

// xyz returns the colour of luminance 1.
func (p chromaticity) xyz() RGB { return RGB{p[0] / p[1], 1, (1 - p[0] - p[1]) / p[1]} }

// d65 is the white of BT.709. Source: [BT709], item 1.4.
var d65 = chromaticity{0.3127, 0.3290}

// toXYZ takes linear RGB of primaries and white to XYZ with Y 1 for white.
func toXYZ(r, g, b, white chromaticity) matrix {
	x, y, z := r.xyz(), g.xyz(), b.xyz()
	m := matrix{{x[0], y[0], z[0]}, {x[1], y[1], z[1]}, {x[2], y[2], z[2]}}
	return m.times(diagonal(m.inverse().of(white.xyz())))
}

// whiteAP1 is the white of ACEScct's primaries. Source: [ACEScct].
var whiteAP1 = chromaticity{0.32168, 0.33767}

var (
	// Source: [BT709], items 1.3 and 1.4; those of sRGB are the same.
	xyz709 = toXYZ(chromaticity{0.64, 0.33}, chromaticity{0.30, 0.60}, chromaticity{0.15, 0.06}, d65)
	// Source: [ACEScct], its primaries AP1.
	xyzAP1 = toXYZ(chromaticity{0.713, 0.293}, chromaticity{0.165, 0.830}, chromaticity{0.128, 0.044}, whiteAP1)
)

func (e Encoding) toXYZ() matrix {
	if e == ACEScct {
		return xyzAP1
	}
	return xyz709
}

func (e Encoding) white() chromaticity {
	if e == ACEScct {
		return whiteAP1
	}
	return d65
}

// toBT709 brings a colour to BT.709, in which the encodings made for displays are
// already, so that it can be judged as a display shows it.
func (e Encoding) toBT709(c RGB) RGB {
	switch e {
	case Linear:
		return BT709.encode(c)
	case ACEScct:
		return BT709.encode(fromAP1.of(e.decode(c)))
	}
	return c
}

// fromAP1 takes linear RGB of ACEScct's primaries to those of BT.709, white to
// white.
var fromAP1 = xyz709.inverse().times(Adaptation(whiteAP1.xyz(), d65.xyz())).times(xyzAP1)
