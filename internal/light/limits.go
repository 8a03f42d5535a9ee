package light

import "takeweave/internal/film"

// Limits are the numbers of the plan that are not physics. The person may change
// each of them.
type Limits struct {
	MeterC         float64 `json:"meter_c"`
	MeterK         float64 `json:"meter_k"`
	WithinStops    float64 `json:"within_stops"`
	KeyOverFill    float64 `json:"key_over_fill"`
	KeyOverBack    float64 `json:"key_over_back"`
	UnseenMired    float64 `json:"unseen_mired"`
	ShowsMired     float64 `json:"shows_mired"`
	BandShare      float64 `json:"band_share"`
	CircuitShare   float64 `json:"circuit_share"`
	BatteryShare   float64 `json:"battery_share"`
	BatteryReserve float64 `json:"battery_reserve"`
	DropShare      float64 `json:"drop_share"`
	NearestM       float64 `json:"nearest"`
}

// Usual returns the limits the plan begins with, those of [Defaults].
func Usual() Limits {
	var l Limits
	for i, value := range l.fields() {
		*value = Defaults[i].Value
	}
	return l
}

// fields lists the limits in the order of Defaults.
func (l *Limits) fields() []*float64 {
	return []*float64{
		&l.MeterC, &l.MeterK, &l.WithinStops, &l.KeyOverFill, &l.KeyOverBack,
		&l.UnseenMired, &l.ShowsMired, &l.BandShare, &l.CircuitShare,
		&l.BatteryShare, &l.BatteryReserve, &l.DropShare, &l.NearestM,
	}
}

// Defaults are the limits with where they come from, in the order of [Limits].
// [ISO2720] and [NEC2020] are named in the references.
var Defaults = []film.Default{
	{Name: "meter constant C of light that falls on a flat receptor", Value: 250, Unit: "lux", Source: film.Published, From: "ISO 2720 gives 240 to 400; 250 is usual, domes have 320 to 340"},
	{Name: "meter constant K of light that a surface gives back", Value: 12.5, Unit: "cd/m²", Source: film.Published, From: "ISO 2720 gives 10.6 to 13.4; 12.5 is usual"},
	{Name: "light counts as right within", Value: 1.0 / 3, Unit: "stops", Source: film.RuleOfThumb, From: "common practice: a third of a stop"},
	{Name: "the key is stronger than the fill by", Value: 1.75, Unit: "stops", Source: film.RuleOfThumb, From: "common practice: 1.5 to 2"},
	{Name: "the key is stronger than the back light by", Value: 0, Unit: "stops", Source: film.RuleOfThumb, From: "common practice: as strong, give or take a stop"},
	{Name: "colours of light do not differ visibly within", Value: 10, Unit: "mired", Source: film.RuleOfThumb, From: "common practice"},
	{Name: "colours of light differ visibly on a cut from", Value: 20, Unit: "mired", Source: film.RuleOfThumb, From: "common practice"},
	{Name: "bands of the mains in a test picture stay within", Value: 0.01, Unit: "of the light", Source: film.RuleOfThumb, From: "common practice"},
	{Name: "a circuit is loaded for hours to no more than", Value: 0.8, Unit: "of its rating", Source: film.Published, From: "NEC 210.20(A): the device is rated for 125 % of what runs three hours and longer"},
	{Name: "a battery gives", Value: 0.85, Unit: "of its watt hours", Source: film.RuleOfThumb, From: "common practice: losses, age, cold"},
	{Name: "batteries are packed for", Value: 1.5, Unit: "times the hours", Source: film.RuleOfThumb, From: "common practice"},
	{Name: "a lead loses no more than", Value: 0.03, Unit: "of the voltage", Source: film.RuleOfThumb, From: "common practice; local codes give their own"},
	{Name: "a lamp stands no nearer than", Value: 0.5, Unit: "metres", Source: film.RuleOfThumb, From: "our own choice; the maker's clearance of a hot lamp comes first"},
}
