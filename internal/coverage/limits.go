package coverage

import "takeweave/internal/film"

// Limits are the numbers of coverage that are not arithmetic. The person may
// change each of them.
type Limits struct {
	MustSeeMatches float64 `json:"must_see_matches"`
	VoiceFreeS     float64 `json:"voice_free_seconds"`
	VoiceFreeViews float64 `json:"voice_free_views"`
	AgreeShare     float64 `json:"agree_share"`
	Sure           float64 `json:"sure"`
	CheckMin       float64 `json:"check_minutes"`

	WorthPicture  float64 `json:"worth_picture"`
	WorthChoice   float64 `json:"worth_choice"`
	WorthWanted   float64 `json:"worth_wanted"`
	WorthMustSee  float64 `json:"worth_must_see"`
	WorthMatch    float64 `json:"worth_match"`
	WorthNoMouth  float64 `json:"worth_no_mouth"`
	LeastChance   float64 `json:"least_chance"`
	LongestLoop   float64 `json:"longest_loop_lines"`
	ChancePasses  float64 `json:"chance_passes"`
	IntervalShare float64 `json:"interval_share"`
}

// Usual returns the limits that a plan begins with, those of [Defaults].
func Usual() Limits {
	var l Limits
	film.TakeDefaults(l.fields(), Defaults)
	return l
}

// fields lists the limits in the order of Defaults.
func (l *Limits) fields() []*float64 {
	return []*float64{
		&l.MustSeeMatches, &l.VoiceFreeS, &l.VoiceFreeViews, &l.AgreeShare, &l.Sure, &l.CheckMin,
		&l.WorthPicture, &l.WorthChoice, &l.WorthWanted, &l.WorthMustSee, &l.WorthMatch, &l.WorthNoMouth,
		&l.LeastChance, &l.LongestLoop, &l.ChancePasses, &l.IntervalShare,
	}
}

const (
	common = "common practice"
	ours   = "our own choice"
)

// Defaults are the limits with where they come from, in the order of [Limits].
var Defaults = []film.Default{
	{Name: "usable passes of what must be seen", Value: 2, Unit: "passes", Source: film.RuleOfThumb, From: common},
	{Name: "a stretch without a voice counts above", Value: 4, Unit: "s", Source: film.RuleOfThumb, From: common},
	{Name: "setups without a mouth for such a stretch", Value: 2, Unit: "setups", Source: film.RuleOfThumb, From: common},
	{Name: "a pass is usable where it agrees for", Value: 0.9, Unit: "of the stretch", Source: film.RuleOfThumb, From: ours + ": a spoilt half beat in a line can be cut around"},
	{Name: "sure enough of all must-haves", Value: 0.9, Unit: "chance", Source: film.RuleOfThumb, From: common},
	{Name: "focus and playback of a pass are looked at in", Value: 1, Unit: "min", Source: film.RuleOfThumb, From: ours},
	{Name: "worth of a line's first picture", Value: 4, Unit: "points", Source: film.RuleOfThumb, From: ours + ": without it the film has a hole"},
	{Name: "worth of a line's first picture beside the safety", Value: 2, Unit: "points", Source: film.RuleOfThumb, From: ours},
	{Name: "worth of what a setup was to give a line", Value: 1, Unit: "points", Source: film.RuleOfThumb, From: ours},
	{Name: "worth of the first match of what must be seen", Value: 6, Unit: "points", Source: film.RuleOfThumb, From: ours + ": it weighs more than a line"},
	{Name: "worth of each further match wanted of it", Value: 3, Unit: "points", Source: film.RuleOfThumb, From: ours},
	{Name: "worth of a setup without a mouth where nobody sings", Value: 2, Unit: "points", Source: film.RuleOfThumb, From: ours},
	{Name: "a match is not to be hoped for below", Value: 0.02, Unit: "chance", Source: film.RuleOfThumb, From: ours + ": fifty tries"},
	{Name: "a loop is no longer than", Value: 3, Unit: "lines", Source: film.RuleOfThumb, From: ours},
	{Name: "a setup's own chance is known after", Value: 2, Unit: "passes", Source: film.RuleOfThumb, From: common},
	{Name: "the chance lies within what is told by", Value: 0.95, Unit: "chance", Source: film.RuleOfThumb, From: common},
}
