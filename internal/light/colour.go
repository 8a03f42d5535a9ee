package light

import (
	"cmp"
	"math"
	"slices"
)

// Shift returns in mired, a million over kelvin, what takes light of one colour
// temperature to another; above 0 it warms.
func Shift(fromKelvin, toKelvin float64) float64 { return 1e6/toKelvin - 1e6/fromKelvin }

// Filtered returns the colour temperature of light behind a filter that adds
// mired; +Inf if that is bluer than any.
func Filtered(kelvin, mired float64) float64 {
	m := 1e6/kelvin + mired
	if m <= 0 {
		return math.Inf(1)
	}
	return 1e6 / m
}

// Gels are the usual strengths, in mired; those on the roll are better measured.
// The names are not exact: a full orange takes more than a full blue gives.
// Source: published tables of mired shifts, which agree with each other.
var Gels = []Filter{
	{Name: "double blue", Mired: -274},
	{Name: "full blue", Mired: -137},
	{Name: "three-quarter blue", Mired: -112},
	{Name: "half blue", Mired: -78},
	{Name: "quarter blue", Mired: -35},
	{Name: "eighth blue", Mired: -18},
	{Name: "eighth orange", Mired: 26},
	{Name: "quarter orange", Mired: 64},
	{Name: "half orange", Mired: 109},
	{Name: "three-quarter orange", Mired: 124},
	{Name: "full orange", Mired: 159},
}

// GelFor returns the gel that brings light of one colour temperature nearest to
// another, and the mired still missing; no gel at all, its name "", if none helps.
func GelFor(fromKelvin, toKelvin float64) (gel Filter, left float64) {
	wanted := Shift(fromKelvin, toKelvin)
	best := slices.MinFunc(append([]Filter{{}}, Gels...), func(a, b Filter) int {
		return cmp.Compare(math.Abs(wanted-a.Mired), math.Abs(wanted-b.Mired))
	})
	return best, wanted - best.Mired
}

// Notice is how far a difference of colour is noticed.
type Notice string

// The degrees of notice.
const (
	Unseen Notice = "unseen"
	Slight Notice = "slight"
	Shows  Notice = "shows on a cut"
)

// Noticed tells whether a difference in mired is seen.
func (l Limits) Noticed(mired float64) Notice {
	switch d := math.Abs(mired); {
	case d <= l.UnseenMired:
		return Unseen
	case d <= l.ShowsMired:
		return Slight
	}
	return Shows
}

// Mismatch is two lamps whose colours differ.
type Mismatch struct {
	A      string  `json:"a"`
	B      string  `json:"b"`
	Mired  float64 `json:"mired"` // by which B is warmer
	Notice Notice  `json:"notice"`
	Gel    string  `json:"gel,omitempty"`  // before B, "" if none helps
	Left   float64 `json:"left,omitempty"` // mired still missing behind it
}

// Mismatches returns the pairs of lamps whose colours are seen to differ, filters
// counted, in the lamps' order. Lamps of unknown colour are left out.
func (l Limits) Mismatches(lamps []Lamp) []Mismatch {
	var found []Mismatch
	for i, a := range lamps {
		for _, b := range lamps[i+1:] {
			ka, kb := a.FilteredKelvin(), b.FilteredKelvin()
			if ka == 0 || kb == 0 {
				continue
			}
			mired := Shift(ka, kb)
			notice := l.Noticed(mired)
			if notice == Unseen {
				continue
			}
			gel, left := GelFor(kb, ka)
			found = append(found, Mismatch{a.Name, b.Name, mired, notice, gel.Name, left})
		}
	}
	return found
}
