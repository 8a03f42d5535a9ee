package coverage

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"
)

// Advice is one thing to ask the musician for.
type Advice struct {
	Say     string  `json:"say"` // "Ask for: V2, lines 3-4, hands."
	Why     string  `json:"why"`
	Setup   string  `json:"setup"`
	Lines   []int   `json:"lines,omitempty"` // indices, to loop; nil is a pass of the whole song
	Chance  float64 `json:"chance"`          // of one line to match
	Minutes float64 `json:"minutes"`         // a loop until it is met, on the average; a pass once
	PerMin  float64 `json:"per_minute"`      // expected gain in worth, points
}

// NothingOwed is what is said when there is nothing to ask for.
const NothingOwed = "Nothing is owed."

// Ask returns the one sentence: what to ask for next. When the setups owe nothing
// but something that must be seen is shown by none, that is said.
func (l *Ledger) Ask(here string) string {
	if all := l.Advice(here); len(all) > 0 {
		return all[0].Say
	}
	if found := l.unshown(); found != nil {
		return fmt.Sprintf("Find %s in %s.", found[0].Setup, found[0].None)
	}
	return NothingOwed
}

// Advice returns what could be asked for, the most worth per minute first: for
// each setup that owes something a pass of the whole song, and the best loop of
// lines. here is the name of the setup that stands, "" when none does: the change
// to another counts. A request that begins with a change is worth at least what
// staying there brings until nothing is owed. Of equal ones the earlier setup
// comes first.
func (l *Ledger) Advice(here string) []Advice {
	var all []Advice
	at := l.plan.indexOf(here)
	for i := range l.plan.Setups {
		d := l.debtOf(i)
		change := l.changeMin(at, i)
		for _, a := range l.requests(i, d) {
			if change > 0 {
				gain := a.PerMin * a.Minutes
				a.Minutes += change
				a.PerMin = max(gain/a.Minutes, d.all()/(l.filmS(d)/60+change))
				a.Why += fmt.Sprintf(", after %.0f min to change", math.Ceil(change))
			}
			all = append(all, a)
		}
	}
	slices.SortStableFunc(all, byWorth)
	return all
}

func byWorth(a, b Advice) int { return cmp.Compare(b.PerMin, a.PerMin) }

// requests are the two ways to ask for what setup i owes, the better one first;
// none when it owes nothing.
func (l *Ledger) requests(i int, d *debt) (all []Advice) {
	if a := l.wholePass(i, d); a.PerMin > 0 {
		all = append(all, a)
	}
	if a, ok := l.bestLoop(i, d); ok {
		all = append(all, a)
	}
	slices.SortStableFunc(all, byWorth)
	return all
}

// debt is what one setup owes, by line.
type debt struct {
	missing []int     // matches that the line or something in it lacks
	gain    []float64 // worth of having them all
	first   []float64 // worth of the next one
	chance  float64
	// elsewhere are stretches without a voice that no line holds: only a pass of
	// the whole song brings them.
	elsewhere     places
	elsewhereGain float64
}

// owed returns the lines of which something is missing.
func (d *debt) owed() (lines []int) {
	for line, missing := range d.missing {
		if missing > 0 {
			lines = append(lines, line)
		}
	}
	return lines
}

// debtOf finds what setup i owes.
func (l *Ledger) debtOf(i int) *debt {
	lines := len(l.plan.Song.Lines)
	d := &debt{missing: make([]int, lines), gain: make([]float64, lines), first: make([]float64, lines), chance: l.ChanceOf(i).Chance()}
	for n := range l.Rows {
		r := &l.Rows[n]
		missing := r.missing(i)
		switch {
		case missing == 0:
		case r.Line < 0:
			d.elsewhere.add(&r.Need)
			d.elsewhereGain += l.gain(r, i, 1)
		default:
			d.missing[r.Line] = max(d.missing[r.Line], missing)
			d.gain[r.Line] += l.gain(r, i, missing)
			d.first[r.Line] += l.gain(r, i, 1)
		}
	}
	return d
}

// all returns the worth of having everything that is owed.
func (d *debt) all() float64 {
	sum := d.elsewhereGain
	for _, gain := range d.gain {
		sum += gain
	}
	return sum
}

// changeMin returns the minutes from one setup to another; none from nowhere.
func (l *Ledger) changeMin(from, to int) float64 {
	if from < 0 || to < 0 {
		return 0
	}
	return l.plan.Times.ChangeMin(l.plan.Setups[from].Rig, l.plan.Setups[to].Rig)
}

// wholePass is the advice to play the whole song in setup i.
func (l *Ledger) wholePass(i int, d *debt) Advice {
	owed, gain := d.elsewhere, d.chance*d.elsewhereGain
	owed.lines = d.owed()
	for _, line := range owed.lines {
		gain += d.chance * d.first[line]
	}
	minutes := l.plan.Times.PassS(float64(l.plan.Song.Duration)) / 60
	name := l.plan.Setups[i].Name
	return Advice{
		Say:   fmt.Sprintf("Ask for: the whole song, %s.", name),
		Why:   fmt.Sprintf("a pass, about %.0f min: %s owes %s", minutes, name, owed.say(l.plan.Song)),
		Setup: name, Chance: d.chance, Minutes: minutes, PerMin: gain / minutes,
	}
}

// bestLoop is the advice to loop lines of setup i: those that follow one another,
// in one section, with the most worth per minute. ok is false when no line is owed
// or no loop can be hoped to be met.
func (l *Ledger) bestLoop(i int, d *debt) (a Advice, ok bool) {
	if d.chance < l.plan.Limits.LeastChance {
		return Advice{}, false
	}
	for _, run := range runs(l.plan.Song, d.owed()) {
		for from := range run {
			for to := from + 1; to <= min(len(run), from+int(l.plan.Limits.LongestLoop)); to++ {
				if b := l.loop(d, run[from:to]); b.PerMin > a.PerMin {
					a = b
				}
			}
		}
	}
	if a.Lines == nil {
		return Advice{}, false
	}
	a.Setup = l.plan.Setups[i].Name
	l.sayLoop(&a)
	return a, true
}

// loopS returns the seconds of song in a loop of lines that follow one another.
func (l *Ledger) loopS(lines []int) float64 {
	return float64(l.plan.Song.Lines[lines[len(lines)-1]].Span.To - l.plan.Song.Lines[lines[0]].Span.From)
}

// loop values a loop, without its words.
func (l *Ledger) loop(d *debt, lines []int) Advice {
	gain := 0.0
	for _, line := range lines {
		gain += d.gain[line]
	}
	tries := ExpectedPasses(d.chance, d.missing[lines[0]:lines[len(lines)-1]+1])
	minutes := tries * l.plan.Times.TryS(l.loopS(lines)) / 60
	return Advice{Lines: lines, Chance: d.chance, Minutes: minutes, PerMin: gain / minutes}
}

func (l *Ledger) sayLoop(a *Advice) {
	song := l.plan.Song
	first, last := song.Lines[a.Lines[0]].Number, song.Lines[a.Lines[len(a.Lines)-1]].Number
	section, _ := strings.CutSuffix(song.LineName(a.Lines[0]), fmt.Sprintf(".%d", first))
	said := fmt.Sprintf("line %d", first)
	if last > first {
		said = fmt.Sprintf("lines %d-%d", first, last)
	}
	a.Say = fmt.Sprintf("Ask for: %s, %s, %s.", section, said, a.Setup)
	a.Why = fmt.Sprintf("a loop of %.0f s, about %.0f min: %s owes %s", l.loopS(a.Lines), math.Max(1, a.Minutes), a.Setup, SayLines(song, a.Lines))
}
