package light

import "math"

// l.AllowedMinutes returns how long in a day a level is borne without a loss of
// hearing, by published guidance; it is no promise for any one person.
// Source: [NIOSH98-126].
func (l Limits) AllowedMinutes(dBA float64) float64 {
	return l.HearingMinutes / math.Exp2((dBA-l.HearingDBA)/l.HearingDB)
}

// Spell is playback or playing at a level for a time.
type Spell struct {
	DBA     float64 `json:"dba"`
	Minutes float64 `json:"minutes"`
}

// Dose returns in per cent how much of what a day allows was heard.
func (l Limits) Dose(spells []Spell) float64 {
	dose := 0.0
	for _, s := range spells {
		dose += 100 * s.Minutes / l.AllowedMinutes(s.DBA)
	}
	return dose
}

// MinutesLeft returns how much longer a level may be heard after a dose, 0 when
// the day is spent.
func (l Limits) MinutesLeft(dosePercent, dBA float64) float64 {
	return max(0, 1-dosePercent/100) * l.AllowedMinutes(dBA)
}
