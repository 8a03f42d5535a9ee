package schedule

import "takeweave/internal/film"

// Limits are the numbers of the day that are not arithmetic. The person may
// change each of them.
type Limits struct {
	ResetS       float64 `json:"reset_seconds"` // between two whole passes
	RunInS       float64 `json:"run_in_seconds"`
	TryResetS    float64 `json:"try_reset_seconds"`
	RelightMin   float64 `json:"relight_minutes"`
	LampUpMin    float64 `json:"lamp_up_minutes"`
	LampDownMin  float64 `json:"lamp_down_minutes"`
	MoveMin      float64 `json:"move_minutes"`
	LensMin      float64 `json:"lens_minutes"`
	WardrobeMin  float64 `json:"wardrobe_minutes"`
	TuningMin    float64 `json:"tuning_minutes"`
	BreakEvery   float64 `json:"break_every_minutes"` // 0 takes no breaks
	BreakMin     float64 `json:"break_minutes"`
	WrapMin      float64 `json:"wrap_minutes"`
	Slack        float64 `json:"slack"`
	FullVoice    float64 `json:"full_voice_passes"`
	CameraRunS   float64 `json:"camera_run_seconds"` // of a pass, beside the song
	CardFree     float64 `json:"card_free"`
	CardTimes    float64 `json:"card_times"`
	BatteryGives float64 `json:"battery_gives"`
	BatteryTimes float64 `json:"battery_times"`
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
		&l.ResetS, &l.RunInS, &l.TryResetS,
		&l.RelightMin, &l.LampUpMin, &l.LampDownMin, &l.MoveMin, &l.LensMin, &l.WardrobeMin, &l.TuningMin,
		&l.BreakEvery, &l.BreakMin, &l.WrapMin, &l.Slack, &l.FullVoice,
		&l.CameraRunS, &l.CardFree, &l.CardTimes, &l.BatteryGives, &l.BatteryTimes,
	}
}

const (
	common = "common practice"
	ours   = "our own choice; time yourself"
)

// Defaults are the limits with where they come from, in the order of [Limits].
var Defaults = []film.Default{
	{Name: "between two whole passes", Value: 120, Unit: "s", Source: film.RuleOfThumb, From: common},
	{Name: "a loop begins before its line by", Value: 8, Unit: "s", Source: film.RuleOfThumb, From: common},
	{Name: "between two tries of a loop", Value: 15, Unit: "s", Source: film.RuleOfThumb, From: common},
	{Name: "a change of the whole light", Value: 25, Unit: "min", Source: film.RuleOfThumb, From: common},
	{Name: "one lamp is put up in", Value: 12, Unit: "min", Source: film.RuleOfThumb, From: ours},
	{Name: "one lamp is taken down in", Value: 3, Unit: "min", Source: film.RuleOfThumb, From: ours},
	{Name: "the camera is moved in", Value: 10, Unit: "min", Source: film.RuleOfThumb, From: common},
	{Name: "a lens is changed in", Value: 1.5, Unit: "min", Source: film.RuleOfThumb, From: ours},
	{Name: "clothes are changed in", Value: 10, Unit: "min", Source: film.RuleOfThumb, From: ours},
	{Name: "the instrument is retuned in", Value: 5, Unit: "min", Source: film.RuleOfThumb, From: ours},
	{Name: "a break after work of", Value: 90, Unit: "min", Source: film.RuleOfThumb, From: ours},
	{Name: "a break lasts", Value: 10, Unit: "min", Source: film.RuleOfThumb, From: ours},
	{Name: "the room is put back in", Value: 30, Unit: "min", Source: film.RuleOfThumb, From: ours},
	{Name: "slack", Value: 0.2, Unit: "of work and breaks", Source: film.RuleOfThumb, From: common},
	{Name: "passes at full voice", Value: 12, Unit: "passes", Source: film.RuleOfThumb, From: common + "; the singer knows better"},
	{Name: "the camera runs beside the song for", Value: 30, Unit: "s", Source: film.RuleOfThumb, From: common},
	{Name: "a card is left free by", Value: 0.1, Unit: "of its size", Source: film.RuleOfThumb, From: common + ", 5 to 10 %, as rates vary"},
	{Name: "cards to pack", Value: 2, Unit: "times what is needed", Source: film.RuleOfThumb, From: common},
	{Name: "a battery gives", Value: 0.85, Unit: "of its watt-hours", Source: film.RuleOfThumb, From: common + "; less when old or cold"},
	{Name: "batteries to pack", Value: 1.5, Unit: "times the hours needed", Source: film.RuleOfThumb, From: common},
}
