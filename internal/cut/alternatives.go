package cut

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"
	"strings"

	"takeweave/internal/film"
)

// Alternative is another way to show a stretch of the song, with the best cut
// around it.
type Alternative struct {
	Cut   film.Cut   `json:"cut"`
	Pins  []film.Pin `json:"pins"` // what was pinned beside the person's own to get it
	Says  string     `json:"says"` // what is other in the stretch
	Costs Costs      `json:"costs"`
}

// Costs is what an alternative costs more than the best cut, in the unit of the
// weights: one cut on a weak beat.
type Costs struct {
	Total     float64 `json:"total"`     // in all
	Elsewhere float64 `json:"elsewhere"` // of it outside the stretch
	Says      string  `json:"says"`      // in words
}

// Alternatives returns up to k other ways to show a stretch, the cheapest first.
// Each is the best cut in which another pass is seen, for one of the shots in
// the stretch or for all of it, or in which the cuts inside it fall elsewhere,
// by more than a beat. They differ visibly from the best cut and from each other.
func (b *Board) Alternatives(ctx context.Context, pins []film.Pin, stretch film.SongSpan, k int) ([]Alternative, error) {
	best, err := b.solve(ctx, pins)
	if err != nil {
		return nil, err
	}
	type found struct {
		*solution
		extra []film.Pin
	}
	var all []found
	likely, others := b.otherWays(best, stretch)
	for n, extra := range append(likely, others...) {
		if n >= len(likely) && len(all) > k { // what shows worse moments comes last anyway
			break
		}
		bounds, err := b.bind(append(slices.Clone(pins), extra...))
		if err != nil {
			continue // it contradicts a pin
		}
		s, err := b.solveBound(ctx, bounds)
		if ctx.Err() != nil {
			return nil, ctx.Err()
		}
		if err == nil && b.visiblyOther(s, best, stretch) {
			all = append(all, found{s, extra})
		}
	}
	slices.SortStableFunc(all, func(x, y found) int {
		return cmp.Or(cmp.Compare(x.rules, y.rules), cmp.Compare(x.wishes, y.wishes))
	})
	shown := []*solution{best}
	var out []Alternative
	for _, f := range all {
		if len(out) == k {
			break
		}
		if slices.ContainsFunc(shown, func(o *solution) bool { return !b.visiblyOther(f.solution, o, stretch) }) {
			continue
		}
		shown = append(shown, f.solution)
		out = append(out, Alternative{
			Cut: f.film(), Pins: f.extra,
			Says:  best.instead(f.solution, stretch),
			Costs: best.against(f.solution, stretch),
		})
	}
	return out, nil
}

// otherWays lists what may be pinned to get something else in a stretch: what
// is likely to keep the rules, and the passes that do not agree there.
func (b *Board) otherWays(best *solution, stretch film.SongSpan) (likely, others [][]film.Pin) {
	seen := map[film.SongSpan]bool{}
	spans := []film.SongSpan{stretch}
	var noCuts []film.Pin
	beat := film.SongTime(b.beatAt(stretch.From))
	for n, st := range best.steps {
		shot := best.shown(st)
		part := film.SongSpan{From: max(shot.From, stretch.From), To: min(shot.To, stretch.To)}
		if part.Len() > b.rate.FrameSeconds() {
			spans = append(spans, part)
		}
		if n > 0 && stretch.Holds(shot.From) {
			noCuts = append(noCuts, film.Pin{Kind: film.PinNoCut, Span: film.SongSpan{From: shot.From - beat - 0.05, To: shot.From + beat + 0.05}})
		}
	}
	for _, span := range spans {
		if seen[span] {
			continue
		}
		seen[span] = true
		pass := -1
		for _, s := range b.sources {
			if s.pass == pass {
				continue
			}
			pass = s.pass
			way := []film.Pin{{Kind: film.PinShowPass, Span: span, Pass: s.Pass}}
			if best.showsWell(pass, span) {
				likely = append(likely, way)
			} else {
				others = append(others, way)
			}
		}
	}
	for _, p := range noCuts {
		likely = append(likely, []film.Pin{p})
	}
	if len(noCuts) > 1 {
		likely = append(likely, noCuts)
	}
	return likely, others
}

// showsWell reports whether a pass shows a span as well as what is seen there.
func (s *solution) showsWell(pass int, span film.SongSpan) bool {
	for _, st := range s.steps {
		for k := st.i; k < st.j; k++ {
			if st.p == s.hole() || s.slots[k].shown.Overlap(span) <= s.rate.FrameSeconds() {
				continue
			}
			well := false
			for q, src := range s.sources {
				well = well || src.pass == pass && s.views[q][k].kind <= s.views[st.p][k].kind
			}
			if !well {
				return false
			}
		}
	}
	return true
}

