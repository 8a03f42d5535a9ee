package look

import (
	"fmt"
	"image"
	"image/color"
	"math"
)

// Edge darkens towards the edges of the picture, as lenses do, without blur. Its
// centre is the centre of the shape that is delivered, so that every shape gets
// its own. The zero value does nothing.
type Edge struct {
	// Stops is how much less light the corners have, 0 to 4.
	Stops float64 `json:"stops,omitempty"`
	// X and Y move the centre off the middle, as shares of half the width and half
	// the height, -1 to 1, right and down.
	X float64 `json:"x,omitempty"`
	Y float64 `json:"y,omitempty"`
}

const mostEdgeStops = 4

func (e Edge) check() error {
	if !(e.Stops >= 0 && e.Stops <= mostEdgeStops) {
		return usage(fmt.Sprintf("edges darker by %g stops are out of reach", e.Stops), "choose 0 to 4 stops")
	}
	if !(math.Abs(e.X) <= 1 && math.Abs(e.Y) <= 1) {
		return usage("the centre of the edge darkening is outside the picture", "choose -1 to 1")
	}
	return nil
}

// Angle returns the angle in radians whose cosine to the fourth power is the
// factor of the corners. Encoded values of a BT.1886 display are a power of
// 1/2.4 of light, so a factor on light of 2^-s is one of 2^(-s/2.4) on them.
func (e Edge) Angle() float64 {
	return math.Acos(math.Exp2(-e.Stops / (4 * displayGamma)))
}

// Factor returns by what to multiply encoded R, G and B of BT.709 at a place,
// given as shares 0..1 of width and height from the top left, in a shape of the
// given width over height. It falls as cos⁴ of an angle that grows with the
// distance from the centre, the law by which plain lenses darken (common
// practice), and is 2^(-Stops/2.4) at the corners of a centred picture.
func (e Edge) Factor(x, y, ratio float64) float64 {
	if e.Stops == 0 {
		return 1
	}
	dx, dy := (2*x-1-e.X)*ratio, 2*y-1-e.Y
	angle := e.Angle() * math.Hypot(dx, dy) / math.Hypot(ratio, 1)
	if angle >= math.Pi/2 {
		return 0
	}
	cos := math.Cos(angle)
	return cos * cos * cos * cos
}

// Mask returns the factors for every pixel of a delivered picture, 65535 for 1:
// the picture is multiplied by it.
func (e Edge) Mask(width, height int) *image.Gray16 {
	mask := image.NewGray16(image.Rect(0, 0, width, height))
	w, h := float64(width), float64(height)
	for y := range height {
		for x := range width {
			f := e.Factor((float64(x)+0.5)/w, (float64(y)+0.5)/h, w/h)
			mask.SetGray16(x, y, color.Gray16{Y: uint16(math.Round(f * 65535))})
		}
	}
	return mask
}

// Bars are the black bars of a letterbox: what is left is the shape asked for.
type Bars struct {
	Top    int     `json:"top"` // pixels, as much at the bottom
	Left   int     `json:"left"`
	Width  int     `json:"width"` // of the picture
	Height int     `json:"height"`
	Cut    float64 `json:"cut"` // share of the picture's area under the bars
}

// Letterbox returns the bars that make a picture of width x height pixels look
// like one of the given width over height: above and below when that is wider,
// at the sides when it is narrower. They are even, as 4:2:0 wants them.
func Letterbox(width, height int, ratio float64) Bars {
	b := Bars{Width: width, Height: height}
	half := func(whole int, keep float64) int {
		return 2 * int(math.Round(math.Max(0, float64(whole)-keep)/4))
	}
	b.Top = half(height, float64(width)/ratio)
	b.Left = half(width, float64(height)*ratio)
	left := float64((width - 2*b.Left) * (height - 2*b.Top))
	b.Cut = 1 - left/float64(width*height)
	return b
}

// Box is a part of a picture in shares of its width and height, from the top left.
type Box struct {
	X float64 `json:"x"`
	Y float64 `json:"y"`
	W float64 `json:"w"`
	H float64 `json:"h"`
}

// Hides returns the share of a box's area that the bars cover, 0..1: a face that
// is hidden by more than a little has no room in this letterbox.
func (b Bars) Hides(box Box) float64 {
	x, y := float64(b.Left)/float64(b.Width), float64(b.Top)/float64(b.Height)
	open := overlap(box.X, box.X+box.W, x, 1-x) * overlap(box.Y, box.Y+box.H, y, 1-y)
	area := box.W * box.H
	if area <= 0 {
		return 0
	}
	return 1 - open/area
}

func overlap(a, b, from, to float64) float64 {
	return math.Max(0, math.Min(b, to)-math.Max(a, from))
}
