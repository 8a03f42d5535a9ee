package cut

import (
	"math"

	"takeweave/internal/film"
)

// run gathers the views of one source over neighbouring slots.
type run struct {
	slots      int
	wishes     int64
	shown      int64   // how much less well than by something that agrees
	doubt      float64 // of the weakest slot
	mapErrorMS float64
	low, high  float64 // spread of pass - song
	good       float64 // seconds of music that agree
	marked     bool    // holds a slot that does not agree
}

func (r run) with(v view, sl slot) run {
	if r.slots == 0 {
		r.low, r.high = v.low, v.high
	}
	r.slots++
	r.wishes += v.wishes
	r.shown += int64(v.kind)
	r.doubt = max(r.doubt, v.doubt)
	r.mapErrorMS = max(r.mapErrorMS, v.mapErrorMS)
	r.low, r.high = min(r.low, v.low), max(r.high, v.high)
	if v.kind >= refused {
		r.marked = true
	} else {
		r.good += max(0, sl.music.Len())
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
		shown := film.SongSpan{From: l.starts[i], To: l.starts[j]}
		var shot laid
		var fixed, ok bool
		if len(l.slips) > 0 {
			shot, fixed, ok = l.pinned(p, i, j)
		}
		if !fixed {
			shot, ok, trySpeed = s.laySpread(shown, r.low, r.high, trySpeed)
		}
		if !ok {
			row = append(row, noPicture)
			continue
		}
		agreement, sync, speed := shotTerms(s, shot, r, shown.Len())
		row = append(row, cost{
			rules:  l.breaks(shot, r, shown.Len()),
			wishes: r.wishes + agreement + sync + speed + l.length[i][j-i-1],
		})
	}
	return row
}

// breaks counts the rules that a shot breaks.
func (l *layout) breaks(shot laid, r run, seconds float64) int64 {
	rules := oneShown*r.shown + onePartingMS*(milliseconds(shot.beyond)+milliseconds(shot.handles))*int64(r.slots)
	if missing := l.missing(seconds); missing > 0 {
		rules += oneShortStep * int64(math.Ceil(missing/shortStep))
	}
	return rules
}

// missing returns how many seconds a shot lacks to the shortest one; what
// rounding to frames takes is forgiven.
func (b *Board) missing(seconds float64) float64 {
	return max(0, b.options.MinShot-b.rate.FrameSeconds()-seconds)
}

// shotTerms is what a shot costs beyond its slots and its length.
func shotTerms(s *source, shot laid, r run, seconds float64) (agreement, sync, speed int64) {
	units := weights.weakest * r.doubt
	if r.marked {
		units += weights.spoilt * r.good
	}
	agreement = wish(units)
	const perMS = 1000.0 / partingScaleMS
	worst, bound := shot.worst()*perMS, r.mapErrorMS/partingScaleMS
	units = weights.parting * seconds * (worst*worst + bound*bound)
	units += weights.strain * seconds * max(0, shot.strain(s.tolerance)-1)
	sync = wish(units)
	if shot.speed != 1 {
		speed = wish(weights.speed * 100 * math.Abs(shot.speed-1))
	}
	return agreement, sync, speed
}

// partingScaleMS is the unit of weights.parting.
const partingScaleMS = 40

// priceLength is what the length of a shot from point i costs, logWant being
// the mean log of what is wanted over it.
func (l *layout) priceLength(i int, seconds, logWant float64) int64 {
	ratio := math.Log(seconds) - logWant
	over := max(0, seconds-l.rate.FrameSeconds()-l.slots[i].longest)
	return wish(weights.length*seconds*ratio*ratio + weights.overLong*over)
}
