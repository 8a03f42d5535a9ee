package agree

import (
	"fmt"
	"math"

	"takeweave/internal/film"
)

// why names what speaks most against moment i, or that nothing does.
func (e *evidence) why(i int, score float64, own [measures]float64, limit film.Tolerance, otherKey bool) film.Why {
	x := e.moments[i]
	switch {
	case x[meant] < leastSounding && x[heard] < leastSounding:
		return film.WhyUnsure
	case x[heard] < leastSounding:
		return film.WhyNotPlaying
	case otherKey:
		return film.WhyOtherKey
	case score >= film.Agrees:
		if late := e.lateMS[i] / 1000; late > limit.Late {
			return film.WhyLate
		} else if -late > limit.Early {
			return film.WhyEarly
		}
		return film.WhyAgrees
	}
	against := func(k int) float64 { return x[k] / math.Max(own[k], leastOwn[k]) }
	const clearly = 0.75
	missing, extra := against(found), against(wanted)
	switch {
	case against(rhythm) < clearly && missing < extra-0.15:
		return film.WhyMissing
	case against(rhythm) < clearly && extra < missing-0.15:
		return film.WhyExtra
	}
	return film.WhyOtherNotes
}

// Say returns a reason in plain words. lateMS counts where the reason is timing.
func Say(why film.Why, lateMS float64) string {
	switch why {
	case film.WhyAgrees:
		return "agrees"
	case film.WhyLate:
		return fmt.Sprintf("late %.0f ms", math.Abs(lateMS))
	case film.WhyEarly:
		return fmt.Sprintf("early %.0f ms", math.Abs(lateMS))
	case film.WhyOtherNotes:
		return "other notes"
	case film.WhyExtra:
		return "extra attacks"
	case film.WhyMissing:
		return "missing attacks"
	case film.WhyNotPlaying:
		return "not playing"
	case film.WhyOtherKey:
		return "other key"
	case film.WhyNotCovered:
		return "not covered"
	}
	return "cannot judge"
}
