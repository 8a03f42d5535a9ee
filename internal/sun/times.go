package sun

import "math"

// RiseDeg is where the sun's middle stands when it rises or sets: 34 minutes of
// arc of refraction and 16 of the sun's radius below a level horizon.
// Source: the definition almanacs use, [Meeus1998], chapter 15.
const RiseDeg = -50.0 / 60

// Always says of a day on which the sun neither rises nor sets what it does.
type Always string

// What the sun may do all day.
const (
	AlwaysUp   Always = "up"
	AlwaysDown Always = "down"
)

// Times are the sun's events around the noon of a day. Near the polar circles
// the rise can lie before the day's midnight, the set after it. On the first or
// last day of the midnight sun, when it goes down at one end only, the other is
// the midnight that it stays up over.
type Times struct {
	Rise   Minute `json:"rise"`
	Noon   Minute `json:"noon"` // solar noon, when the sun crosses the meridian
	Set    Minute `json:"set"`
	Always Always `json:"always,omitempty"` // else Rise and Set say nothing
}

// Times returns when the sun rises, stands in the meridian and sets.
//
// The moments are found on [Day.At] itself by halving, to a tenth of a second, so
// that they take the sun's motion through the day along.
// Checked: tables of the US Naval Observatory [USNO].
func (d Day) Times() Times {
	const half = 12 * 60
	t := Times{Noon: d.noon()}
	above := func(m Minute) bool { return d.At(m).ElevationDeg > RiseDeg }
	before, after := above(t.Noon-half), above(t.Noon+half)
	switch {
	case !above(t.Noon):
		t.Always = AlwaysDown
		return t
	case before && after:
		t.Always = AlwaysUp
		return t
	}
	t.Rise, t.Set = t.Noon-half, t.Noon+half
	if !before {
		t.Rise = turning(above, t.Rise, t.Noon)
	}
	if !after {
		t.Set = turning(above, t.Noon, t.Set)
	}
	return t
}

// noon returns when the sun crosses the meridian nearest to the middle of the
// local day. The hour angle grows by a degree in four minutes all but evenly, so
// that a few steps settle it.
func (d Day) noon() Minute {
	m := Minute(12 * 60)
	for range 4 {
		_, hour := d.seen(d.julian(m))
		m -= Minute(4 * hour)
	}
	return m
}

// turning returns when a condition changes between a and b, at which it
// differs, to a tenth of a second.
func turning(holds func(Minute) bool, a, b Minute) Minute {
	first := holds(a)
	for math.Abs(float64(b-a)) > 0.1/60 {
		if mid := (a + b) / 2; holds(mid) == first {
			a = mid
		} else {
			b = mid
		}
	}
	return (a + b) / 2
}
