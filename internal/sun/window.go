package sun

import (
	"math"
	"strings"
)

// Window is an opening in a wall that faces a bearing.
type Window struct {
	BearingDeg float64 `json:"bearing"` // where one looks out, at right angles to the wall, from true north
	WidthM     float64 `json:"width"`
	SillM      float64 `json:"sill"`    // lower edge above the floor
	LintelM    float64 `json:"lintel"`  // upper edge above the floor
	WallM      float64 `json:"wall"`    // how thick the wall is; 0 is a bare opening
	SkylineDeg float64 `json:"skyline"` // what stands outside hides the sun below this elevation
}

// Inside is a point in the room as seen from a window.
type Inside struct {
	BackM   float64 `json:"back"`   // from the wall's inner face, 0 or more
	RightM  float64 `json:"right"`  // from the window's middle, looking out
	HeightM float64 `json:"height"` // above the floor
}

// Lights reports whether the sun at a position, taken for a point, shines
// through the window onto p. The ray has to pass both faces of the wall.
func (w Window) Lights(p Inside, at Position) bool {
	off := math.Remainder(at.AzimuthDeg-w.BearingDeg, 360)
	if math.Abs(off) >= 90 || at.ApparentDeg <= math.Max(0, w.SkylineDeg) {
		return false
	}
	passes := func(depth float64) bool {
		right := p.RightM + depth*math.Tan(radians(off))
		height := p.HeightM + depth/math.Cos(radians(off))*math.Tan(radians(at.ApparentDeg))
		return math.Abs(right) <= w.WidthM/2 && height >= w.SillM && height <= w.LintelM
	}
	return passes(p.BackM) && passes(p.BackM+w.WallM)
}

// Span is a stretch of a day, from a time on, up to another.
type Span struct {
	From Minute `json:"from"`
	To   Minute `json:"to"`
}

// Through returns when on the day the sun shines through a window onto a point,
// if the sky is clear.
func (d Day) Through(w Window, p Inside) []Span {
	return d.When(func(at Position) bool { return w.Lights(p, at) })
}

// When returns the stretches of the day, midnight to midnight, at which
// something holds of the sun, in order. Stretches and gaps shorter than a minute
// may be missed.
func (d Day) When(holds func(Position) bool) []Span {
	const day = 24 * 60
	test := func(m Minute) bool { return holds(d.At(m)) }
	var spans []Span
	was := false
	for m := Minute(0); m < day; m++ {
		is := test(m)
		switch {
		case is && !was && m == 0:
			spans = append(spans, Span{From: 0})
		case is && !was:
			spans = append(spans, Span{From: turning(test, m-1, m)})
		case was && !is:
			spans[len(spans)-1].To = turning(test, m-1, m)
		}
		was = is
	}
	if was {
		spans[len(spans)-1].To = day
	}
	return spans
}

// Words returns the stretches as "direct sun 14:10 to 15:35", joined by "and",
// or "no direct sun".
func Words(spans []Span) string {
	if len(spans) == 0 {
		return "no direct sun"
	}
	parts := make([]string, len(spans))
	for i, s := range spans {
		parts[i] = s.From.String() + " to " + s.To.String()
	}
	return "direct sun " + strings.Join(parts, " and ")
}
