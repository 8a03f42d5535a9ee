package cut

import (
	"math"

	"takeweave/internal/film"
)

// slip is a stretch of the film in which a source is laid by a pin.
type slip struct {
	p          int // the source
	first, end film.Frames
	from       film.SongTime // of start
	start      float64       // pass time
	speed      float64
}

// startAt returns what is shown at a song time when the slip is kept.
func (s slip) startAt(t film.SongTime) float64 { return s.start + s.speed*float64(t-s.from) }

// fix lays sources where pins want them.
func (l *layout) fix(pins []bound) {
	for _, pin := range pins {
		if pin.Source == nil || pin.Kind != film.PinShowPass {
			continue
		}
		s := slip{p: -1, first: pin.first, end: pin.end, from: pin.Span.From, start: float64(*pin.Source), speed: pin.Speed}
		if s.speed == 0 {
			s.speed = 1
		}
		away := func(p int) float64 { return math.Abs(float64(l.sources[p].Map.PassAt(s.from)) - s.start) }
		for p, src := range l.sources { // of the stretches of the pass, the one that plays it
			if pin.names(src) && (s.p < 0 || away(p) < away(s.p)) {
				s.p = p
			}
		}
		l.slips = append(l.slips, s)
		clear(l.rows[s.p])
	}
}

// otherStretch reports whether a source is of a pinned pass, but not the stretch
// that the pin shows.
func (l *layout) otherStretch(p, k int) bool {
	for _, s := range l.slips {
		if s.first <= l.slots[k].first && l.slots[k].end <= s.end && p != s.p {
			return true
		}
	}
	return false
}

// slipped reports whether a slot lies in a slip.
func (l *layout) slipped(k int) bool {
	for _, s := range l.slips {
		if s.first < l.slots[k].end && l.slots[k].first < s.end {
			return true
		}
	}
	return false
}

// sameSlip is how far two slips may differ in one shot, in seconds.
const sameSlip = 0.0005

// pinned lays source p from point i to point j as pins want it. asked is false
// when none does; ok is false when it has no picture there, or two pins differ.
func (l *layout) pinned(p, i, j int) (shot laid, asked, ok bool) {
	first, end := l.points[i].frame, l.points[j].frame
	var kept slip
	for _, s := range l.slips {
		if s.p != p || s.first >= end || first >= s.end {
			continue
		}
		at := l.starts[i]
		if asked && (s.speed != kept.speed || math.Abs(s.startAt(at)-kept.startAt(at)) > sameSlip) {
			return shot, true, false
		}
		kept, asked = s, true
	}
	if !asked {
		return shot, false, false
	}
	shot, ok = l.sources[p].placeAt(l.span(first, end), kept.startAt(l.starts[i]), kept.speed)
	return shot, true, ok
}

// lay fits the source of a step to it, as pins want it or else as it holds best.
func (l *layout) lay(st step) (laid, bool) {
	if shot, asked, ok := l.pinned(st.p, st.i, st.j); asked {
		return shot, ok
	}
	return l.sources[st.p].lay(l.shown(st))
}
