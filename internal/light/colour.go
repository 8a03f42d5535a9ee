package light

import "math"

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

// GelFor returns the gel that brings light of one colour temperature nearest to
// another, and the mired still missing; "" if none helps.
func (l Limits) GelFor(fromKelvin, toKelvin float64) (gel string, left float64) {
	wanted := Shift(fromKelvin, toKelvin)
	left = wanted
	for _, g := range l.Gels {
		if missing := wanted - g.Value; math.Abs(missing) < math.Abs(left) {
			gel, left = g.Name, missing
		}
	}
	return gel, left
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
			gel, left := l.GelFor(kb, ka)
			found = append(found, Mismatch{a.Name, b.Name, mired, notice, gel, left})
		}
	}
	return found
}
