package coverage

import "slices"

// State says how far a need is met.
type State string

// The states, from the worst.
const (
	Owed       State = "owed"        // nothing yet
	One        State = "one"         // something, but fewer than wanted
	Enough     State = "enough"      // as many as wanted
	NotPlanned State = "not planned" // no setup is to serve the line
)

// stateOf compares what there is with what is wanted.
func stateOf(have, wanted int) State {
	switch {
	case wanted <= 0:
		return NotPlanned
	case have >= wanted:
		return Enough
	case have > 0:
		return One
	}
	return Owed
}

// worse returns the state that needs more to be done.
func worse(a, b State) State {
	order := []State{Owed, One, Enough, NotPlanned}
	return order[min(slices.Index(order, a), slices.Index(order, b))]
}

// Cell is what one setup has for one need.
type Cell struct {
	Wanted int   `json:"wanted"` // passes; 0 when the setup is not planned here
	Have   int   `json:"have"`   // passes that count, planned here or not
	State  State `json:"state"`
}

// Row is a need with what there is for it.
type Row struct {
	Need
	Cells []Cell `json:"cells"` // by setup
	Have  int    `json:"have"`  // passes over all setups that can show it
	Views int    `json:"views"` // setups that have one
	State State  `json:"state"`
}

// Ledger is what there is and what is owed.
type Ledger struct {
	Basis Basis  `json:"basis"`
	Rows  []Row  `json:"rows"` // by need
	Bars  []Bar  `json:"bars"` // by line
	plan  *Plan  // not changed
	taken []Pass // not changed
}

// Bar is one line of the song at a glance: the worst of the line and of what must
// be seen in it.
type Bar struct {
	State   State `json:"state"`
	MustSee bool  `json:"must_see"`
}

// Ledger counts what the plan has of each need. Before the day, passes may be
// nil. The plan and the passes are kept and must not change while the ledger is
// used. A pass of a setup that the plan does not have is left out.
func (p *Plan) Ledger(passes []Pass, basis Basis) *Ledger {
	l := &Ledger{Basis: basis, plan: p, taken: passes}
	setupOf := make([]int, len(passes))
	for k := range passes {
		setupOf[k] = p.indexOf(passes[k].Setup)
	}
	for n, need := range p.Needs() {
		row := Row{Need: need, Cells: make([]Cell, len(p.Setups))}
		for i := range p.Setups {
			row.Cells[i].Wanted = p.wants(&p.Setups[i], &need)
			if basis == AsPlanned && row.Cells[i].Wanted > 0 {
				row.Cells[i].Have = planned(&p.Setups[i], row.Cells[i].Wanted)
			}
		}
		for k := range passes {
			if i := setupOf[k]; basis != AsPlanned && i >= 0 && p.Setups[i].canShow(&need) && passes[k].shows(p.Song, n, &need, basis) {
				row.Cells[i].Have++
			}
		}
		row.count()
		l.Rows = append(l.Rows, row)
	}
	l.Bars = bars(l.Rows, len(p.Song.Lines))
	return l
}

// planned is what a setup would have if every planned pass were usable: its
// passes, and by its loops all that is wanted.
func planned(s *Setup, wanted int) int {
	if s.Tries > 0 {
		return max(s.Passes, wanted)
	}
	return s.Passes
}

// count sums a row up.
func (r *Row) count() {
	r.Have, r.Views, r.State = 0, 0, NotPlanned
	for _, c := range r.Cells {
		r.Have += c.Have
		if c.Have > 0 {
			r.Views++
		}
	}
	for i := range r.Cells {
		c := &r.Cells[i]
		switch {
		case r.Kind == ALine:
			c.State = stateOf(c.Have, c.Wanted)
		case c.Wanted == 0:
			c.State = NotPlanned
		default:
			c.State = r.overall()
		}
		r.State = worse(r.State, c.State)
	}
	if r.Kind != ALine { // owed even where no setup is to serve it
		r.State = r.overall()
	}
}

// overall is the state of what any setup can meet.
func (r *Row) overall() State {
	if r.Kind == VoiceFree {
		return stateOf(r.Views, r.Wanted)
	}
	return stateOf(r.Have, r.Wanted)
}

// Unserved returns the rows that no setup is planned to meet: lines, and
// must-sees and stretches without a voice of which too few are there.
func (l *Ledger) Unserved() (rows []Row) {
	for _, r := range l.Rows {
		planned := slices.ContainsFunc(r.Cells, func(c Cell) bool { return c.Wanted > 0 })
		if !planned && r.State != Enough {
			rows = append(rows, r)
		}
	}
	return rows
}

func bars(rows []Row, lines int) []Bar {
	all := make([]Bar, lines)
	for i := range all {
		all[i].State = NotPlanned
	}
	for _, r := range rows {
		if r.Line < 0 || r.Kind == VoiceFree {
			continue
		}
		b := &all[r.Line]
		b.State = worse(b.State, r.State)
		b.MustSee = b.MustSee || r.Kind == AMustSee
	}
	return all
}

// missing returns how many passes setup i still owes row r: one that any setup
// can give is owed by each that is planned for it.
func (r *Row) missing(i int) int {
	c := r.Cells[i]
	switch {
	case c.Wanted == 0:
		return 0
	case r.Kind == ALine:
		return max(0, c.Wanted-c.Have)
	case r.Kind == AMustSee:
		return max(0, r.Wanted-r.Have)
	case c.Have == 0 && r.Views < r.Wanted:
		return 1
	}
	return 0
}

// Bare returns the lines of which there is no picture at all, by index.
func (l *Ledger) Bare() (lines []int) {
	for _, r := range l.Rows {
		if r.Kind == ALine && r.Views == 0 {
			lines = append(lines, r.Line)
		}
	}
	return lines
}

// MouthOnly returns the rows of stretches without a voice that too few setups
// show without a mouth.
func (l *Ledger) MouthOnly() (rows []Row) {
	for _, r := range l.Rows {
		if r.Kind == VoiceFree && r.Views < r.Wanted {
			rows = append(rows, r)
		}
	}
	return rows
}