// beatAt returns how long a beat lasts at a moment, in seconds.
func (b *Board) beatAt(t film.SongTime) float64 {
	beats := b.song.Beats
	for i := 1; i < len(beats); i++ {
		if beats[i].At > t || i == len(beats)-1 {
			return float64(beats[i].At - beats[i-1].At)
		}
	}
	return defaultMinShot / 2
}

// visiblyOther reports whether two solutions differ in a stretch by the pass
// that is seen for more than a beat in all.
func (b *Board) visiblyOther(x, y *solution, stretch film.SongSpan) bool {
	_, frames := x.differing(y, stretch)
	return float64(frames)*b.rate.FrameSeconds() > min(b.beatAt(stretch.From), stretch.Len()/2)
}

// differing returns the part of a stretch in which two solutions show other
// passes, from the first such frame to the last, and how many frames they are.
func (s *solution) differing(o *solution, stretch film.SongSpan) (part film.SongSpan, frames film.Frames) {
	first, end := max(0, s.nearest(stretch.From)), min(s.clock.end, s.nearest(stretch.To))
	i, j := 0, 0
	for f := first; f < end; f++ {
		for s.points[s.steps[i].j].frame <= f {
			i++
		}
		for o.points[o.steps[j].j].frame <= f {
			j++
		}
		if s.passOf(s.steps[i].p) == s.passOf(o.steps[j].p) {
			continue
		}
		if frames == 0 {
			part.From = s.start(f)
		}
		part.To = s.start(f + 1)
		frames++
	}
	return part, frames
}

// instead says what another solution shows instead, where the two differ.
func (s *solution) instead(o *solution, stretch film.SongSpan) string {
	part, _ := s.differing(o, stretch)
	return fmt.Sprintf("%s instead of %s at %s", o.lists(part), s.lists(part), s.spoken(s.slotAt(s.nearest(part.From))))
}

// mostNames is how many passes are named before the rest is only counted.
const mostNames = 3

// lists names the passes seen in a stretch, in order.
func (s *solution) lists(stretch film.SongSpan) string {
	var names []string
	for _, st := range s.steps {
		if s.shown(st).Overlap(stretch) < s.rate.FrameSeconds()/2 {
			continue
		}
		name := "nothing"
		if st.p != s.hole() {
			name = s.sources[st.p].Pass
		}
		if n := len(names); n == 0 || names[n-1] != name {
			names = append(names, name)
		}
	}
	if n := len(names); n > mostNames {
		names = append(names[:mostNames:mostNames], fmt.Sprintf("%d more shots", n-mostNames))
	}
	return strings.Join(names, ", then ")
}

// against says what another solution costs more than s, which is best.
func (s *solution) against(o *solution, stretch film.SongSpan) Costs {
	units := func(v int64) float64 { return float64(v) / unit }
	inside := func(x *solution) (sum float64) { // of a shot, the share that lies in the stretch
		for n, st := range x.steps {
			if shown := x.shown(st); shown.Overlap(stretch) > 0 {
				one := x.receiptOf(n)
				sum += units(one.sum()) * shown.Overlap(stretch) / shown.Len()
			}
		}
		return sum
	}
	c := Costs{Total: units(o.wishes - s.wishes)}
	here := inside(o) - inside(s)
	c.Elsewhere = c.Total - here
	c.Says = fmt.Sprintf("costs %.1f more", c.Total)
	if math.Abs(c.Elsewhere) > 0.05 {
		c.Says += fmt.Sprintf(" (%+.1f here, %+.1f elsewhere)", here, c.Elsewhere)
	}
	if why := s.mainly(o); why != "" {
		c.Says += ", " + why
	}
	if broken := o.breaksMore(s); broken != "" {
		c.Says += "; " + broken
	}
	return c
}

// mainly names the terms that make another solution dearer.
func (s *solution) mainly(o *solution) string {
	mine, others := s.receipt(), o.receipt()
	type dearer struct {
		term
		by int64
	}
	var more []dearer
	for t := range terms {
		if d := others[t] - mine[t]; d > unit/20 {
			more = append(more, dearer{t, d})
		}
	}
	slices.SortStableFunc(more, func(a, b dearer) int { return cmp.Compare(b.by, a.by) })
	switch len(more) {
	case 0:
		return ""
	case 1:
		return "for " + termWords[more[0].term]
	}
	return "mainly for " + termWords[more[0].term] + " and " + termWords[more[1].term]
}

// breaksMore says which rules s breaks that o does not.
func (s *solution) breaksMore(o *solution) string {
	switch {
	case s.rules/oneShown > o.rules/oneShown:
		return "shows moments that do not agree"
	case soft(s.rules)/oneShortStep > soft(o.rules)/oneShortStep:
		return "needs a shot shorter than the shortest"
	case soft(s.rules) > soft(o.rules):
		return "parts further from the record than is tolerated"
	}
	return ""
}
