package cut

import (
	"math"
)

// run gathers the views of one source over neighbouring slots.
type run struct {
	slots      int
	wishes     int64
	shown      int64   // how much less well than by something that agrees
	weakest    float64 // chance
	mapErrorMS float64
	low, high  float64 // spread of pass - song
	good       float64 // seconds of music that agree
	marked     bool    // holds a slot that does not agree
}

func (r run) with(v view, sl slot) run {
	if r.slots == 0 {
		r.weakest, r.low, r.high = 1, v.low, v.high
	}
	r.slots++
	r.wishes += v.wishes
	r.shown += int64(v.kind)
	r.weakest = math.Min(r.weakest, v.chance)
	r.mapErrorMS = math.Max(r.mapErrorMS, v.mapErrorMS)
	r.low, r.high = math.Min(r.low, v.low), math.Max(r.high, v.high)
	if v.kind >= refused {
		r.marked = true
	} else {
		r.good += math.Max(0, sl.music.Len())
	}
	return r
}

// row prices the shots of source p that begin at point i, by their length in
// slots, as far as there is picture and as the longest shot goes.
func (l *layout) row(p, i int) []cost {
	if l.rows[p][i] == nil {
		l.rows[p][i] = l.priceRow(p, i)
	}
	return l.rows[p][i]
}

func (l *layout) priceRow(p, i int) []cost {
	row := make([]cost, 0, l.reach[i])
	s := l.sources[p]
	r, trySpeed := run{}, true
	for j := i + 1; j <= i+l.reach[i]; j++ {
		v := l.views[p][j-1]
		if v.kind == nothing {
			break
		}
		r = r.with(v, l.slots[j-1])
		shown := l.span(l.points[i].frame, l.points[j].frame)
		var laid laid
		var ok bool
		laid, ok, trySpeed = s.laySpread(shown, r.low, r.high, trySpeed)
		if !ok {
			row = append(row, noPicture)
			continue
		}
		bill := l.shotBill(s, laid, r, shown.Len())
		row = append(row, cost{
			rules:  l.breaks(laid, r, shown.Len()),
			wishes: r.wishes + bill.sum() + l.length[i][j-i-1],
		})
	}
	return row
}

// breaks counts the rules that a shot breaks.
func (l *layout) breaks(laid laid, r run, seconds float64) int64 {
	rules := oneShown*r.shown + onePartingMS*(milliseconds(laid.beyond)+milliseconds(laid.handles))*int64(r.slots)
	if missing := l.missing(seconds); missing > 0 {
		rules += oneShortStep * int64(math.Ceil(missing/shortStep))
	}
	return rules
}

// missing returns how many seconds a shot lacks to the shortest one; what
// rounding to frames takes is forgiven.
func (b *Board) missing(seconds float64) float64 {
	return math.Max(0, b.options.MinShot-b.rate.FrameSeconds()-seconds)
}

// shotBill is what a shot costs beyond its slots and its length.
func (b *Board) shotBill(s *source, laid laid, r run, seconds float64) (c bill) {
	c.add(forAgreement, weights.weakest*doubt(r.weakest))
	if r.marked {
		c.add(forAgreement, weights.spoilt*r.good)
	}
	ms := math.Hypot(laid.worst()*1000, r.mapErrorMS) / partingScaleMS
	c.add(forSync, weights.parting*seconds*ms*ms)
	c.add(forSync, weights.strain*seconds*math.Max(0, laid.strain(s.tolerance)-1))
	c.add(forSpeed, weights.speed*100*math.Abs(laid.speed-1))
	return c
}

// partingScaleMS is the unit of weights.parting.
const partingScaleMS = 40

// priceLength is what the length of a shot from point i costs, logWant being
// the mean log of what is wanted over it.
func (l *layout) priceLength(i int, seconds, logWant float64) int64 {
	ratio := math.Log(seconds) - logWant
	over := math.Max(0, seconds-l.rate.FrameSeconds()-l.slots[i].longest)
	return wish(weights.length*seconds*ratio*ratio + weights.overLong*over)
}
