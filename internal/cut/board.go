package cut

import (
	"takeweave/internal/film"
)

// Board is a request made ready: everything that does not depend on pins. It is
// kept between pins, so that healing is quick; one caller at a time.
type Board struct {
	clock
	song    *film.Song
	shape   film.Shape
	options Options
	sources []*source
	passes  int  // how many different ones
	safety  bool // one was filmed, so that the opening and the end want it
	between *between
	free    *layout   // without pins
	found   *searched // without pins; nil until asked for
}

// Prepare makes a request ready. Pins in the request are not looked at.
//
// It returns a *film.Error when the request makes no sense or when no candidate
// has any picture of the stretch (film.CodeNoCoverage).
func Prepare(r Request) (*Board, error) {
	o := r.Options.withDefaults()
	if err := r.check(o); err != nil {
		return nil, err
	}
	b := &Board{
		clock: newClock(r.Rate, r.stretch()), song: r.Song, shape: r.Shape, options: o,
		sources: newSources(r, o),
	}
	for _, s := range b.sources {
		b.passes = max(b.passes, s.pass+1)
		b.safety = b.safety || s.Setup.Safety
	}
	b.between = b.priceNeighbours()
	points := cutPoints(r.Song, b.clock, o.AnticipateFrames)
	for frames := b.edges(points); len(frames) > 0; frames = b.edges(points) {
		points = splitAt(points, frames, b.clock, o.AnticipateFrames)
	}
	if len(points) > maxSlots {
		return nil, &film.Error{Code: film.CodeUsage, Msg: "the record has too many beats for one film", Hint: "cut a shorter record"}
	}
	b.free = b.layOut(points, nil)
	if b.free.empty() {
		return nil, errNoCoverage
	}
	return b, nil
}

// layout is the stretch divided at its cut points, with every candidate seen in
// every slot.
type layout struct {
	*Board
	points   []point
	starts   []film.SongTime // of the frames of points
	slots    []slot
	views    [][]view   // [source][slot]
	slips    []slip     // from pins
	rows     [][][]cost // [source][point]: prices of the shots that begin there, shortest first; nil until asked for
	reach    []int      // [point]: the number of slots of the longest shot that begins there
	farthest int        // the greatest of reach
	length   [][]int64  // [point][slots-1]: what the length of a shot costs
}

// layOut makes a layout. What a former layout has in common with it is shared.
func (b *Board) layOut(points []point, former *layout) *layout {
	l := &layout{Board: b, points: points, slots: b.cutSlots(points)}
	for _, p := range points {
		l.starts = append(l.starts, b.start(p.frame))
	}
	old := make([]int, len(l.slots)) // the same slot in the former layout, or -1
	for k, sl := range l.slots {
		old[k] = -1
		if former == nil {
			continue
		}
		i, ok := find(former.points, sl.first)
		if ok && i < len(former.slots) && former.slots[i] == sl {
			old[k] = i
		}
	}
	l.views = make([][]view, len(b.sources))
	for p, s := range b.sources {
		l.views[p] = make([]view, len(l.slots))
		for k, sl := range l.slots {
			if old[k] >= 0 {
				l.views[p][k] = former.views[p][old[k]]
			} else {
				l.views[p][k] = b.see(s, sl)
			}
		}
	}
	l.measureReach()
	same := make([]int, len(l.slots)+1) // how many slots from here on are those of the former layout
	for k := len(l.slots) - 1; k >= 0; k-- {
		switch {
		case old[k] < 0:
		case k+1 < len(old) && old[k+1] == old[k]+1:
			same[k] = same[k+1] + 1
		default:
			same[k] = 1
		}
	}
	l.rows = make([][][]cost, len(b.sources))
	for p := range l.rows {
		l.rows[p] = make([][]cost, len(l.slots))
		for i := range l.slots {
			if same[i] >= l.reach[i] && former.reach[old[i]] == l.reach[i] {
				l.rows[p][i] = former.rows[p][old[i]]
			}
		}
	}
	return l
}

// mayStretch is how far a shot may go beyond the longest wished, where every
// change would be worse.
const mayStretch = 2

// measureReach finds the longest shot from each point, and prices lengths.
func (l *layout) measureReach() {
	l.reach = make([]int, len(l.slots))
	l.length = make([][]int64, len(l.slots))
	for i := range l.slots {
		wants := 0.0
		for j := i + 1; j < len(l.points); j++ {
			seconds := l.seconds(i, j)
			if j > i+1 && seconds > mayStretch*l.slots[i].longest {
				break
			}
			wants += l.slots[j-1].seconds() * l.slots[j-1].logWant
			l.length[i] = append(l.length[i], l.priceLength(i, seconds, wants/seconds))
			l.reach[i]++
		}
		l.farthest = max(l.farthest, l.reach[i])
	}
}

func (l *layout) seconds(i, j int) float64 {
	return float64(l.rate.FrameStart(l.points[j].frame - l.points[i].frame))
}

// empty reports whether no slot has a picture.
func (l *layout) empty() bool {
	for _, views := range l.views {
		for _, v := range views {
			if v.kind != nothing {
				return false
			}
		}
	}
	return true
}

// edges returns frames at which to divide slots that no candidate shows whole:
// for each candidate, where its first picture in the slot begins and how long
// one shot can stay from there. None are left once every slot either is shown
// whole by somebody or has no picture at all, so that holes are exact to the
// frame.
func (b *Board) edges(points []point) []film.Frames {
	var frames []film.Frames
	lies := func(s *source, first, end film.Frames) bool {
		_, ok := s.lay(b.span(first, end))
		return ok
	}
	for k := 0; k+1 < len(points); k++ {
		first, end := points[k].frame, points[k+1].frame
		whole := false
		for _, s := range b.sources {
			whole = whole || lies(s, first, end)
		}
		if whole {
			continue
		}
		for _, s := range b.sources {
			from := first
			for from < end && !lies(s, from, from+1) {
				from++
			}
			to := from
			for to < end && lies(s, from, to+1) {
				to++
			}
			for _, f := range []film.Frames{from, to} {
				if f > first && f < end {
					frames = append(frames, f)
				}
			}
		}
	}
	return frames
}
