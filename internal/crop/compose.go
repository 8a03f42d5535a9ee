package crop

import "math"

// How a subject stands in the frame, in shares of the frame's size in the
// direction asked for. Common practice, but for edge and still, which are our
// own; no measurement set them.
const (
	headroom      = 0.12    // above the head, best of all
	leastHeadroom = 0.04    // any less crowds the head
	mostHeadroom  = 1.0 / 3 // the head stays in the upper third
	edge          = 0.05    // between the subject and the frame's side
	still         = 0.08    // the subject may sway by this to either side of the middle
)

// across returns where the window may stand from left to right for a subject:
// with the subject near its middle and, where it fits, within its sides. A
// subject that does not fit keeps half of the sway, and a tenth more of it than
// must be may be cut, so that the frame does not breathe with it.
func (w Window) across(b Box) band {
	size, picture := float64(w.W), float64(w.PictureW)
	middle := (b.X+b.W/2)*picture - size/2
	free := (size-b.W*picture)/2 - easedOff*size
	half := clamp(free-edge*size, still/2*size, still*size)
	whole := math.Max(half, math.Max(0, free)+leftFrom*b.W*picture)
	room, _ := w.room()
	return band{middle - whole, middle - half, middle, middle + half, middle + whole, true}.within(room)
}

// down returns where the window may stand from top to bottom: with the head in
// its upper third below some headroom and, where it fits, the whole subject.
func (w Window) down(b Box) band {
	size, picture := float64(w.H), float64(w.PictureH)
	top, bottom := b.Y*picture, (b.Y+b.H)*picture
	hi := top - (leastHeadroom+easedOff)*size
	lo := math.Min(bottom-size+(edge+easedOff)*size, hi-still*size)
	lo = math.Max(lo, top-mostHeadroom*size)
	least, most := math.Min(lo, bottom-size+easedOff*size-leftFrom*(bottom-top)), math.Max(hi, top-easedOff*size)
	_, room := w.room()
	return band{least, lo, clamp(top-headroom*size, lo, hi), hi, most, true}.within(room)
}

// within brings a band into the room that the window has.
func (b band) within(room float64) band {
	return band{
		clamp(b.least, 0, room), clamp(b.lo, 0, room), clamp(b.best, 0, room),
		clamp(b.hi, 0, room), clamp(b.most, 0, room), b.known,
	}
}
