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

// limits is what pins leave free in a layout.
type limits struct {
	may    [][]bool // [source][slot], the hole last
	closed []bool   // [point]: no cut falls there
	forced []bool   // [point]: a cut falls there
	strong []int    // [point]: how many slots before it are under strong pins
}

// limit says what pins leave free, and overrules what they overrule. It returns
// an error when a pin asks for a picture that there is not.
func (l *layout) limit(pins []bound) (*limits, error) {
	n := len(l.slots)
	m := &limits{may: make([][]bool, len(l.sources)+1), closed: make([]bool, n+1), forced: make([]bool, n+1), strong: make([]int, n+1)}
	for p := range m.may {
		m.may[p] = make([]bool, n)
		for k := range m.may[p] {
			m.may[p][k] = p < len(l.sources) && l.views[p][k].kind != nothing
		}
	}
	strong := make([]bool, n)
	for _, pin := range pins {
		for i := 1; i < n; i++ {
			f := l.points[i].frame
			switch {
			case pin.Kind == film.PinCut && f == pin.first:
				m.forced[i] = true
			case pin.Kind == film.PinNoCut && pin.closes(f, l.options.AnticipateFrames),
				pin.shows() && pin.Strong && f > pin.first && f < pin.end:
				m.closed[i] = true
			}
		}
		for k, sl := range l.slots {
			if sl.first < pin.first || sl.end > pin.end {
				continue
			}
			for p, s := range l.sources {
				if pin.shows() && !pin.names(s) || pin.forbids() && pin.names(s) {
					m.may[p][k] = false
				}
			}
			strong[k] = strong[k] || pin.Strong && pin.shows()
		}
	}
	for k := range l.slots {
		m.strong[k+1] = m.strong[k]
		if strong[k] {
			m.strong[k+1]++
		}
		if err := l.leaves(m, k, pins); err != nil {
			return nil, err
		}
	}
	return m, nil
}

// leaves checks that pins leave something to show in a slot, and lets the hole
// in where there never was anything.
func (l *layout) leaves(m *limits, k int, pins []bound) error {
	filmed, left := false, false
	for p := range l.sources {
		filmed = filmed || l.views[p][k].kind != nothing
		left = left || m.may[p][k]
	}
	if left {
		return nil
	}
	var names []string
	asks := false
	for _, p := range pins {
		if p.first < l.slots[k].end && l.slots[k].first < p.end && (p.shows() || p.forbids()) {
			names = append(names, p.Say())
			asks = asks || p.shows()
		}
	}
	at := l.spoken(k)
	switch {
	case !filmed && !asks:
		m.may[l.hole()][k] = true
		return nil
	case len(names) == 1 && asks:
		return &film.Error{Code: film.CodeUsage, Msg: fmt.Sprintf("%s cannot be kept: there is no picture of it at %s", names[0], at), Hint: "make the pin shorter, or take it away"}
	case len(names) == 1:
		return &film.Error{Code: film.CodeUsage, Msg: fmt.Sprintf("%s leaves nothing to show at %s", names[0], at), Hint: "make the pin shorter, or take it away"}
	}
	return &film.Error{Code: film.CodeUsage, Msg: fmt.Sprintf("%s together leave nothing to show at %s", inList(names), at), Hint: "take one of them away, or make it shorter"}
}

func inList(names []string) string {
	s := names[0]
	for i, n := range names[1:] {
		if i == len(names)-2 {
			s += " and " + n
		} else {
			s += ", " + n
		}
	}
	return s
}

// overrule counts refused moments as sure where a pin overrules the refusal.
func (l *layout) overrule(pins []bound) {
	for _, pin := range pins {
		if pin.Kind != film.PinOverrule {
			continue
		}
		for p, s := range l.sources {
			if !pin.names(s) {
				continue
			}
			changed := false
			for k, sl := range l.slots {
				v := &l.views[p][k]
				if sl.first < pin.first || sl.end > pin.end || v.kind == nothing || v.kind == agrees {
					continue
				}
				v.kind, v.chance, v.doubt, changed = agrees, 1, 0, true
				bill := l.slotBill(s, sl, *v)
				v.wishes = bill.sum()
			}
			if changed {
				clear(l.rows[p])
			}
		}
	}
}
