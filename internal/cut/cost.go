package cut

import "math"

// cost is what a cut is judged by: first the rules that it breaks, then what
// its wishes cost, as the sum of a bill.
//
// The rules are one number with a digit a rule, so large that no sum below
// maxSlots carries into the next digit:
//
//	shown     per slot, how much less well it is shown than by something that agrees
//	short     per shot, steps of 50 ms missing to the shortest shot
//	parting   per slot, ms beyond the sync tolerance and of missing handles
type cost struct {
	rules  int64
	wishes int64
}

const (
	onePartingMS = int64(1)       // 24 bits: at most 2 × 499 a slot
	oneShortStep = int64(1) << 24 // 19 bits: at most 20 a slot
	oneShown     = int64(1) << 43 // 16 bits: at most 4 a slot

	shortStep    = 0.050 // seconds
	worstParting = 499   // ms counted at most for a slot
)

func (a cost) plus(b cost) cost { return cost{a.rules + b.rules, a.wishes + b.wishes} }

func (a cost) less(b cost) bool {
	return a.rules < b.rules || a.rules == b.rules && a.wishes < b.wishes
}

// noPicture is the price of a shot for which the clip has no picture.
var noPicture = cost{rules: -1}

// milliseconds returns a breach in whole milliseconds for the rules; a
// microsecond of rounding is forgiven.
func milliseconds(seconds float64) int64 {
	if seconds <= 0 {
		return 0
	}
	return int64(min(worstParting, math.Ceil(seconds*1000-1e-3)))
}
