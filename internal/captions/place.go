package captions

import "takeweave/internal/film"

// Box is a part of the picture, in shares 0..1 of its width and height, from its
// top left.
type Box struct {
	X float64 `json:"x"`
	Y float64 `json:"y"`
	W float64 `json:"width"`
	H float64 `json:"height"`
}

// Seen is a mouth or a playing hand over a stretch of the film.
type Seen struct {
	First film.Frames `json:"first_frame"`
	End   film.Frames `json:"end_frame"` // exclusive
	Box   Box         `json:"box"`
}

// Where captions stand. Source: common practice (a tenth of the picture kept
// free at its edges, rows of about a twentieth of its height).
const (
	margin    = 0.05 // above and below
	rowHeight = 0.06
	side      = 0.1 // left and right
)

// Box returns the part of the picture that a caption may cover.
func (c *Caption) Box() Box {
	h := rowHeight * float64(len(c.Rows))
	b := Box{X: side, Y: 1 - margin - h, W: 1 - 2*side, H: h}
	if c.Top {
		b.Y = margin
	}
	return b
}

// Place puts every caption at the bottom, or at the top where at the bottom it
// would cover more of what must be seen. captions is written to.
func Place(captions []Caption, seen []Seen) {
	for i := range captions {
		c := &captions[i]
		c.Top = false
		bottom := c.covers(seen)
		c.Top = true
		c.Top = c.covers(seen) < bottom
	}
}

// covers returns how much a caption hides where it stands: see hides.
func (c *Caption) covers(seen []Seen) float64 { return c.hides(c.Box(), seen) }

// hides returns how much a caption would hide in a part of the picture: the common
// area with what is seen, times the frames it lasts.
func (c *Caption) hides(mine Box, seen []Seen) float64 {
	var sum float64
	for _, s := range seen {
		frames := min(c.End, s.End) - max(c.First, s.First)
		w := min(mine.X+mine.W, s.Box.X+s.Box.W) - max(mine.X, s.Box.X)
		h := min(mine.Y+mine.H, s.Box.Y+s.Box.H) - max(mine.Y, s.Box.Y)
		if frames > 0 && w > 0 && h > 0 {
			sum += w * h * float64(frames)
		}
	}
	return sum
}
