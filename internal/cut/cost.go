package cut

import "math"

// cost is what a cut is judged by: first what it breaks, then what it wishes.
// rules counts 50 ms steps missing to the shortest shot in its upper half and
// ms × slots beyond the sync tolerance in its lower half; neither half can
// overflow below maxSlots. wishes are millionths of the unit of weights.
type cost struct {
	rules  int64
	wishes int64
}

const (
	shortStep      = 0.050 // seconds
	oneShortStep   = int64(1) << 32
	worstParting   = 999     // ms counted at most for a shot, so that maxSlots of them stay below oneShortStep
	unit           = 1000000 // of wishes
	leastChance    = 0.02    // a chance is never taken as smaller: no measurement of agreement is surer
	partingScaleMS = 40      // the unit of weights.parting
)

func (a cost) plus(b cost) cost { return cost{a.rules + b.rules, a.wishes + b.wishes} }

func (a cost) less(b cost) bool {
	return a.rules < b.rules || a.rules == b.rules && a.wishes < b.wishes
}

func wish(units float64) int64 { return int64(math.Round(units * unit)) }

// surprise is -ln of a chance: 0 for certainty.
func surprise(chance float64) float64 { return -math.Log(math.Max(leastChance, math.Min(1, chance))) }
