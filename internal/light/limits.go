package light

import (
	"slices"

	"takeweave/internal/film"
)

// Limits are the numbers of the plan that are not physics. The person may change
// each of them.
type Limits struct {
	MeterC         float64 `json:"meter_c"`
	MeterK         float64 `json:"meter_k"`
	WithinStops    float64 `json:"within_stops"`
	KeyOverFill    float64 `json:"key_over_fill"`
	KeyOverBack    float64 `json:"key_over_back"`
	NearestM       float64 `json:"nearest"`
	BounceStops    float64 `json:"bounce_stops"`
	LumensPerWatt  float64 `json:"lumens_per_watt"`
	UnseenMired    float64 `json:"unseen_mired"`
	ShowsMired     float64 `json:"shows_mired"`
	BandShare      float64 `json:"band_share"`
	CircuitShare   float64 `json:"circuit_share"`
	LeadMV         float64 `json:"lead_millivolts"`
	DropShare      float64 `json:"drop_share"`
	HearingDBA     float64 `json:"hearing_dba"`
	HearingMinutes float64 `json:"hearing_minutes"`
	HearingDB      float64 `json:"hearing_db"`

	// What hangs before lamps: light it adds in stops, colour in mired.
	Nets       []film.Default `json:"nets"`
	Diffusions []film.Default `json:"diffusions"`
	Gels       []film.Default `json:"gels"`
}

// Usual returns the limits the plan begins with: those of [Defaults], with [Nets],
// [Diffusions] and [Gels].
func Usual() Limits {
	l := Limits{Nets: slices.Clone(Nets), Diffusions: slices.Clone(Diffusions), Gels: slices.Clone(Gels)}
	film.TakeDefaults(l.fields(), Defaults)
	return l
}

// fields lists the numbers in the order of Defaults.
func (l *Limits) fields() []*float64 {
	return []*float64{
		&l.MeterC, &l.MeterK, &l.WithinStops, &l.KeyOverFill, &l.KeyOverBack,
		&l.NearestM, &l.BounceStops, &l.LumensPerWatt,
		&l.UnseenMired, &l.ShowsMired, &l.BandShare,
		&l.CircuitShare, &l.LeadMV, &l.DropShare,
		&l.HearingDBA, &l.HearingMinutes, &l.HearingDB,
	}
}

// Defaults are the limits with where they come from, in the order of [Limits].
// Sources: [ISO2720], [NEC2020], [BS7671], [NIOSH98-126].
var Defaults = []film.Default{
	{Name: "meter constant C of light that falls on a flat receptor", Value: 250, Unit: "lux", Source: film.Published, From: "ISO 2720 gives 240 to 400; 250 is usual, domes have 320 to 340"},
	{Name: "meter constant K of light that a surface gives back", Value: 12.5, Unit: "cd/m²", Source: film.Published, From: "ISO 2720 gives 10.6 to 13.4; 12.5 is usual"},
	{Name: "light counts as right within", Value: 1.0 / 3, Unit: "stops", Source: film.RuleOfThumb, From: "common practice: a third of a stop"},
	{Name: "the key is stronger than the fill by", Value: 1.75, Unit: "stops", Source: film.RuleOfThumb, From: "common practice: 1.5 to 2"},
	{Name: "the key is stronger than the back light by", Value: 0, Unit: "stops", Source: film.RuleOfThumb, From: "common practice: as strong, give or take a stop"},
	{Name: "a lamp stands no nearer than", Value: 0.5, Unit: "metres", Source: film.RuleOfThumb, From: "our own choice; the maker's clearance of a hot lamp comes first"},
	{Name: "white card gives, instead of the lamp itself on the same way,", Value: -2.25, Unit: "stops", Source: film.RuleOfThumb, From: "common practice: -1.5 to -3"},
	{Name: "a lamp with diodes that was not measured gives", Value: 100, Unit: "lumens a watt", Source: film.RuleOfThumb, From: "common practice; measure yours"},
	{Name: "colours of light do not differ visibly within", Value: 10, Unit: "mired", Source: film.RuleOfThumb, From: "common practice"},
	{Name: "colours of light differ visibly on a cut from", Value: 20, Unit: "mired", Source: film.RuleOfThumb, From: "common practice"},
	{Name: "bands of the mains in a test picture stay within", Value: 0.01, Unit: "of the light", Source: film.RuleOfThumb, From: "common practice"},
	{Name: "a circuit is loaded for hours to no more than", Value: 0.8, Unit: "of its rating", Source: film.Published, From: "NEC 210.20(A): the device is rated for 125 % of what runs three hours and longer"},
	{Name: "a lead of 1.5 mm² loses for each ampere and metre", Value: 29, Unit: "mV", Source: film.Published, From: "BS 7671, warm leads"},
	{Name: "a lead loses no more than", Value: 0.03, Unit: "of the voltage", Source: film.RuleOfThumb, From: "common practice; local codes give their own"},
	{Name: "hearing bears for a day", Value: 85, Unit: "dB(A)", Source: film.Published, From: "NIOSH 98-126; local rules come first"},
	{Name: "a day of hearing is", Value: 480, Unit: "minutes", Source: film.Published, From: "NIOSH 98-126"},
	{Name: "the time is halved for every", Value: 3, Unit: "dB more", Source: film.Published, From: "NIOSH 98-126; some rules have 5"},
}
