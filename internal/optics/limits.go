package optics

import "takeweave/internal/film"

// Limits are the numbers of the plan that are not physics. The person may change
// each of them.
type Limits struct {
	CirclePx     float64 `json:"circle_pixels"`
	SizeRatio    float64 `json:"size_ratio"`
	AxisDeg      float64 `json:"axis_degrees"`
	LineDeg      float64 `json:"line_degrees"`
	AcrossS      float64 `json:"across_seconds"`
	AirShare     float64 `json:"air"`
	EnlargeTimes float64 `json:"enlarge"`
	SwayM        float64 `json:"sway"`
	FigureM      float64 `json:"figure"`
}

// Usual returns the limits the plan begins with, those of [Defaults].
func Usual() Limits {
	var l Limits
	film.TakeDefaults(l.fields(), Defaults)
	return l
}

// fields lists the limits in the order of Defaults.
func (l *Limits) fields() []*float64 {
	return []*float64{
		&l.CirclePx, &l.SizeRatio, &l.AxisDeg, &l.LineDeg, &l.AcrossS,
		&l.AirShare, &l.EnlargeTimes, &l.SwayM, &l.FigureM,
	}
}

// Defaults are the limits with where they come from, in the order of [Limits].
var Defaults = []film.Default{
	{Name: "circle of confusion", Value: 2, Unit: "pixels of the delivered width", Source: film.RuleOfThumb, From: "common practice: 0.019 mm for 3840 pixels on 36 mm"},
	{Name: "two sizes cut together from a ratio of", Value: 1.5, Unit: "", Source: film.RuleOfThumb, From: "common practice"},
	{Name: "two axes cut together from", Value: 30, Unit: "degrees", Source: film.RuleOfThumb, From: "common practice, the 30-degree rule; some take 25"},
	{Name: "a camera stands on the line of action within", Value: 5, Unit: "degrees", Source: film.RuleOfThumb, From: "our own choice"},
	{Name: "a frame's width is crossed in no less than", Value: 7, Unit: "seconds", Source: film.RuleOfThumb, From: "common practice, at 24 and 25 frames a second"},
	{Name: "air above and below the subject", Value: 0.06, Unit: "of the kept frame", Source: film.RuleOfThumb, From: "common practice"},
	{Name: "a crop is enlarged by no more than", Value: 1, Unit: "times", Source: film.RuleOfThumb, From: "common practice"},
	{Name: "the musician sways to either side of the focus by", Value: 0.05, Unit: "metres", Source: film.RuleOfThumb, From: "common practice; watch yours play"},
	{Name: "the musician's height", Value: 1.75, Unit: "metres", Source: film.RuleOfThumb, From: "common practice; measure yours"},
}
