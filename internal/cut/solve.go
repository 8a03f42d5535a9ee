package cut

import (
	"context"
	"fmt"
	"slices"

	"takeweave/internal/film"
)

// Solve returns the best cut of the request, under the order of rules in the
// package comment. The shots cover the frames of the stretch exactly once, in
// order. It is Prepare and Board.Solve in one.
func Solve(ctx context.Context, r Request) (film.Cut, error) {
	b, err := Prepare(r)
	if err != nil {
		return film.Cut{}, err
	}
	return b.Solve(ctx, r.Pins)
}

// Solve returns the best cut that keeps all pins.
//
// It returns a *film.Error that names the pins when they contradict each other
// or cannot be kept, and the context's error when it is cancelled. With N
// slots, P candidates and shots of at most L slots it takes O(N·P·(P+L)) time.
func (b *Board) Solve(ctx context.Context, pins []film.Pin) (film.Cut, error) {
	s, err := b.solve(ctx, pins)
	if err != nil {
		return film.Cut{}, err
	}
	return s.film(), nil
}

// solution is a best cut with all that led to it.
type solution struct {
	*layout
	pins  []bound
	steps []step
	cost
}

func (b *Board) solve(ctx context.Context, pins []film.Pin) (*solution, error) {
	bounds, err := b.bind(pins)
	if err != nil {
		return nil, err
	}
	s, err := b.solveBound(ctx, bounds)
	if err != nil {
		return nil, err
	}
	return s, b.keepsRules(ctx, s)
}

// solveBound finds the best cut with pins, whatever rules they break.
func (b *Board) solveBound(ctx context.Context, pins []bound) (*solution, error) {
	s := &solution{layout: b.free, pins: pins}
	if len(pins) > 0 {
		s.layout = b.layOut(b.pinPoints(b.free.points, pins), b.free)
		s.overrule(pins)
		s.fix(pins)
	}
	m, err := s.limit(pins)
	if err != nil {
		return nil, err
	}
	found, err := s.search(ctx, m, b.found)
	if err != nil {
		return nil, err
	}
	if len(pins) == 0 {
		b.found = found
	}
	var ok bool
	if s.steps, s.cost, ok = found.wayBack(); !ok {
		return nil, &film.Error{
			Code: film.CodeUsage,
			Msg:  "what is pinned cannot be shown without a cut where none may fall: " + b.tooLong(pins),
			Hint: "make these pins shorter, or take one away",
		}
	}
	return s, nil
}

// tooLong names the pins that forbid cuts.
func (b *Board) tooLong(pins []bound) string {
	var names []string
	for _, p := range pins {
		if p.Kind == film.PinNoCut || p.Strong || p.Source != nil {
			names = append(names, p.Say())
		}
	}
	return inList(names)
}

// keepsRules returns an error when a pin that is not strong makes the cut break
// a rule that it need not break otherwise.
func (b *Board) keepsRules(ctx context.Context, s *solution) error {
	broken := s.rulesUnderPins()
	if broken == "" {
		return nil
	}
	free, err := b.solveBound(ctx, nil)
	if err != nil || soft(s.rules) <= soft(free.rules) {
		return err
	}
	var guilty []string
	for i, p := range s.pins {
		if p.Strong || p.Kind == film.PinOverrule {
			continue
		}
		without, err := b.solveBound(ctx, slices.Delete(slices.Clone(s.pins), i, i+1))
		if err != nil {
			return err
		}
		if soft(without.rules) < soft(s.rules) {
			guilty = append(guilty, p.Say())
		}
	}
	if len(guilty) == 0 {
		return nil
	}
	return &film.Error{
		Code: film.CodeUsage,
		Msg:  fmt.Sprintf("%s cannot be kept: %s", inList(guilty), broken),
		Hint: "make the pin strong to have it all the same, or choose another stretch",
	}
}

// soft is the part of broken rules that pins must not add to: short shots and
// parting. What is shown is the person's to say.
func soft(rules int64) int64 { return rules % oneShown }

// How far picture and record may part, in seconds, and still be accepted: a pin
// that is not strong is kept up to there, since its pass may have nothing better.
// Source: ITU-R BT.1359-1 [BT1359], the limits of acceptability.
const (
	acceptableLate  = 0.090
	acceptableEarly = 0.185
)

// rulesUnderPins says what is broken by a shot that touches a pin; "" when
// nothing is.
func (s *solution) rulesUnderPins() string {
	for _, st := range s.steps {
		if st.p == s.hole() || !s.touched(st) {
			continue
		}
		at := s.spoken(st.i)
		seconds := s.seconds(st.i, st.j)
		if s.missing(seconds) > 0 {
			return fmt.Sprintf("a shot of %.2f s would be needed at %s, and the shortest is %g s", seconds, at, s.options.MinShot)
		}
		l, _ := s.lay(st)
		if l.beyond > 0.0005 && (l.late > acceptableLate || l.early > acceptableEarly) {
			return fmt.Sprintf("%s would part from the record by %.0f ms at %s", s.sources[st.p].Pass, l.worst()*1000, at)
		}
		if l.handles > 0.0005 {
			return fmt.Sprintf("%s lacks %.2f s of handles at %s", s.sources[st.p].Pass, l.handles, at)
		}
	}
	return ""
}

// shown returns what a step covers.
func (l *layout) shown(st step) film.SongSpan {
	return l.span(l.points[st.i].frame, l.points[st.j].frame)
}

// touched reports whether a step meets a pin that is not strong, or its edge.
func (s *solution) touched(st step) bool {
	first, end := s.points[st.i].frame, s.points[st.j].frame
	return slices.ContainsFunc(s.pins, func(p bound) bool { return !p.Strong && p.first <= end && first <= p.end })
}

// film returns the cut as it is shown.
func (s *solution) film() film.Cut {
	return film.Cut{Rate: s.rate, Shape: s.shape, Frames: s.clock.end, From: s.from, Shots: s.shots()}
}
