package coverage

import (
	"fmt"
	"math"
	"slices"
	"strings"
)

// Thing is something that may be struck: taken down, changed or let go.
type Thing struct {
	Kind ThingKind `json:"kind"`
	Name string    `json:"name,omitempty"` // not for the musician
}

// ThingKind says what a thing is.
type ThingKind string

// What may be struck.
const (
	ALamp       ThingKind = "lamp" // or a whole state of the light
	ASetup      ThingKind = "setup"
	APosition   ThingKind = "camera position"
	AWardrobe   ThingKind = "wardrobe"
	ATuning     ThingKind = "tuning"
	TheMusician ThingKind = "musician"
)

// May is the answer to "may I strike this?".
type May string

// The answers.
const (
	No     May = "NO"
	YesBut May = "YES, BUT"
	Yes    May = "YES"
)

// Strike is the answer with its reasons.
type Strike struct {
	May    May      `json:"may"`
	Setups []string `json:"setups"` // that need the thing
	// Owing is what is still missing there, in the order in which it is best
	// filmed; Minutes is what that takes with looking at what was not looked at.
	Owing     []Owing  `json:"owing,omitempty"`
	Unchecked []string `json:"unchecked,omitempty"` // kept passes whose focus and playback nobody has looked at
	Minutes   float64  `json:"minutes,omitempty"`
	// Single is what has one match only; another try costs NowS seconds now and
	// LaterMin minutes once the thing is gone (0 when it does not come back today).
	Single   []string `json:"single,omitempty"`
	NowS     float64  `json:"now_s,omitempty"`
	LaterMin float64  `json:"later_minutes,omitempty"`
	Say      string   `json:"say"`
}

// MayStrike says whether a thing may be struck, while the setup named here
// stands. NO when a setup that needs the thing has nothing for something it is to
// serve, or when a kept pass was not looked at; YES, BUT when there is one match
// only; YES when there are two of everything.
func (l *Ledger) MayStrike(thing Thing, here string) Strike {
	s := Strike{May: Yes}
	at := l.plan.indexOf(here)
	setups := l.needing(thing, at)
	s.Owing = l.owings(setups, at)
	if thing.Kind == TheMusician {
		s.Owing = append(s.Owing, l.unshown()...)
	}
	owed := false
	for _, o := range s.Owing {
		owed = owed || o.None != ""
		s.Minutes += o.Minutes
	}
	tryS := 0.0
	for _, i := range setups {
		name := l.plan.Setups[i].Name
		s.Setups = append(s.Setups, name)
		s.Unchecked = append(s.Unchecked, l.unchecked(name)...)
		if single, loopS := l.single(i); single != "" {
			s.Single = append(s.Single, name+" "+single)
			tryS = max(tryS, l.plan.Times.TryS(loopS))
		}
	}
	switch {
	case owed || len(s.Unchecked) > 0:
		s.May = No
		s.Minutes += l.plan.Limits.CheckMin * float64(len(s.Unchecked))
	case len(s.Single) > 0:
		s.May, s.NowS = YesBut, tryS
		if back := l.backMin(thing.Kind); back > 0 {
			s.LaterMin = back + tryS/60
		}
	}
	s.Say = s.say(thing.Kind)
	return s
}

// needing returns the setups that need a thing, the one that stands first.
func (l *Ledger) needing(thing Thing, here int) (setups []int) {
	for i := range l.plan.Setups {
		s, rig := &l.plan.Setups[i], &l.plan.Setups[i].Rig
		needs := true
		switch thing.Kind {
		case ALamp:
			needs = rig.Light == thing.Name || slices.Contains(rig.Lamps, thing.Name)
		case ASetup:
			needs = s.Name == thing.Name
		case APosition:
			needs = rig.Position == thing.Name
		case AWardrobe:
			needs = rig.Wardrobe == thing.Name
		case ATuning:
			needs = rig.Tuning == thing.Name
		}
		if needs && i == here {
			setups = slices.Insert(setups, 0, i)
		} else if needs {
			setups = append(setups, i)
		}
	}
	return setups
}

// backMin returns the minutes to have a thing back, with the lens changed for the
// setup that needs it; 0 for the musician, who has gone home.
func (l *Ledger) backMin(kind ThingKind) float64 {
	t := &l.plan.Times
	back := map[ThingKind]float64{
		ALamp: t.LampUpMin, ASetup: t.MoveMin, APosition: t.MoveMin, AWardrobe: t.WardrobeMin, ATuning: t.TuningMin,
	}[kind]
	if back == 0 {
		return 0
	}
	return back + t.LensMin
}

// unchecked returns the kept passes of a setup that nobody has looked at.
func (l *Ledger) unchecked(setup string) (names []string) {
	for k := range l.taken {
		if c := &l.taken[k]; c.Setup == setup && c.Verdict == Keep && !c.Checked {
			names = append(names, c.Name)
		}
	}
	return names
}

// single returns where setup i is planned and there is one match only, and the
// longest of those lines in seconds.
func (l *Ledger) single(i int) (where string, loopS float64) {
	var at places
	for n := range l.Rows {
		r := &l.Rows[n]
		have := r.Cells[i].Have
		if r.Kind == AMustSee {
			have = r.Have
		}
		if r.Cells[i].Wanted == 0 || r.Kind == VoiceFree || have != 1 {
			continue
		}
		at.add(&r.Need)
		span := r.Span
		if r.Line >= 0 {
			span = l.plan.Song.Lines[r.Line].Span
		}
		loopS = max(loopS, span.Len())
	}
	return at.say(l.plan.Song), loopS
}

// takeDown is what to write down before a thing goes, so that it can come back.
var takeDown = map[ThingKind]string{
	ALamp:       "take one photo, and note height, distance, dial and gel",
	ASetup:      "take one photo, and note height, distance, lens and stop",
	APosition:   "take one photo, mark the floor, and note height and distance",
	AWardrobe:   "take one photo from the front and one from the side",
	ATuning:     "note the tuning and the capo",
	TheMusician: "record the room for a minute, and have the release signed",
}

func (s *Strike) say(kind ThingKind) string {
	switch s.May {
	case No:
		var parts []string
		for _, o := range s.Owing {
			parts = append(parts, o.say())
		}
		if len(s.Unchecked) > 0 {
			parts = append(parts, "look at focus and playback of "+strings.Join(s.Unchecked, ", "))
		}
		return fmt.Sprintf("NO: %s: %.0f min", strings.Join(parts, ", then "), math.Max(1, s.Minutes))
	case YesBut:
		later := "cannot be had today once it is gone"
		if s.LaterMin > 0 {
			later = fmt.Sprintf("%.0f min after re-rig", s.LaterMin)
		}
		return fmt.Sprintf("YES, BUT: one match only on %s; another try costs %.0f s now, %s", strings.Join(s.Single, ", "), s.NowS, later)
	}
	return "YES: " + takeDown[kind]
}
