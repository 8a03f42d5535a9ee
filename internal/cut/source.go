package cut

import (
	"cmp"
	"math"
	"slices"

	"takeweave/internal/film"
	"takeweave/internal/hold"
)

// source is a candidate made ready for many questions.
type source struct {
	Candidate
	pass      int // candidates of one pass share it
	setup     int // candidates of one setup share it
	tolerance film.Tolerance
	maxSpeed  float64
	handle    float64 // seconds of picture wanted beyond either end of a shot
	table     *hold.Table
	plain     float64
	standing  float64 // 0..1: how good the pass is among all, see spread
	half      float64 // half a frame of the clip, seconds
	uneven    bool    // the clip's frames do not fall on the film's: each film frame shows the nearest

	agreement, picture, framing *meter
}

// newSources numbers passes and setups. Passes without a setup are each a setup
// of their own. The order is by name, so that it does not depend on that of the
// candidates.
func newSources(r Request, o Options) []*source {
	out := make([]*source, len(r.Candidates))
	for i, c := range r.Candidates {
		rate := c.Clip.Rate
		if !rate.Known() {
			rate = r.Rate
		}
		s := &source{
			Candidate: c, tolerance: c.Setup.SyncTolerance(), table: hold.New(c.Map), plain: plainness(c.Setup),
			maxSpeed:  math.Min(o.MaxSpeed, c.Setup.MaxSpeedChange()),
			handle:    float64(o.HandleFrames) * r.Rate.FrameSeconds(),
			half:      rate.FrameSeconds() / 2,
			agreement: newMeter(c.Agreement.First, c.Agreement.Score, 0),
		}
		s.uneven = !s.steady() || (rate.Num*r.Rate.Den)%(rate.Den*r.Rate.Num) != 0
		if c.Picture != nil {
			s.picture = newMeter(c.Picture.First, c.Picture.Score, 1)
		}
		if c.Framing != nil {
			s.framing = newMeter(c.Framing.First, c.Framing.Score, 1)
		}
		out[i] = s
	}
	slices.SortStableFunc(out, func(a, b *source) int {
		return cmp.Or(cmp.Compare(a.Pass, b.Pass), cmp.Compare(a.Segment, b.Segment), cmp.Compare(a.Clip.ID, b.Clip.ID))
	})
	passes, setups := map[string]int{}, map[string]int{}
	number := func(in map[string]int, key string) int {
		if _, known := in[key]; !known {
			in[key] = len(in)
		}
		return in[key]
	}
	for _, s := range out {
		s.pass = number(passes, s.Pass)
		if s.Setup.Name != "" {
			s.setup = number(setups, "setup "+s.Setup.Name)
		} else {
			s.setup = number(setups, "pass "+s.Pass)
		}
	}
	rank(out)
	return out
}

// rank gives each source its standing: the share of the others that agree less
// surely on the whole. Alike ones stand alike.
func rank(sources []*source) {
	mean := make([]float64, len(sources))
	for i, s := range sources {
		mean[i] = s.agreement.mean(s.Map.SongSpan())
	}
	for i, s := range sources {
		for j := range sources {
			if mean[j] < mean[i]-1e-9 {
				s.standing += 1 / float64(len(sources)-1)
			}
		}
	}
}

// steady reports whether the clip's frames lie on a grid from PictureStart.
func (s *source) steady() bool { return s.Clip.Rate.Known() && !s.Clip.Variable }

// showsLips reports whether lips are or may be seen.
func (s *source) showsLips() bool {
	return s.Setup.Shows != film.ShowsHands && s.Setup.Shows != film.ShowsNeither
}

// showsHands reports whether hands are or may be seen.
func (s *source) showsHands() bool {
	return s.Setup.Shows != film.ShowsLips && s.Setup.Shows != film.ShowsNeither
}

// surelyShows reports whether the setup is known to show what is wanted.
func (s *source) surelyShows(want film.Shows) bool {
	return s.Setup.Shows == film.ShowsBoth || s.Setup.Shows == want
}

// reason returns the commonest reason, within a span, for which the moments
// under film.Agrees do not agree.
func (s *source) reason(span film.SongSpan) film.Why {
	var count [film.WhySpeakerOnly + 1]int
	for t := span.From + film.AgreementStep/2; t < span.To; t += film.AgreementStep {
		if score, why, _ := s.Agreement.At(t); score < film.Agrees && why != film.WhyAgrees && int(why) < len(count) {
			count[why]++
		}
	}
	best := film.WhyUnsure
	for w, n := range count {
		if n > count[best] {
			best = film.Why(w)
		}
	}
	return best
}

// mapErrorMS returns the map's 90 % bound over a span: the worst within it.
func (s *source) mapErrorMS(span film.SongSpan) float64 {
	worst := math.Max(s.Map.ErrorAt(span.From), s.Map.ErrorAt(span.To))
	k := s.Map.Knots
	first, _ := slices.BinarySearchFunc(k, span.From, func(k film.Knot, t film.SongTime) int { return cmp.Compare(k.Song, t) })
	for i := first; i < len(k) && i < len(s.Map.ErrorMS) && k[i].Song < span.To; i++ {
		worst = math.Max(worst, s.Map.ErrorMS[i])
	}
	return worst
}
