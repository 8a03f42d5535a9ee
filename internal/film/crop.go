package film

import "sort"

// Crop is the part of a clip's picture that a shot shows, in pixels of the
// upright picture with square pixels. Its size is constant within a shot.
type Crop struct {
	PictureW int       `json:"picture_width"`
	PictureH int       `json:"picture_height"`
	W        int       `json:"width"`
	H        int       `json:"height"`
	Keys     []CropKey `json:"keys"` // at least one, frames rising: straight between them, still before and after
}

// CropKey is where the crop's top left corner is at a frame of the shot, counted
// from its first.
type CropKey struct {
	Frame Frames  `json:"frame"`
	X     float64 `json:"x"`
	Y     float64 `json:"y"`
}

// At returns the corner at a frame of the shot.
func (c *Crop) At(frame Frames) (x, y float64) {
	k := c.Keys
	i := sort.Search(len(k), func(i int) bool { return k[i].Frame > frame })
	switch {
	case i == 0:
		return k[0].X, k[0].Y
	case i == len(k):
		return k[i-1].X, k[i-1].Y
	}
	a, b := k[i-1], k[i]
	u := float64(frame-a.Frame) / float64(b.Frame-a.Frame)
	return a.X + u*(b.X-a.X), a.Y + u*(b.Y-a.Y)
}

// Of returns the crop of the part [first, end) of the shot, counted from first.
func (c *Crop) Of(first, end Frames) *Crop {
	out := *c
	x, y := c.At(first)
	out.Keys = []CropKey{{0, x, y}}
	for _, k := range c.Keys {
		if k.Frame > first && k.Frame < end {
			out.Keys = append(out.Keys, CropKey{k.Frame - first, k.X, k.Y})
		}
	}
	if x, y := c.At(end - 1); len(c.Keys) > 1 && end-1 > first {
		if last := out.Keys[len(out.Keys)-1]; last.Frame < end-1-first {
			out.Keys = append(out.Keys, CropKey{end - 1 - first, x, y})
		}
	}
	return &out
}
