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
	case agrees && otherKey:
		return film.WhyOtherKey
	case agrees && (math.Abs(x[level]) > levelLimitDB || x[heard] < leastSounding): // so soft that it hardly sounds
		return film.WhyLevelOnly
	case agrees:
		return film.WhyAgrees
	case x[heard] < leastSounding:
		return film.WhyNotPlaying
	case lateMS/1000 > limit.Late/2:
		return film.WhyLate
	case -lateMS/1000 > limit.Early/2:
		return film.WhyEarly
	}
	return e.whyNotes(x, own)
}

// levelLimitDB is how much softer or harder, as measured, playing that agrees must
// be to be named so. Of generated playing that is as loud as it usually is less
// than a hundredth goes beyond. A camera's automatic gain and limiter hide more than
// half of a true difference, and a record may fade where the playing does not: so
// the level never lowers a score.
const levelLimitDB = 4.0

// What the notes are called, as set on generated songs: from clearlyFewer on
// attacks of the record are missing, from clearlyMore on there are others between,
// unless the harmony, relative to the pass's usual, is below otherHarmony.
const (
	clearlyFewer = 0.45
	clearlyMore  = 0.33
	countShare   = 0.5 // of the count of attacks against their likeness
	otherHarmony = 0.45
)

// whyNotes says what is wrong with the notes: in the same harmony attacks of the
// record missing, or attacks that it does not have; else other notes. Where much is
// left out the pass has less of the record's than the record of the pass's, and
// fewer attacks than it usually has; between fills it is the other way round.
func (e *evidence) whyNotes(x *[measures]float64, own [measures]float64) film.Why {
	share := func(k int) float64 { return x[k] / math.Max(own[k], leastOwn[k]) }
	missing := share(wanted) - share(found) - countShare*(x[density]-own[density])
	switch {
	case share(harmony) < otherHarmony:
		return film.WhyOtherNotes
	case missing > clearlyFewer:
		return film.WhyMissing
	case missing < -clearlyMore:
		return film.WhyExtra
	}
	return film.WhyOtherNotes
}

// Say returns a reason in plain words. lateMS counts where the reason is timing.
func Say(why film.Why, lateMS float64) string { return why.Say(lateMS) }
