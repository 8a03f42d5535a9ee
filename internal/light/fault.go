package light

import (
	"fmt"
	"math"
	"strings"
)

// Kind tells where light that is off is cured.
type Kind string

// The kinds of fault.
const (
	LevelFault Kind = "level fault" // at the camera
	RatioFault Kind = "ratio fault" // at the lamp
)

// Fault is light that is off, with what to do about it.
type Fault struct {
	Kind     Kind    `json:"kind"`
	Lamp     string  `json:"lamp,omitempty"` // or practical, of a ratio fault
	OffStops float64 `json:"off_stops"`      // above 0: too strong
	DialEnd  string  `json:"dial_end,omitempty"`
	Fixes    []Fix   `json:"fixes"` // the least effort first
	Words    string  `json:"words"`
}

func (s Scene) levelFault(b Balance, limits Limits) Fault {
	f := Fault{Kind: LevelFault, OffStops: b.LevelStops, Fixes: s.Exposure.cameraFixes(b.LevelStops)}
	f.Words = fmt.Sprintf("%+.1f stop level fault: everything is off alike; %s.",
		f.OffStops, cheapest(f.Fixes, limits.WithinStops))
	return f
}

// lampFaults returns the fault of each lamp of a role that is off against the
// others, or against the level that the camera will be set to.
func (s Scene) lampFaults(r Reading, off float64, b Balance, limits Limits) []Fault {
	var faults []Fault
	for _, l := range s.Lamps {
		if l.Role != r.Role {
			continue
		}
		f := Fault{Kind: RatioFault, Lamp: l.Name, OffStops: off}
		f.Fixes, f.DialEnd = l.fixes(off, limits)
		if len(s.Practicals) > 0 && b.alike(limits.WithinStops) {
			f.Fixes = append(f.Fixes, Fix{Do: TurnPracticals, Words: turn(off) + " the practicals by " + stopWord(math.Abs(off)) + " and expose for the lamp", Value: off})
		}
		f.Words = fmt.Sprintf("%s against %s: %+.1f stop ratio fault; %s. %s",
			lux(r.Lux), amount(r.Lux/Times(off)), off, cheapest(f.Fixes, limits.WithinStops), s.isoWords(off))
		faults = append(faults, f)
	}
	return faults
}

// alike tells whether all roles are off by the same, so that the practicals could
// follow the lamps.
func (b Balance) alike(within float64) bool {
	for _, r := range b.Readings {
		if math.Abs(r.OffStops-b.Readings[0].OffStops) > within {
			return false
		}
	}
	return true
}

// turn says what the practicals need where a lamp, against them, is so far off.
func turn(off float64) string {
	if off > 0 {
		return "brighten"
	}
	return "dim"
}

func practicalFault(p Practical, off float64) Fault {
	fix := Fix{Do: TurnPracticals, Words: turn(-off) + " it by " + stopWord(math.Abs(off)), Value: -off}
	return Fault{
		Kind: RatioFault, Lamp: p.Name, OffStops: off, Fixes: []Fix{fix},
		Words: fmt.Sprintf("%+.1f stop ratio fault; %s.", off, fix.Words),
	}
}

// isoWords says why the camera cannot cure a ratio fault.
func (s Scene) isoWords(off float64) string {
	what := "the other lamps"
	if len(s.Practicals) > 0 {
		what = "practicals"
	}
	if off > 0 {
		return "Lower ISO won't help: " + what + " fall with it."
	}
	return "Higher ISO won't help: " + what + " rise with it."
}

// cheapest words the first two fixes that do; if none does, the one that leaves
// least, with what it leaves.
func cheapest(fixes []Fix, within float64) string {
	var words []string
	var least *Fix
	for i, f := range fixes {
		if math.Abs(f.Left) <= within && len(words) < 2 {
			words = append(words, f.String())
		}
		if least == nil || math.Abs(f.Left) < math.Abs(least.Left) {
			least = &fixes[i]
		}
	}
	switch {
	case len(words) > 0:
		return strings.Join(words, ", or ")
	case least != nil:
		return least.String() + ", which is not enough"
	}
	return "nothing here helps"
}

// String gives the words of a fix, and what it leaves if that shows.
func (f Fix) String() string {
	if math.Abs(f.Left) < 0.05 {
		return f.Words
	}
	return fmt.Sprintf("%s (%+.1f)", f.Words, f.Left)
}
