package cut

import (
	"fmt"
	"slices"

	"takeweave/internal/film"
)

// bound is a pin on the frames of the film: [first, end).
type bound struct {
	film.Pin
	first, end film.Frames
}

func (p bound) shows() bool   { return p.Kind == film.PinShowPass || p.Kind == film.PinShowSetup }
func (p bound) forbids() bool { return p.Kind == film.PinNotPass || p.Kind == film.PinNotSetup }

// names reports whether the pin speaks of a source.
func (p bound) names(s *source) bool {
	switch p.Kind {
	case film.PinShowSetup, film.PinNotSetup:
		return s.Setup.Name == p.Name
	}
	return s.Pass == p.Pass
}

func (p bound) overlaps(q bound) bool { return p.first < q.end && q.first < p.end }

// bind puts pins on the frames of the stretch, in order of their numbers. Pins
// that lie wholly outside it are left out.
func (b *Board) bind(pins []film.Pin) ([]bound, error) {
	var out []bound
	for _, pin := range pins {
		p := bound{Pin: pin, first: b.nearest(pin.Span.From), end: b.nearest(pin.Span.To)}
		if err := b.known(p); err != nil {
			return nil, err
		}
		if p.Kind == film.PinCut || p.Kind == film.PinNoCut && p.Span.Len() <= 0 {
			if p.first <= 0 || p.first >= b.end {
				continue
			}
			p.end = p.first
		} else {
			p.first, p.end = max(p.first, 0), min(p.end, b.clock.end)
			if p.first >= b.clock.end || p.end <= 0 {
				continue
			}
			if p.end <= p.first {
				return nil, wrong(p, "is shorter than a frame", "give a longer stretch")
			}
		}
		out = append(out, p)
	}
	slices.SortStableFunc(out, func(p, q bound) int { return int(p.ID - q.ID) })
	return out, b.clash(out)
}

// known checks that a pin says something that can be understood.
func (b *Board) known(p bound) error {
	switch p.Kind {
	case film.PinCut, film.PinNoCut:
		return nil
	case film.PinShowPass, film.PinShowSetup, film.PinNotPass, film.PinNotSetup, film.PinOverrule:
	default:
		return wrong(p, "is of no known kind", "see the kinds of pins")
	}
	if slices.ContainsFunc(b.sources, p.names) {
		return nil
	}
	if p.forbids() {
		return nil // it is not there, so it is not shown
	}
	return wrong(p, "names what is not lined up with this song", "see the passes and setups that are lined up")
}

func wrong(p bound, msg, hint string) error {
	return &film.Error{Code: film.CodeUsage, Msg: p.Say() + " " + msg, Hint: hint}
}

// clash returns an error that names the first two pins that contradict each other.
func (b *Board) clash(pins []bound) error {
	for i, p := range pins {
		for _, q := range pins[:i] {
			if why := b.contradict(q, p); why != "" {
				return &film.Error{
					Code: film.CodeUsage,
					Msg:  fmt.Sprintf("%s and %s contradict each other: %s", q.Say(), p.Say(), why),
					Hint: "take one of the two away, or make it shorter",
				}
			}
		}
	}
	return nil
}

// contradict says why two pins cannot both be kept; "" when they can.
func (b *Board) contradict(p, q bound) string {
	if p.Kind == film.PinCut || p.Kind == film.PinNoCut {
		p, q = q, p
	}
	switch {
	case q.Kind == film.PinCut && p.Kind == film.PinNoCut || q.Kind == film.PinNoCut && p.Kind == film.PinCut:
		cut, none := q, p
		if p.Kind == film.PinCut {
			cut, none = p, q
		}
		if none.closes(cut.first, b.options.AnticipateFrames) {
			return "one asks for the cut that the other forbids"
		}
	case q.Kind == film.PinCut && p.shows() && p.Strong && p.first < q.first && q.first < p.end:
		return "the cut would divide what a strong pin shows in one shot"
	case !p.overlaps(q):
		return ""
	case p.shows() && q.shows() && !b.share(p, q):
		return "no picture is both"
	case p.shows() && q.forbids() && !b.spares(p, q):
		return "one asks for what the other forbids"
	case q.shows() && p.forbids() && !b.spares(q, p):
		return "one asks for what the other forbids"
	}
	return ""
}

// share reports whether some source is what both pins ask for.
func (b *Board) share(p, q bound) bool {
	return slices.ContainsFunc(b.sources, func(s *source) bool { return p.names(s) && q.names(s) })
}

// spares reports whether some source is what p asks for and not what q forbids.
func (b *Board) spares(p, q bound) bool {
	return slices.ContainsFunc(b.sources, func(s *source) bool { return p.names(s) && !q.names(s) })
}

// closes reports whether a no-cut pin forbids a cut at a frame. Over a span the
// edges stay free, and so does a cut that comes early before the end.
func (p bound) closes(f film.Frames, anticipate int) bool {
	if p.first == p.end {
		return max(f-p.first, p.first-f) <= film.Frames(anticipate)
	}
	return f > p.first && f < p.end-film.Frames(anticipate)
}

// pinPoints makes the edges of pins cut points. A point that stands for the
// same moment is moved there, so that what is pinned is kept to the frame.
func (b *Board) pinPoints(points []point, pins []bound) []point {
	points = slices.Clone(points)
	early := film.Frames(b.options.AnticipateFrames)
	put := func(f film.Frames) {
		i, ok := find(points, f)
		if i == 0 || i == len(points) {
			return
		}
		if ok {
			points[i].held = true
			return
		}
		for _, k := range []int{i, i - 1} {
			p := &points[k]
			if k > 0 && k < len(points)-1 && !p.held && p.frame >= f-early && p.frame <= f+1 {
				p.frame, p.held = f, true
				return
			}
		}
		points = slices.Insert(points, i, point{frame: f, at: b.start(f), place: atOffBeat, held: true})
	}
	for _, p := range pins {
		switch p.Kind {
		case film.PinNoCut:
		case film.PinCut:
			put(p.first)
		default:
			put(p.first)
			put(p.end)
		}
	}
	for i := 1; i+1 < len(points); i++ { // a moment never comes before the one before it
		points[i].at = min(max(points[i].at, points[i-1].at), points[len(points)-1].at)
	}
	return points
}
