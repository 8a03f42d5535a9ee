package cut

import (
	"fmt"

	"takeweave/internal/film"
)

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
			if _, asked, ok := l.pinned(p, k, k+1); asked && !ok {
				m.may[p][k] = false
			}
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
				if pin.shows() && !pin.names(s) || pin.Source != nil && l.otherStretch(p, k) || pin.forbids() && pin.names(s) {
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
