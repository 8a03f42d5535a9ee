package agree

import (
	"math"

	"takeweave/internal/film"
)

// why names what speaks most against moment i, or that nothing does.
func (e *evidence) why(i int, score, lateMS float64, own [measures]float64, limit film.Tolerance, otherKey bool) film.Why {
	x := &e.moments[i]
	agrees := score >= film.Agrees
	switch {
	case e.rests(i) && agrees:
		return film.WhyAgrees
	case e.rests(i):
		return film.WhyUnsure
	case x[heard] < leastSounding:
		return film.WhyNotPlaying
	case agrees && otherKey:
		return film.WhyOtherKey
	case agrees:
		return film.WhyAgrees
	case lateMS/1000 > limit.Late/2:
		return film.WhyLate
	case -lateMS/1000 > limit.Early/2:
		return film.WhyEarly
	}
	return e.whyNotes(x, own)
}

// clearlyMore is by how much one share of attacks must be lower than the other
// to be named alone. otherHarmony is the harmony, relative to the pass's better
// part, below which the chords themselves differ: on generated songs three
// quarters of the moments of wrong notes and other riffs that do not agree lie
// below, three quarters of those of thinned and busy playing above.
const (
	clearlyMore  = 0.12
	otherHarmony = 0.67
)

// whyNotes says what is wrong with the notes: in the same harmony attacks of the
// record missing, or attacks that it does not have; else other notes.
func (e *evidence) whyNotes(x *[measures]float64, own [measures]float64) film.Why {
	share := func(k int) float64 { return x[k] / math.Max(own[k], leastOwn[k]) }
	switch missing := share(wanted) - share(found); {
	case share(harmony) < otherHarmony:
		return film.WhyOtherNotes
	case missing > clearlyMore:
		return film.WhyMissing
	case missing < -clearlyMore:
		return film.WhyExtra
	}
	return film.WhyOtherNotes
}

// Say returns a reason in plain words. lateMS counts where the reason is timing.
func Say(why film.Why, lateMS float64) string { return why.Say(lateMS) }
