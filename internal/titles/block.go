package titles

import (
	"image"
	"image/color"
	"image/draw"
	"math"
	"slices"

	"takeweave/internal/captions"
)

// page is a film frame to write on, in pixels.
type page struct {
	width, height int
	safe          captions.Box // shares
}

func newPage(width, height int) page {
	return page{width, height, captions.Safe(width, height)}
}

// unit is what sizes are shares of: the shorter side, so that letters take up as
// much of a screen upright as across.
func (p page) unit() float64 { return float64(min(p.width, p.height)) }

func (p page) frame() image.Rectangle { return image.Rect(0, 0, p.width, p.height) }

// block is rows of text one below the other, set from the left edge 0 and the top
// 0 in pixels, with what stands between them.
type block struct {
	rows  []row
	rules []image.Rectangle
	width float64
	down  float64 // where the next row's letters begin
}

// add sets a text below what is there.
func (b *block) add(text string, s style, colour color.RGBA, width float64) error {
	f, err := s.fit(text, width)
	if err != nil {
		return err
	}
	r, err := s.weight.ruler()
	if err != nil {
		return err
	}
	for i, t := range f.rows {
		if i > 0 {
			b.down += f.size * (rowPitch - ascent - descent)
		}
		b.rows = append(b.rows, row{text: t, weight: s.weight, size: f.size, y: b.down + f.size*ascent, colour: colour})
		b.width = max(b.width, f.size*r.width(t))
		b.down += f.size * (ascent + descent)
	}
	return nil
}

// stack sets another block below this one.
func (b *block) stack(o block) {
	b.rows = slices.Clip(b.rows) // others may have begun with the same rows
	for _, r := range o.rows {
		r.y += b.down
		b.rows = append(b.rows, r)
	}
	b.width = max(b.width, o.width)
	b.down += o.down
}

// letters returns how many characters are to be read.
func (b *block) letters() int {
	n := 0
	for _, r := range b.rows {
		n += len([]rune(r.text))
	}
	return n
}

// ground is what is laid under a block, in pixels: how far it reaches beyond the
// letters in full, and over what it fades out to the sides and up and down.
type ground struct{ pad, sidewards, upright float64 }

// draw draws the block with its top left at x, y of the frame.
func (b *block) draw(x, y float64, g ground, frame image.Rectangle) (*image.NRGBA, error) {
	core := image.Rect(int(math.Floor(x-g.pad)), int(math.Floor(y-g.pad)), int(math.Ceil(x+b.width+g.pad)), int(math.Ceil(y+b.down+g.pad)))
	img := groundUnder(core, g.sidewards, g.upright, frame)
	for _, r := range b.rules {
		draw.Draw(img, r.Add(image.Pt(int(x), int(y))), image.NewUniform(amber), image.Point{}, draw.Src)
	}
	for _, r := range b.rows {
		r.x, r.y = r.x+x, r.y+y
		if err := r.write(img); err != nil {
			return nil, err
		}
	}
	return img, nil
}
