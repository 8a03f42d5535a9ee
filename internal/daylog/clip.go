package daylog

import (
	"cmp"
	"math"
	"slices"

	"takeweave/internal/film"
)

// Clip is what is known of a camera file when it is tied to the log.
type Clip struct {
	File      string  `json:"file"`              // a name of its own
	Digest    string  `json:"digest,omitempty"`  // of its bytes; "" when not known
	Camera    string  `json:"camera,omitempty"`  // each camera is tied for itself; "" when there is one
	Card      string  `json:"card,omitempty"`    // cards come in any order
	TimeMS    int64   `json:"time_ms,omitempty"` // the file's time on the camera's clock, of its start or its end; 0 when not known
	DurationS float64 `json:"duration_s"`
	Calls     []Call  `json:"calls,omitempty"` // heard in its sound
	Setup     string  `json:"setup,omitempty"` // by its folder; "" when not known
	// LineUp is where it lies on the song; its status is "" when not lined up.
	LineUp film.LineUp `json:"lineup"`
	// Told is the person's answer: the IDs of the entries that it is, or NotLogged
	// alone.
	Told []string `json:"told,omitempty"`
}

// NotLogged in Clip.Told says that the file has no entry.
const NotLogged = "-"

// Call is a pass call heard in a clip.
type Call struct {
	Number int     `json:"number"` // 1 to 999
	AtS    float64 `json:"at_s"`   // its beginning, in seconds after the clip's
}

// Doubles of one file have the same bytes, or were made in the same second and
// have the same length: the camera's small copies.
const (
	doubleTimeMS = 1000
	doubleS      = 0.1
)

// isDouble reports whether two files hold the same recording.
func (c *Clip) isDouble(o *Clip) bool {
	if c.Digest != "" && c.Digest == o.Digest {
		return true
	}
	return c.TimeMS != 0 && o.TimeMS != 0 && max(c.TimeMS-o.TimeMS, o.TimeMS-c.TimeMS) <= doubleTimeMS &&
		math.Abs(c.DurationS-o.DurationS) <= doubleS
}

// withoutDoubles returns each recording once, and of which file the others are
// doubles.
func withoutDoubles(clips []Clip) (once []Clip, doubles []Double) {
next:
	for _, c := range clips {
		for i := range once {
			if once[i].isDouble(&c) {
				doubles = append(doubles, Double{File: c.File, Of: once[i].File})
				if once[i].Told == nil {
					once[i].Told = c.Told
				}
				continue next
			}
		}
		once = append(once, c)
	}
	return once, doubles
}

// orders returns the orders in which the clips may have been filmed: by time,
// and, as the clock may have been set between two cards or not be known at all,
// card by card in every order of at most three cards.
func orders(clips []Clip) [][]Clip {
	byTime := slices.Clone(clips)
	slices.SortStableFunc(byTime, func(a, b Clip) int {
		return cmp.Or(cmp.Compare(a.TimeMS, b.TimeMS), cmp.Compare(a.Card, b.Card))
	})
	out := [][]Clip{byTime}
	byCard := map[string][]Clip{}
	var cards []string
	for _, c := range byTime {
		if byCard[c.Card] == nil {
			cards = append(cards, c.Card)
		}
		byCard[c.Card] = append(byCard[c.Card], c)
	}
	if len(cards) > 3 {
		return out
	}
	for _, some := range permutations(cards) {
		var order []Clip
		for _, card := range some {
			order = append(order, byCard[card]...)
		}
		same := func(o []Clip) bool {
			return slices.EqualFunc(o, order, func(a, b Clip) bool { return a.File == b.File })
		}
		if !slices.ContainsFunc(out, same) {
			out = append(out, order)
		}
	}
	return out
}

// permutations returns every order of the words.
func permutations(words []string) [][]string {
	if len(words) == 0 {
		return [][]string{nil}
	}
	var out [][]string
	for i, w := range words {
		rest := append(slices.Clone(words[:i]), words[i+1:]...)
		for _, p := range permutations(rest) {
			out = append(out, append([]string{w}, p...))
		}
	}
	return out
}

// unit is one pass in the log: an entry, with its doubles.
type unit []Entry

// unitsOf puts entries together that are surely of one pass, logged twice.
func unitsOf(entries []Entry) []unit {
	var out []unit
	for _, e := range entries {
		if n := len(out); n > 0 && out[n-1][0].isSame(&e) {
			out[n-1] = append(out[n-1], e)
			continue
		}
		out = append(out, unit{e})
	}
	return out
}

// isSame reports whether two entries are surely of one pass: more than half of
// the longer lies within the other.
func (e *Entry) isSame(o *Entry) bool {
	a, aKnown := e.rolledS()
	b, bKnown := o.rolledS()
	both := float64(min(e.CutMS, o.CutMS)-max(e.RollingMS, o.RollingMS)) / 1000
	return aKnown && bKnown && both > math.Max(a, b)/2
}

// mayBeSame reports whether two entries begin so near each other that they may
// be of one pass; times on paper are too coarse to tell.
func (e *Entry) mayBeSame(o *Entry) bool {
	return e.Origin != Later && o.Origin != Later &&
		e.RollingMS > 0 && o.RollingMS > 0 && max(e.RollingMS-o.RollingMS, o.RollingMS-e.RollingMS) <= samePassMS
}

// isTold reports whether an answer is of the unit.
func (u unit) isTold(told []string) bool {
	return slices.ContainsFunc(u, func(e Entry) bool { return slices.Contains(told, e.ID) })
}

// ids returns the IDs of units.
func ids(units []unit) []string {
	var out []string
	for _, u := range units {
		for _, e := range u {
			out = append(out, e.ID)
		}
	}
	return out
}
