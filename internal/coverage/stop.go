package coverage

import (
	"fmt"
	"strings"

	"takeweave/internal/schedule"
)

// Stop is what the film would be if filming stopped now.
type Stop struct {
	Nothing []int    `json:"nothing,omitempty"` // lines that would show nothing
	Safety  []int    `json:"safety,omitempty"`  // lines that would show the safety, for lack of anything else
	Unseen  []string `json:"unseen,omitempty"`  // what must be seen and would not be
	Share   float64  `json:"safety_share"`      // of the time of all lines, on the safety
	Say     string   `json:"say"`
}

// StopNow returns what the film would be if filming stopped now.
func (l *Ledger) StopNow() Stop {
	s := Stop{Nothing: l.Bare()}
	all, safety := 0.0, 0.0
	for n := range l.Rows {
		r := &l.Rows[n]
		switch {
		case r.Kind == AMustSee && r.Have == 0:
			s.Unseen = append(s.Unseen, r.said())
		case r.Kind == ALine:
			all += r.Span.Len()
			if r.Views > 0 && !l.beyondSafety(r) {
				s.Safety = append(s.Safety, r.Line)
				safety += r.Span.Len()
			}
		}
	}
	if all > 0 {
		s.Share = safety / all
	}
	s.Say = l.sayStop(s)
	return s
}

func (l *Ledger) sayStop(s Stop) string {
	var parts []string
	if len(s.Nothing) > 0 {
		parts = append(parts, fmt.Sprintf("%s would show nothing (%s)", count(len(s.Nothing), "line"), SayLines(l.plan.Song, s.Nothing)))
	}
	if len(s.Safety) > 0 {
		parts = append(parts, fmt.Sprintf("%s would show the safety (%s)", count(len(s.Safety), "line"), SayLines(l.plan.Song, s.Safety)))
	}
	if len(s.Unseen) > 0 {
		parts = append(parts, strings.Join(s.Unseen, ", ")+" would not be seen")
	}
	if parts == nil {
		return "If we stopped now: every line has a picture beside the safety."
	}
	return "If we stopped now: " + strings.Join(parts, "; ") + "."
}

// said names a need: "the run (V2.3)", or "hands in V2.3".
func (n *Need) said() string {
	if n.Text != "" {
		return fmt.Sprintf("%s (%s)", n.Text, n.Name)
	}
	return fmt.Sprintf("%s in %s", n.Shows, n.Name)
}

// Loss is what the film loses without one setup.
type Loss struct {
	Setup   string   `json:"setup"`
	Only    []int    `json:"only,omitempty"`       // lines that lose their only picture
	Second  []int    `json:"second,omitempty"`     // lines that lose one of two, so that nothing is left to cut to
	MustSee []string `json:"must_see,omitempty"`   // what would be seen less often than wanted
	Free    []string `json:"voice_free,omitempty"` // stretches without a voice that lose a view they need
	Worth   float64  `json:"worth"`                // points lost
	Say     string   `json:"say"`
}

// Without returns what each setup's absence would cost, by setup.
func (l *Ledger) Without() []Loss {
	all := make([]Loss, len(l.plan.Setups))
	for i := range all {
		all[i] = l.without(i)
	}
	return all
}

func (l *Ledger) without(i int) Loss {
	loss := Loss{Setup: l.plan.Setups[i].Name}
	for n := range l.Rows {
		r := &l.Rows[n]
		have := r.Cells[i].Have
		if have == 0 {
			continue
		}
		loss.Worth -= l.gain(r, i, -have)
		switch {
		case r.Kind == ALine && r.Views == 1:
			loss.Only = append(loss.Only, r.Line)
		case r.Kind == ALine && r.Views == 2:
			loss.Second = append(loss.Second, r.Line)
		case r.Kind == AMustSee && r.Have-have < r.Wanted:
			loss.MustSee = append(loss.MustSee, r.said())
		case r.Kind == VoiceFree && r.Views <= r.Wanted:
			loss.Free = append(loss.Free, r.Name)
		}
	}
	loss.Say = l.sayLoss(&loss)
	return loss
}

// Valued returns the plan's setups for a day, each worth what the film would lose
// without it.
func (l *Ledger) Valued() []schedule.Setup {
	all := make([]schedule.Setup, len(l.plan.Setups))
	for i, loss := range l.Without() {
		all[i] = l.plan.Setups[i].Setup
		all[i].Value = loss.Worth
	}
	return all
}

func (l *Ledger) sayLoss(loss *Loss) string {
	var parts []string
	if len(loss.Only) > 0 {
		parts = append(parts, fmt.Sprintf("no picture of %s", SayLines(l.plan.Song, loss.Only)))
	}
	if len(loss.Second) > 0 {
		parts = append(parts, fmt.Sprintf("one picture only of %s", SayLines(l.plan.Song, loss.Second)))
	}
	if len(loss.MustSee) > 0 {
		parts = append(parts, "too few of "+strings.Join(loss.MustSee, ", "))
	}
	if len(loss.Free) > 0 {
		parts = append(parts, "too little without a mouth at "+strings.Join(loss.Free, ", "))
	}
	if parts == nil {
		parts = []string{"nothing is lost but choice"}
	}
	return "Without " + loss.Setup + ": " + strings.Join(parts, "; ") + "."
}
