package crop

import "takeweave/internal/film"

// Kept is what one shape keeps of the picture when it stands on a point, and
// what it loses at each side, in shares 0..1 of the picture's width or height.
type Kept struct {
	Shape  film.Shape `json:"shape"`
	Rect   Rect       `json:"rect"`
	Top    float64    `json:"top_lost"` // headroom
	Bottom float64    `json:"bottom_lost"`
	Left   float64    `json:"left_lost"`
	Right  float64    `json:"right_lost"`
}

// Core returns the common core, the part of a picture that every one of the
// shapes keeps when all stand on the same point, and what each shape keeps.
// Without shapes the core is the whole picture. Errors are those of [Largest].
func Core(pictureW, pictureH int, shapes []film.Shape, on Point) (Rect, []Kept, error) {
	core := Rect{0, 0, pictureW, pictureH}
	kept := make([]Kept, len(shapes))
	for i, s := range shapes {
		w, err := Largest(pictureW, pictureH, s)
		if err != nil {
			return Rect{}, nil, err
		}
		r := w.Stand(on)
		core = core.common(r)
		width, height := float64(pictureW), float64(pictureH)
		kept[i] = Kept{
			Shape: s, Rect: r,
			Top: r.Y / height, Bottom: (height - r.Y - float64(r.H)) / height,
			Left: r.X / width, Right: (width - r.X - float64(r.W)) / width,
		}
	}
	return core, kept, nil
}

// common returns the part that two crops share, of size 0 where they share none.
func (r Rect) common(o Rect) Rect {
	x, y := max(r.X, o.X), max(r.Y, o.Y)
	right := min(r.X+float64(r.W), o.X+float64(o.W))
	bottom := min(r.Y+float64(r.H), o.Y+float64(o.H))
	return Rect{x, y, int(max(0, right-x)), int(max(0, bottom-y))}
}
