package coverage

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/mathext"

	"takeweave/internal/schedule"
)

// Matches is how often a line of a pass matched the record, of how many lines
// that were judged.
type Matches struct {
	Matched int `json:"matched"`
	Of      int `json:"of"`
}

// Chance returns the chance that the next line matches: the mean of the Beta
// distribution that the count leaves of an even prior. Nothing judged gives a
// half. Source: [Laplace1774].
func (m Matches) Chance() float64 { return float64(m.Matched+1) / float64(m.Of+2) }

// Interval returns within what the chance lies with the given certainty, as much
// of the same distribution being cut off at either end.
func (m Matches) Interval(certainty float64) (low, high float64) {
	a, b := float64(m.Matched+1), float64(m.Of-m.Matched+1)
	tail := (1 - certainty) / 2
	return mathext.InvRegIncBeta(a, b, tail), mathext.InvRegIncBeta(a, b, 1-tail)
}

// tally counts how many lines want no match, one, two and so on.
func tally(wanted []int) []int {
	if len(wanted) == 0 {
		return nil
	}
	lines := make([]int, max(0, slices.Max(wanted))+1)
	for _, k := range wanted {
		lines[max(0, k)]++
	}
	return lines
}

// allMet returns the chance that after so many passes every line has matched as
// often as is wanted of it, each with the same chance and by itself. lines are
// tallied.
func allMet(chance float64, lines []int, passes int) float64 {
	all := 1.0
	for k, n := range lines {
		if n > 0 {
			all *= math.Pow(atLeast(chance, k, passes), float64(n))
		}
	}
	return all
}

// atLeast returns the chance of k or more matches in n tries.
func atLeast(chance float64, k, n int) float64 {
	switch {
	case k <= 0:
		return 1
	case k > n:
		return 0
	case chance >= 1:
		return 1
	}
	fewer, term := 0.0, math.Pow(1-chance, float64(n)) // term is the chance of exactly i
	for i := range k {
		fewer += term
		term *= float64(n-i) / float64(i+1) * chance / (1 - chance)
	}
	return max(0, 1-fewer)
}

// mostPasses ends sums over passes that nobody plays.
const mostPasses = 10_000

// PassesFor returns the fewest passes after which all lines have matched as often
// as is wanted of each, with at least the given certainty, 0 to below 1. ok is
// false when that takes more than nobody plays.
func PassesFor(chance float64, wanted []int, certainty float64) (passes int, ok bool) {
	lines := tally(wanted)
	for n := range mostPasses {
		if allMet(chance, lines, n) >= certainty {
			return n, true
		}
	}
	return 0, false
}

// ExpectedPasses returns how many passes it takes on the average until all lines
// have matched as often as is wanted of each; infinite for a chance so small that
// nobody waits for it.
func ExpectedPasses(chance float64, wanted []int) float64 {
	const little = 1e-6 // of a pass
	sum, lines := 0.0, tally(wanted)
	for n := range mostPasses {
		more := 1 - allMet(chance, lines, n)
		if sum += more; more < little {
			return sum
		}
	}
	return math.Inf(1)
}

// Outlook is what it takes to have all must-haves of a musician who improvises.
type Outlook struct {
	Chance      float64 `json:"chance"` // of a match, for one line of one pass
	Low         float64 `json:"low"`
	High        float64 `json:"high"`
	SurePasses  int     `json:"sure_passes"` // whole ones, to be sure; 0 when it cannot be hoped for
	SureMin     float64 `json:"sure_minutes"`
	ExpectedMin float64 `json:"expected_minutes"` // of whole passes, on the average
	LoopMin     float64 `json:"loop_minutes"`     // of looping each line until it matches, on the average
	Say         string  `json:"say"`
}

// Improvise compares whole passes with looped pickups. wanted has the matches
// wanted of each must-have; songS and loopS are the lengths of the song and of a
// must-have in seconds.
func Improvise(m Matches, wanted []int, songS, loopS float64, limits Limits, times schedule.Limits) Outlook {
	o := Outlook{Chance: m.Chance()}
	o.Low, o.High = m.Interval(limits.IntervalShare)
	if o.Chance < limits.LeastChance {
		o.Say = fmt.Sprintf("a match is not to be hoped for (%d of %d lines): play to the record", m.Matched, m.Of)
		return o
	}
	o.SurePasses, _ = PassesFor(o.Chance, wanted, limits.Sure)
	o.SureMin = float64(o.SurePasses) * times.PassS(songS) / 60
	o.ExpectedMin = ExpectedPasses(o.Chance, wanted) * times.PassS(songS) / 60
	for _, k := range wanted {
		o.LoopMin += float64(k) / o.Chance * times.TryS(loopS) / 60
	}
	o.Say = fmt.Sprintf("a line matches with chance %.2f (%.2f to %.2f); for your %s: %d whole passes (%.0f min) to be %.0f %% sure, or loop pickups, about %.0f min",
		o.Chance, o.Low, o.High, count(len(wanted), "must-have"), o.SurePasses, o.SureMin, 100*limits.Sure, o.LoopMin)
	return o
}

// ChanceOf returns what was measured of a setup's matches: its own once enough of
// its passes are judged, else those of all setups that show the same, else those
// of all.
func (l *Ledger) ChanceOf(setup int) Matches {
	s := &l.plan.Setups[setup]
	own, passes := l.matches(func(t *Setup) bool { return t.Name == s.Name })
	if float64(passes) >= l.plan.Limits.ChancePasses {
		return own
	}
	if alike, _ := l.matches(func(t *Setup) bool { return t.Shows == s.Shows }); alike.Of > 0 {
		return alike
	}
	all, _ := l.matches(func(*Setup) bool { return true })
	return all
}

// matches counts the lines that the judged passes of some setups played.
func (l *Ledger) matches(of func(*Setup) bool) (m Matches, passes int) {
	for k := range l.taken {
		c := &l.taken[k]
		i := l.plan.indexOf(c.Setup)
		if c.Usable == nil || i < 0 || !of(&l.plan.Setups[i]) {
			continue
		}
		passes++
		for n := range l.Rows {
			if l.Rows[n].Kind == ALine && n < len(c.Usable) && c.played(l.plan.Song, &l.Rows[n].Need) {
				m.Of++
				if c.Usable[n] {
					m.Matched++
				}
			}
		}
	}
	return m, passes
}
