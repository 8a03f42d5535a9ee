package crop

import "math"

// Point is a place in the picture, in shares 0..1 of its width and height.
type Point struct {
	X float64 `json:"x"`
	Y float64 `json:"y"`
}

// Centre is the middle of the picture.
var Centre = Point{0.5, 0.5}

// Rect is a crop in its place: the top left corner, in pixels of the picture,
// and the size.
type Rect struct {
	X float64 `json:"x"`
	Y float64 `json:"y"`
	W int     `json:"width"`
	H int     `json:"height"`
}

// Stand places the window with its middle on a point, as near as the picture
// allows, at even pixels.
func (w Window) Stand(on Point) Rect {
	roomX, roomY := w.room()
	x := on.X*float64(w.PictureW) - float64(w.W)/2
	y := on.Y*float64(w.PictureH) - float64(w.H)/2
	return Rect{evenWithin(x, roomX), evenWithin(y, roomY), w.W, w.H}
}

// evenWithin returns the even number within 0..room, itself even, nearest to v.
func evenWithin(v, room float64) float64 { return clamp(2*math.Round(v/2), 0, room) }

func clamp(v, lo, hi float64) float64 { return max(lo, min(hi, v)) }
