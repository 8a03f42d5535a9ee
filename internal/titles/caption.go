package titles

import (
	"image"
	"strings"

	"takeweave/internal/captions"
	"takeweave/internal/film"
)

// Sizes of a burned-in caption's type, as shares of the frame's shorter side: the
// wanted one gives rows of 6 % of a wide picture's height. Source: common practice.
const captionSize, leastCaption = 0.048, 0.034

// Around a caption's letters, of the type size: how far its ground reaches, and
// over what it fades out.
const captionPad, captionSoft = 0.3, 0.7

// Caption returns a caption burned in for a film of width × height pixels, where
// it hides nothing of what is seen while it is shown. Its bounds say where it
// stands in the frame. The error is a *[captions.NoPlaceError] where there is no
// such place, and a *film.Error when a row is too long.
func Caption(c *captions.Caption, width, height int, seen []captions.Seen) (*image.NRGBA, error) {
	p := newPage(width, height)
	b, size, err := p.captionBlock(c.Rows)
	if err != nil {
		return nil, err
	}
	pad := captionPad * size
	w, h := (b.width+2*pad)/float64(width), (b.down+2*pad)/float64(height)
	spot, err := c.Spot(w, h, p.safe, seen)
	if err != nil {
		return nil, err
	}
	soft := captionSoft * size
	return b.draw(spot.X*float64(width)+pad, spot.Y*float64(height)+pad, ground{pad, soft, soft}, p.frame())
}

// captionBlock sets the rows of a caption, each centred, in one size.
func (p page) captionBlock(rows []string) (b block, size float64, err error) {
	s := style{medium, captionSize * p.unit(), leastCaption * p.unit(), 1}
	r, err := s.weight.ruler()
	if err != nil {
		return b, 0, err
	}
	width := captions.Centred(p.safe).W * float64(p.width)
	size = s.wanted
	for _, text := range rows {
		if err := r.canWrite(text); err != nil {
			return b, 0, err
		}
		size = min(size, width/(r.width(text)+2*captionPad)) // the ground fits in, too
	}
	if size < s.least {
		return b, 0, &film.Error{
			Code: film.CodeUsage,
			Msg:  "a row of the caption \"" + strings.Join(rows, " / ") + "\" does not fit in the smallest type that is read",
			Hint: "shorten its rows",
		}
	}
	for i, text := range rows {
		y := size * (ascent + float64(i)*rowPitch)
		b.rows = append(b.rows, row{text: text, weight: s.weight, size: size, y: y, colour: bright})
		b.width = max(b.width, size*r.width(text))
		b.down = y + size*descent
	}
	for i := range b.rows {
		b.rows[i].x = (b.width - size*r.width(b.rows[i].text)) / 2
	}
	return b, size, nil
}
