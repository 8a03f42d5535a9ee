package cut

import (
	"math"

	"takeweave/internal/film"
)

// hole is the number of the source that shows nothing.
const hole = -1

// run gathers the views of one source over neighbouring slots.
type run struct {
	slots      int
	wishes     int64
	weakest    float64 // chance
	mapErrorMS float64
	good       float64 // seconds of music that agree
	marked     bool    // holds a slot that does not agree
}

func (r run) with(v view, sl slot) run {
	if r.slots == 0 {
		r.weakest = 1
	}
	r.slots++
	r.wishes += v.wishes
	r.weakest = math.Min(r.weakest, v.chance)
	r.mapErrorMS = math.Max(r.mapErrorMS, v.mapErrorMS)
	if v.kind >= refused {
		r.marked = true
	} else {
		r.good += math.Max(0, sl.music.Len())
	}
	return r
}

// shotCost prices a shot of source p from point i to point j, r being the views
// between. ok is false when the clip has no picture for it.
func (b *board) shotCost(p, i, j int, r run) (c cost, ok bool) {
	o := b.options
	l, ok := b.sources[p].lay(b.rate, b.points[i].frame, b.points[j].frame, o.MaxSpeed)
	if !ok {
		return cost{}, false
	}
	seconds := b.seconds(i, j)
	frame := b.rate.FrameSeconds() // what rounding to frames takes is forgiven
	if missing := o.MinShot - frame - seconds; missing > 0 {
		c.rules += oneShortStep * int64(math.Ceil(missing/shortStep))
	}
	c.rules += int64(math.Min(worstParting, math.Ceil(l.beyond*1000-1e-3))) * int64(r.slots)

	want := o.WantShot
	if b.points[i].calm || b.points[j-1].calm || j == len(b.slots) {
		want *= weights.stretched
	}
	ratio := math.Log(seconds / want)
	units := weights.length * seconds * ratio * ratio
	units += weights.overLong * math.Max(0, seconds-frame-o.MaxShot)
	units += weights.weakest * surprise(r.weakest)
	if r.marked {
		units += weights.spoilt * r.good
	}
	ms := math.Hypot(l.worst()*1000, r.mapErrorMS) / partingScaleMS
	units += weights.parting * seconds * ms * ms
	units += weights.strain * seconds * math.Max(0, l.strain(b.sources[p].tolerance)-1)
	units += weights.speed * 100 * math.Abs(l.speed-1)
	c.wishes = r.wishes + wish(units)
	return c, true
}

func (b *board) seconds(i, j int) float64 {
	return float64(b.rate.FrameStart(b.points[j].frame) - b.rate.FrameStart(b.points[i].frame))
}

// pairCost prices source p straight after source q, the place of the cut apart.
func (b *board) pairCost(q, p int) int64 {
	if q == hole || p == hole {
		return 0
	}
	x, y := b.sources[q], b.sources[p]
	switch {
	case x.pass == y.pass:
		return wish(weights.samePass)
	case x.setup == y.setup:
		return wish(weights.sameSetup)
	case x.Setup.Size != film.SizeUnknown && x.Setup.Size == y.Setup.Size:
		return wish(weights.sameSize)
	}
	return 0
}

// returnCost prices source p two shots after source q.
func (b *board) returnCost(q, p int) int64 {
	if q == hole || p == hole {
		return 0
	}
	x, y := b.sources[q], b.sources[p]
	switch {
	case x.pass == y.pass:
		return wish(weights.returnPass)
	case x.setup == y.setup:
		return wish(weights.returnSetup)
	}
	return 0
}
