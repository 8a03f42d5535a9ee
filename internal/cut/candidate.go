package cut

import (
	"math"

	"takeweave/internal/film"
	"takeweave/internal/hold"
)

// source is a candidate made ready for many questions.
type source struct {
	Candidate
	pass      int // candidates of one pass share it
	setup     int // candidates of one setup share it
	tolerance film.Tolerance
	table     *hold.Table
	plain     float64
	half      float64   // half a frame of the clip, seconds
	uneven    bool      // the clip's frames do not fall on the film's: each film frame shows the nearest
	sum       []float64 // sum[i] is the integral of the agreement score up to grid step i, in steps
}

// newSources numbers passes and setups in order of appearance. Clips without a
// setup are each a setup of their own.
func newSources(r Request) []*source {
	passes, setups := map[string]int{}, map[string]int{}
	number := func(known bool, have, next int) int {
		if known {
			return have
		}
		return next
	}
	out := make([]*source, len(r.Candidates))
	for i, c := range r.Candidates {
		s := &source{Candidate: c, tolerance: c.Setup.SyncTolerance(), table: hold.New(c.Map), plain: plainness(c.Setup)}
		have, known := passes[c.Pass]
		s.pass = number(known, have, len(passes))
		passes[c.Pass] = s.pass
		sk := "setup " + c.Setup.Name
		if c.Setup.Name == "" {
			sk = "clip " + c.Clip.File
		}
		have, known = setups[sk]
		s.setup = number(known, have, len(setups))
		setups[sk] = s.setup

		rate := c.Clip.Rate
		if !rate.Known() {
			rate = r.Rate
		}
		s.half = rate.FrameSeconds() / 2
		s.uneven = !s.steady() || (rate.Num*r.Rate.Den)%(rate.Den*r.Rate.Num) != 0

		s.sum = make([]float64, len(c.Agreement.Score)+1)
		for k, v := range c.Agreement.Score {
			s.sum[k+1] = s.sum[k] + v
		}
		out[i] = s
	}
	return out
}

// steady reports whether the clip's frames lie on a grid from PictureStart.
func (s *source) steady() bool { return s.Clip.Rate.Known() && !s.Clip.Variable }

// chance returns the mean agreement score over a span; what the agreement does
// not cover counts as 0.
func (s *source) chance(span film.SongSpan) float64 {
	upTo := func(t film.SongTime) float64 {
		x := float64(t)/film.AgreementStep - float64(s.Agreement.First)
		if x <= 0 {
			return 0
		}
		i := int(x)
		if i >= len(s.Agreement.Score) {
			return s.sum[len(s.sum)-1]
		}
		return s.sum[i] + (x-float64(i))*s.Agreement.Score[i]
	}
	return (upTo(span.To) - upTo(span.From)) * film.AgreementStep / span.Len()
}

// reason returns the commonest reason, within a span, for which the moments
// under film.Agrees do not agree.
func (s *source) reason(span film.SongSpan) film.Why {
	var count [film.WhyNotCovered + 1]int
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
	for i, k := range s.Map.Knots {
		if span.Holds(k.Song) && i < len(s.Map.ErrorMS) {
			worst = math.Max(worst, s.Map.ErrorMS[i])
		}
	}
	return worst
}

// laid is a shot of a source laid on frames of the film.
type laid struct {
	start       film.PassTime // shown at its first frame
	speed       float64
	late, early float64 // worst parting as shown, seconds: the clip's own frames included
	beyond      float64 // how far the playing itself leaves the tolerance, seconds
}

func (l laid) worst() float64 { return math.Max(l.late, l.early) }

// strain is the worst parting as a share of the tolerance; over 1 it is left.
func (l laid) strain(tol film.Tolerance) float64 {
	return math.Max(l.late/tol.Late, l.early/tol.Early)
}

// lay fits the source to film frames [first, end). ok is false when the clip
// has no picture for all of them. Near the ends of a picture the shot is moved
// to where it has one, as far as half a frame of the clip beyond what the map
// says of any moment in it; what that costs in sync is counted. Where only the
// native speed has picture enough, it is taken.
//
// The tolerance is asked of the playing (beyond), before the start is moved to
// a whole frame of the clip: that last half a frame no choice can avoid.
func (s *source) lay(rate film.Rate, first, end film.Frames, maxSpeed float64) (l laid, ok bool) {
	shown := film.SongSpan{From: rate.FrameStart(first), To: rate.FrameStart(end)}
	fit := s.table.Best(shown, s.tolerance, maxSpeed)
	if l, ok = s.place(shown, fit); !ok && fit.Speed != 1 {
		l, ok = s.place(shown, s.table.Best(shown, s.tolerance, 0))
	}
	return l, ok
}

// place puts a fit where the clip has picture.
func (s *source) place(shown film.SongSpan, fit hold.Fit) (l laid, ok bool) {
	earliest := float64(s.Clip.PictureStart)
	latest := float64(s.Clip.PictureEnd) - fit.Speed*shown.Len()
	if latest < earliest {
		return laid{}, false
	}
	ideal := float64(shown.From) + fit.Slip
	if move := math.Min(math.Max(ideal, earliest-s.half), latest+s.half) - ideal; move != 0 {
		if math.Abs(move) > fit.Late+fit.Early {
			return laid{}, false
		}
		ideal += move
		fit.Late -= move
		fit.Early += move
	}
	start := math.Min(math.Max(ideal, earliest), latest)
	if s.steady() {
		start = s.wholeFrame(ideal, earliest, latest, fit)
	}
	l = laid{
		start: film.PassTime(start), speed: fit.Speed,
		late: fit.Late - (start - ideal), early: fit.Early + (start - ideal),
		beyond: math.Max(0, math.Max(fit.Late-s.tolerance.Late, fit.Early-s.tolerance.Early)),
	}
	if s.uneven || fit.Speed != 1 {
		l.late += s.half
		l.early += s.half
	}
	return l, true
}

// wholeFrame returns the start of the clip's frame beside ideal, between
// earliest and latest, at which picture and record part least for the tolerance.
func (s *source) wholeFrame(ideal, earliest, latest float64, fit hold.Fit) (start float64) {
	perSecond := s.Clip.Rate.PerSecond()
	const slack = 1e-6 // of a frame: float rounding of times below an hour
	below := math.Floor((ideal-earliest)*perSecond + slack)
	last := math.Floor((latest-earliest)*perSecond + slack)
	strain := func(frame float64) float64 {
		moved := earliest + frame/perSecond - ideal
		return math.Max((fit.Late-moved)/s.tolerance.Late, (fit.Early+moved)/s.tolerance.Early)
	}
	a, b := math.Min(math.Max(below, 0), last), math.Min(math.Max(below+1, 0), last)
	if strain(b) < strain(a) {
		a = b
	}
	return earliest + a/perSecond
}
