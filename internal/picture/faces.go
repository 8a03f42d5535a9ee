package picture

import (
	"cmp"
	"fmt"
	"math"
	"slices"
)

// Box is a part of the picture, in shares 0..1 of its width and height, from its
// top left.
type Box struct {
	X float64 `json:"x"`
	Y float64 `json:"y"`
	W float64 `json:"width"`
	H float64 `json:"height"`
}

// Face is a face that was found in one picture.
type Face struct {
	Box        Box     `json:"box"`        // from the brow to the chin
	Confidence float64 `json:"confidence"` // 0..1
}

// Finder finds faces that look roughly at the camera. It misses profiles, heads
// bent far down and small faces. It is for one goroutine at a time.
type Finder struct {
	net  *net
	side int
}

// cellPixels is how many pixels of the net's square one cell of its answer
// covers.
const cellPixels = 32

// How the net's answer is read.
//
// Source: [TinyFace].
var (
	// anchors are the sizes of boxes that the net starts from, in cells.
	anchors = [5][2]float64{{1.603231, 2.094468}, {6.041143, 7.080126}, {2.882459, 3.518061}, {4.266906, 5.178857}, {9.041765, 10.66308}}
	// middleColour is taken off red, green and blue.
	middleColour = [3]float32{117.001, 114.697, 97.404}
)

const (
	likely   = 0.5 // faces of less confidence are not told [TinyFace]
	sameFace = 0.4 // two boxes that share more of their union are one face [TinyFace]
)

// NewFinder returns a finder that works at side pixels for the longer side of a
// picture, a multiple of 32. At 224 it finds a face from about a third of the
// picture's height, at 416 from about a tenth, at three times the cost.
func NewFinder(side int) (*Finder, error) {
	if side < 2*cellPixels || side%cellPixels != 0 {
		return nil, fmt.Errorf("picture: faces are not found at %d pixels: a multiple of %d is needed", side, cellPixels)
	}
	n, err := newNet()
	if err != nil {
		return nil, err
	}
	return &Finder{n, side}, nil
}

// Find returns the faces in a picture, surest first. rgb is rows of width
// pixels of 3 bytes from the top left, 0..255. A picture whose longer side is
// the finder's is used as it is; others are scaled, roughly. Find panics if rgb is
// shorter than a picture.
func (f *Finder) Find(rgb []byte, width, height int) []Face {
	answer := f.net.run(f.canvas(rgb, width, height))
	// One cell in shares of the picture.
	cellW := cellPixels / float64(f.side) * float64(max(width, height)) / float64(width)
	cellH := cellPixels / float64(f.side) * float64(max(width, height)) / float64(height)
	var found []Face
	for y := range answer.height {
		for x := range answer.width {
			for i, size := range anchors {
				v := answer.at(x, y)[5*i : 5*i+5]
				confidence := logistic(v[4])
				if confidence <= likely {
					continue
				}
				w, h := math.Exp(float64(v[2]))*size[0]*cellW, math.Exp(float64(v[3]))*size[1]*cellH
				middleX, middleY := (float64(x)+logistic(v[0]))*cellW, (float64(y)+logistic(v[1]))*cellH
				found = append(found, Face{Box{middleX - w/2, middleY - h/2, w, h}, confidence})
			}
		}
	}
	return distinct(found)
}

// canvas is a picture of the net's size: the longer side is the finder's, both
// are whole cells, and what the picture does not fill is black.
func (f *Finder) canvas(rgb []byte, width, height int) image {
	scale := float64(f.side) / float64(max(width, height))
	w, h := int(math.Round(float64(width)*scale)), int(math.Round(float64(height)*scale))
	out := newImage(wholeCells(w), wholeCells(h), 3)
	for i := range out.data {
		out.data[i] = -middleColour[i%3] / 255
	}
	for y := range h {
		row := min(height-1, int(float64(y)/scale))
		for x := range w {
			from := 3 * (row*width + min(width-1, int(float64(x)/scale)))
			for c, v := range rgb[from : from+3] {
				out.at(x, y)[c] = (float32(v) - middleColour[c]) / 255
			}
		}
	}
	return out
}

func wholeCells(pixels int) int { return (pixels + cellPixels - 1) / cellPixels * cellPixels }

// distinct keeps the surest of boxes that overlap, and clips them to the
// picture.
func distinct(found []Face) []Face {
	slices.SortStableFunc(found, func(a, b Face) int { return cmp.Compare(b.Confidence, a.Confidence) })
	var out []Face
	for _, f := range found {
		if !slices.ContainsFunc(out, func(o Face) bool { return o.Box.shared(f.Box) > sameFace }) {
			out = append(out, f)
		}
	}
	for i := range out {
		out[i].Box = out[i].Box.clipped()
	}
	return out
}

// shared returns the share 0..1 of the union of two boxes that both cover.
func (b Box) shared(o Box) float64 {
	w := math.Min(b.X+b.W, o.X+o.W) - math.Max(b.X, o.X)
	h := math.Min(b.Y+b.H, o.Y+o.H) - math.Max(b.Y, o.Y)
	if w <= 0 || h <= 0 {
		return 0
	}
	return w * h / (b.W*b.H + o.W*o.H - w*h)
}

// clipped returns the part of a box that lies in the picture.
func (b Box) clipped() Box {
	left, top := math.Max(0, b.X), math.Max(0, b.Y)
	return Box{left, top, math.Max(0, math.Min(1, b.X+b.W)-left), math.Max(0, math.Min(1, b.Y+b.H)-top)}
}

func logistic(v float32) float64 { return 1 / (1 + math.Exp(-float64(v))) }
