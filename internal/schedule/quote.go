package schedule

import "takeweave/internal/film"

// Rates are the hours of a job by its parts.
type Rates struct {
	PrepareH float64 `json:"prepare_hours"`
	RecceH   float64 `json:"recce_hours"`
	MinuteH  float64 `json:"hours_per_minute"` // of the finished film, from the copy to the look
	RoundH   float64 `json:"round_hours"`
	ShapeH   float64 `json:"shape_hours"` // each shape beyond the first
	DeliverH float64 `json:"deliver_hours"`
	Slack    float64 `json:"slack"`
}

// UsualRates returns the rates an estimate begins with, those of [RateDefaults].
func UsualRates() Rates {
	var r Rates
	film.TakeDefaults(r.fields(), RateDefaults)
	return r
}

// fields lists the rates in the order of RateDefaults.
func (r *Rates) fields() []*float64 {
	return []*float64{&r.PrepareH, &r.RecceH, &r.MinuteH, &r.RoundH, &r.ShapeH, &r.DeliverH, &r.Slack}
}

// RateDefaults are the rates with where they come from, in the order of [Rates].
var RateDefaults = []film.Default{
	{Name: "preparing", Value: 3, Unit: "h", Source: film.RuleOfThumb, From: common},
	{Name: "the recce", Value: 1, Unit: "h", Source: film.RuleOfThumb, From: common},
	{Name: "copying, lining up, cutting, grading", Value: 3.5, Unit: "h per finished minute", Source: film.RuleOfThumb, From: common},
	{Name: "a round of notes", Value: 1.5, Unit: "h", Source: film.RuleOfThumb, From: common},
	{Name: "each further shape", Value: 1.5, Unit: "h", Source: film.RuleOfThumb, From: common},
	{Name: "delivering and keeping", Value: 3, Unit: "h", Source: film.RuleOfThumb, From: common},
	{Name: "slack of a quote", Value: 0.2, Unit: "of the hours", Source: film.RuleOfThumb, From: common},
}

// Job is what a film is to be, as far as its hours depend on it.
type Job struct {
	SongS  float64 `json:"song_s"`
	FilmH  float64 `json:"film_hours"` // on the day
	Rounds int     `json:"rounds"`
	Shapes int     `json:"shapes"` // at least 1
}

// Hours returns the hours of a job, and those to quote.
func (r Rates) Hours(j Job) (hours, quoted float64) {
	hours = r.PrepareH + r.RecceH + j.FilmH + r.MinuteH*j.SongS/60 +
		r.RoundH*float64(j.Rounds) + r.ShapeH*float64(max(0, j.Shapes-1)) + r.DeliverH
	return hours, hours * (1 + r.Slack)
}
