package coverage

import "slices"

// The worth of a ledger is one sum over its rows, in points ([Limits]):
//
//	line        for its first picture, for its first one that is not the safety's,
//	            and for what each setup was to give it, in shares of what it wants
//	must-see    for its first match, and for each further one that is wanted
//	voice-free  for each setup that shows no mouth, as many as are wanted
//
// What a pass is worth is the gain of that sum, what a setup is worth the loss.

// worth returns what a row is worth.
func (l *Ledger) worth(r *Row) float64 {
	lim := &l.plan.Limits
	switch r.Kind {
	case AMustSee:
		if r.Have == 0 {
			return 0
		}
		return lim.WorthMustSee + lim.WorthMatch*float64(min(r.Have, r.Wanted)-1)
	case VoiceFree:
		return lim.WorthNoMouth * float64(min(r.Views, r.Wanted))
	}
	sum := 0.0
	if r.Views > 0 {
		sum += lim.WorthPicture
	}
	if l.beyondSafety(r) {
		sum += lim.WorthChoice
	}
	for _, c := range r.Cells {
		if c.Wanted > 0 {
			sum += lim.WorthWanted * float64(min(c.Have, c.Wanted)) / float64(c.Wanted)
		}
	}
	return sum
}

// beyondSafety reports whether a setup other than the safety has a picture.
func (l *Ledger) beyondSafety(r *Row) bool {
	for i, c := range r.Cells {
		if c.Have > 0 && !l.plan.Setups[i].Safety {
			return true
		}
	}
	return false
}

// gain returns what so many more passes of a setup, or fewer, change in the worth
// of a row.
func (l *Ledger) gain(r *Row, setup, more int) float64 {
	after := *r
	after.Cells = slices.Clone(r.Cells)
	after.Cells[setup].Have = max(0, r.Cells[setup].Have+more)
	after.count()
	return l.worth(&after) - l.worth(r)
}
