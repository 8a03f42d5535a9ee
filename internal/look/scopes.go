package look

import (
	"math"
	"slices"
)

// Levels is a picture in numbers. Shares are 0..1 of its pixels.
type Levels struct {
	// Least, Median and Most of luma, and the points below and above which 1 % of
	// it lie; nominal 0..1.
	Least  float64 `json:"least"`
	Low    float64 `json:"low"`
	Median float64 `json:"median"`
	High   float64 `json:"high"`
	Most   float64 `json:"most"`

	Mean RGB `json:"mean"`

	// ClippedLow and ClippedHigh are the shares at or beyond black and white, per
	// channel and for pixels in which all three are.
	ClippedLow  RGB     `json:"clipped_low"`
	ClippedHigh RGB     `json:"clipped_high"`
	AllLow      float64 `json:"all_low"`
	AllHigh     float64 `json:"all_high"`

	// OutOfRange is the share of pixels with R, G, B or Y' beyond -5 % to 105 %, and
	// WithinR103 whether that is at most 1 %. Source: [R103].
	OutOfRange float64 `json:"out_of_range"`
	WithinR103 bool    `json:"within_r103"`
}

// Limits of [R103]: 5 and 246 in 8 bits, 20 and 984 in 10.
const (
	r103Low   = (5.0 - 16) / 219
	r103High  = (246.0 - 16) / 219
	r103Share = 0.01
)

// nearEnd is how near to 0 or 1 counts as clipped: half a code of 8 bits, full
// range.
const nearEnd = 0.5 / 255

// Measure takes a picture's levels. A picture without pixels has none.
func (p *Picture) Measure() Levels {
	n := p.Width * p.Height
	if n == 0 {
		return Levels{}
	}
	var l Levels
	luma := make([]float64, n)
	out := 0
	for i := range n {
		c := p.pixel(i)
		luma[i] = Luma(c)
		low, high, beyond := 0, 0, outOfR103(luma[i])
		for k, v := range c {
			l.Mean[k] += v / float64(n)
			if v <= nearEnd {
				l.ClippedLow[k]++
				low++
			}
			if v >= 1-nearEnd {
				l.ClippedHigh[k]++
				high++
			}
			beyond = beyond || outOfR103(v)
		}
		if low == 3 {
			l.AllLow++
		}
		if high == 3 {
			l.AllHigh++
		}
		if beyond {
			out++
		}
	}
	for k := range 3 {
		l.ClippedLow[k] /= float64(n)
		l.ClippedHigh[k] /= float64(n)
	}
	l.AllLow /= float64(n)
	l.AllHigh /= float64(n)
	l.OutOfRange = float64(out) / float64(n)
	l.WithinR103 = l.OutOfRange <= r103Share
	slices.Sort(luma)
	rank := func(share float64) float64 { return luma[int(math.Round(share*float64(n-1)))] }
	l.Least, l.Low, l.Median, l.High, l.Most = rank(0), rank(0.01), rank(0.5), rank(0.99), rank(1)
	return l
}

// outOfR103 leaves a rounding of single-precision arithmetic.
func outOfR103(v float64) bool { return v < r103Low-1e-5 || v > r103High+1e-5 }

// Histogram counts the pixels of each channel and of luma, in order R, G, B, Y',
// in 256 bins over 0..1; what lies beyond falls into the first and the last.
func (p *Picture) Histogram() [4][256]int {
	var h [4][256]int
	for i := range p.Width * p.Height {
		c := p.pixel(i)
		for k, v := range [4]float64{c[0], c[1], c[2], Luma(c)} {
			h[k][int(math.Round(255*clamp01(v)))]++
		}
	}
	return h
}

// Reading is a patch of a picture in numbers, such as a face.
type Reading struct {
	Mean       RGB     `json:"mean"`
	Luma       float64 `json:"luma"`       // Y', 0..1
	Chroma     float64 `json:"chroma"`     // radius on the vectorscope
	Hue        float64 `json:"hue"`        // angle there in degrees, counter-clockwise from +Cb
	StopsOver  float64 `json:"stops_over"` // of light over an 18 % grey; below 0 under it
	SkinSector bool    `json:"skin_sector"`
}

// The sector in which skin of all tones is expected on a plot of Cb and Cr: a
// wide one, since charts, lights and people differ. It is a hint for white
// balance and says nothing about a person. Patches of the colour chart stand at
// 120 degrees, the +I axis at 131 [RP219].
const skinFrom, skinTo = 105, 135

// Read returns the numbers of a part of the picture.
func (p *Picture) Read(box Box) Reading {
	x0, x1 := clamp01(box.X), clamp01(box.X+box.W)
	y0, y1 := clamp01(box.Y), clamp01(box.Y+box.H)
	var part []RGB
	for y := int(y0 * float64(p.Height)); y < int(math.Ceil(y1*float64(p.Height))); y++ {
		for x := int(x0 * float64(p.Width)); x < int(math.Ceil(x1*float64(p.Width))); x++ {
			part = append(part, p.pixel(y*p.Width+x))
		}
	}
	if len(part) == 0 {
		return Reading{}
	}
	r := Reading{Mean: Mean(part)}
	r.Luma = Luma(r.Mean)
	r.Hue, r.Chroma = vector(r.Mean)
	r.StopsOver = math.Log2(math.Max(1e-6, BT709.Decode(r.Luma)) / 0.18)
	r.SkinSector = r.Chroma > 0 && r.Hue >= skinFrom && r.Hue <= skinTo
	return r
}

// vector returns the angle in degrees and the radius of a colour on a plot of Cb
// to the right and Cr upwards.
func vector(c RGB) (angle, radius float64) {
	cb, cr := ChromaOf(c)
	return hue(cr, cb), math.Hypot(cb, cr)
}
