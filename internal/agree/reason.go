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
	return e.whyNotes(i, own)
}

// levelLimitDB is how much softer or harder, as measured, playing that agrees must
// be to be named so. Of generated playing that is as loud as it usually is less
// than a hundredth goes beyond. A camera's automatic gain and limiter hide more than
// half of a true difference, and a record may fade where the playing does not: so
// the level never lowers a score.
const levelLimitDB = 4.0

// whyNotes says what is wrong with the notes: attacks of the record missing, or
// attacks between that it does not have, whichever is likelier and more likely than
// not; else other notes.
func (e *evidence) whyNotes(i int, own [measures]float64) film.Why {
	x := e.features(i, own)
	missing, extra := weigh(missingWeights, x), weigh(extraWeights, x)
	switch {
	case missing > 0.5 && missing >= extra:
		return film.WhyMissing
	case extra > 0.5:
		return film.WhyExtra
	}
	return film.WhyOtherNotes
}
