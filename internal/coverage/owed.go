package coverage

import "fmt"

// Owing is what one setup still owes.
type Owing struct {
	Setup   string  `json:"setup"`
	None    string  `json:"none,omitempty"`  // addresses without any match, in words
	Short   string  `json:"short,omitempty"` // addresses with fewer than wanted
	Minutes float64 `json:"minutes"`         // on the average, with the change to it
	few     bool    // one address is short
}

// Owed returns what is still missing by setup, the one that stands first, the
// others as planned. Minutes count the changes in that order.
func (l *Ledger) Owed(here string) []Owing {
	at := l.plan.indexOf(here)
	return append(l.owings(l.needing(Thing{Kind: TheMusician}, at), at), l.unshown()...)
}

// unshown returns the must-sees that no setup is to show, as owed by one that is
// still to be found: a move, then loops with an even chance.
func (l *Ledger) unshown() (all []Owing) {
	for _, r := range l.Unserved() {
		if r.Kind != AMustSee {
			continue
		}
		tries := float64(r.Wanted-r.Have) / Matches{}.Chance()
		all = append(all, Owing{
			Setup:   fmt.Sprintf("a setup that shows %s", r.Shows),
			None:    r.Name,
			Minutes: l.plan.Times.MoveMin + tries*l.plan.Times.TryS(r.Span.Len())/60,
		})
	}
	return all
}

// owings returns what those of the setups owe that owe anything, filmed one after
// the other from where setup at stands.
func (l *Ledger) owings(setups []int, at int) (all []Owing) {
	for _, i := range setups {
		if o := l.owing(i); o.None != "" || o.Short != "" {
			o.Minutes += l.changeMin(at, i)
			at = i
			all = append(all, o)
		}
	}
	return all
}

// owing returns what setup i owes and how long that takes, without a change.
func (l *Ledger) owing(i int) Owing {
	var none, short places
	for n := range l.Rows {
		r := &l.Rows[n]
		switch {
		case r.missing(i) == 0:
		case r.Cells[i].State == Owed:
			none.add(&r.Need)
		default:
			short.add(&r.Need)
		}
	}
	short.remove(&none)
	song := l.plan.Song
	o := Owing{Setup: l.plan.Setups[i].Name, None: none.say(song), Short: short.say(song), few: short.count() == 1}
	o.Minutes = l.filmS(l.debtOf(i)) / 60
	return o
}

// filmS returns how many seconds a debt takes on the average: line after line
// looped until it matches, or whole passes until all have, whichever is shorter.
func (l *Ledger) filmS(d *debt) float64 {
	pass := l.plan.Times.PassS(float64(l.plan.Song.Duration))
	passes, loops := ExpectedPasses(d.chance, d.missing)*pass, 0.0
	for _, line := range d.owed() {
		loops += float64(d.missing[line]) / d.chance * l.plan.Times.TryS(l.loopS([]int{line}))
	}
	if d.elsewhere.count() > 0 { // loops do not reach there
		return min(pass+loops, max(pass, passes))
	}
	return min(loops, passes)
}

// say names what is owed: "hands V2.3", or "one insert try" where a match is
// there already.
func (o *Owing) say() string {
	switch {
	case o.None != "":
		return o.Setup + " " + o.None
	case o.few:
		return "one " + o.Setup + " try"
	}
	return fmt.Sprintf("%s once more on %s", o.Setup, o.Short)
}
