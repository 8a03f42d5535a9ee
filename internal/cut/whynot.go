package cut

import (
	"context"
	"fmt"
	"math"
	"slices"

	"takeweave/internal/film"
)

// WhyNot says, in one sentence with a number, why a pass is not seen at a
// moment of the song in the best cut with these pins.
func (b *Board) WhyNot(ctx context.Context, pins []film.Pin, pass string, at film.SongTime) (string, error) {
	best, err := b.solve(ctx, pins)
	if err != nil {
		return "", err
	}
	var mine []int
	for p, s := range b.sources {
		if s.Pass == pass {
			mine = append(mine, p)
		}
	}
	frame := b.nearest(at)
	if len(mine) == 0 {
		return "", &film.Error{Code: film.CodeUsage, Msg: fmt.Sprintf("%s is not lined up with this song", pass), Hint: "see why it was refused"}
	}
	if frame < 0 || frame >= b.clock.end {
		return "", &film.Error{Code: film.CodeUsage, Msg: fmt.Sprintf("%.2f s is outside what is cut", float64(at)), Hint: fmt.Sprintf("give a moment from %.2f to %.2f s", float64(b.from), float64(b.to))}
	}
	k := best.slotAt(frame)
	where := best.spoken(k)
	parts := 0.0 // how far what is seen there leaves its tolerance itself
	for _, st := range best.steps {
		if st.i <= k && k < st.j && slices.Contains(mine, st.p) {
			return fmt.Sprintf("%s is seen at %s", pass, where), nil
		}
		if st.i <= k && k < st.j && st.p != b.hole() {
			l, _ := best.lay(st)
			parts = l.beyond
		}
	}
	// The best of its stretches there.
	p := slices.MinFunc(mine, func(x, y int) int {
		u, v := best.views[x][k], best.views[y][k]
		if u.kind != v.kind {
			return int(u.kind) - int(v.kind)
		}
		return int(math.Copysign(1, v.chance-u.chance))
	})
	s, v := b.sources[p], best.views[p][k]
	for _, pin := range best.pins {
		if pin.first <= frame && frame < pin.end && (pin.shows() && !pin.names(s) || pin.forbids() && pin.names(s)) {
			return fmt.Sprintf("%s is not seen at %s because of %s", pass, where, pin.Say()), nil
		}
	}
	switch v.kind {
	case nothing:
		return fmt.Sprintf("%s has no picture of %s: %s", pass, where, s.away(at)), nil
	case beyond:
		return fmt.Sprintf("%s is not lined up at %s: its line-up reaches from %.2f to %.2f s", pass, where, float64(s.Map.SongSpan().From), float64(s.Map.SongSpan().To)), nil
	case refused:
		return fmt.Sprintf("%s is refused at %s: %s, it scores %.2f and %.2f is needed", pass, where, b.reasonSaid(s, best.slots[k]), v.chance, film.Agrees), nil
	}
	if why := best.doesNotHold(p, k, where, parts); why != "" {
		return why, nil
	}
	extra := film.Pin{Kind: film.PinShowPass, Span: best.slots[k].shown, Pass: pass}
	bounds, err := b.bind(append(slices.Clone(pins), extra))
	if err != nil {
		return "", err
	}
	forced, err := b.solveBound(ctx, bounds)
	if err != nil {
		return "", err
	}
	if broken := forced.breaksMore(best); broken != "" {
		return fmt.Sprintf("%s agrees %.2f at %s, but the cut around it %s", pass, v.chance, where, broken), nil
	}
	c := best.against(forced, best.slots[k].shown)
	why := best.mainly(forced)
	if why != "" {
		why = ", " + why
	}
	return fmt.Sprintf("%s agrees %.2f at %s, but the best cut with it costs %.2f more%s", pass, v.chance, where, c.Total, why), nil
}

// slotAt returns the slot that holds a frame.
func (l *layout) slotAt(f film.Frames) int {
	i, ok := find(l.points, f)
	if !ok {
		i--
	}
	return i
}

// away says where the picture is when it is not at a moment.
func (s *source) away(at film.SongTime) string {
	p := s.Map.PassAt(at)
	if p < s.Clip.PictureStart {
		return fmt.Sprintf("it begins %.2f s later", float64(s.Clip.PictureStart-p))
	}
	return fmt.Sprintf("it ends %.2f s before", math.Max(0, float64(p-s.Clip.PictureEnd)))
}

// reasonSaid is the commonest reason in a slot, late and early with how much.
func (b *Board) reasonSaid(s *source, sl slot) string {
	why := s.reason(sl.music)
	late, n := 0.0, 0
	for t := sl.music.From; t < sl.music.To; t += film.AgreementStep {
		if _, w, l := s.Agreement.At(t); w == why {
			late += l
			n++
		}
	}
	return why.Say(late / float64(max(1, n)))
}

// doesNotHold says by how much the shortest shots of a source around a slot
// leave its tolerance; "" when one of them holds, or parts no further than what is
// seen instead.
func (l *layout) doesNotHold(p, k int, where string, parts float64) string {
	least := math.Inf(1)
	s := l.sources[p]
	for i := k; i >= 0; i-- {
		j := k + 1
		for j < len(l.slots) && l.missing(l.seconds(i, j)) > 0 {
			j++
		}
		if laid, ok := s.lay(l.span(l.points[i].frame, l.points[j].frame)); ok {
			least = min(least, laid.beyond)
		}
		if l.seconds(i, k+1) >= l.options.MinShot {
			break
		}
	}
	if least <= parts+0.0005 || math.IsInf(least, 1) {
		return ""
	}
	return fmt.Sprintf("%s does not hold at %s: even a shot of %g s parts by %.0f ms more than is tolerated", s.Pass, where, l.options.MinShot, least*1000)
}
