package light

import (
	"math"
	"slices"
)

// Scene is a setup's light: the exposure, the lamps, and what is seen of lamps in
// the picture.
type Scene struct {
	Exposure   Exposure    `json:"exposure"`
	Lamps      []Lamp      `json:"lamps"`
	Practicals []Practical `json:"practicals,omitempty"`
}

// Reading is one role's light on the musician against what is wanted.
type Reading struct {
	Role      Role    `json:"role"`
	Lux       float64 `json:"lux"`
	WantedLux float64 `json:"wanted_lux"`
	OffStops  float64 `json:"off_stops"` // above 0: too strong
}

// Balance is what there is to say about the light of a scene.
type Balance struct {
	WantedLux float64   `json:"wanted_lux"` // of the key
	Readings  []Reading `json:"readings"`
	// LevelStops is by how much everything is too bright, which the camera cures.
	LevelStops float64 `json:"level_stops"`
	Faults     []Fault `json:"faults"`
}

// Judge reads every role of a scene and names what is off with what to do. A
// scene has a lamp at least, every lamp a role, a distance and some light; else
// the error is of code usage.
//
// What is off by the same in every role and in the lamps in the picture is a level
// fault, for the camera; what is off against the others is a ratio fault, for the
// lamp. Lamps in the picture decide the level, as they are the hardest to change;
// without them the roles do. The level is what leaves the fewest of them off, and
// of such levels the one that changes least.
func (s Scene) Judge(limits Limits) (Balance, error) {
	if err := s.check(); err != nil {
		return Balance{}, err
	}
	b := Balance{WantedLux: s.Exposure.Lux(limits.MeterC), Faults: []Fault{}}
	b.Readings = s.readings(b.WantedLux, limits)
	b.LevelStops = s.level(b.Readings, limits)
	if b.LevelStops != 0 {
		b.Faults = append(b.Faults, s.levelFault(b, limits))
	}
	for _, r := range b.Readings {
		if off := r.OffStops - b.LevelStops; math.Abs(off) > limits.WithinStops {
			b.Faults = append(b.Faults, s.lampFaults(r, off, b, limits)...)
		}
	}
	for _, p := range s.Practicals {
		if off := p.off(s.Exposure, limits.MeterK) - b.LevelStops; math.Abs(off) > limits.WithinStops {
			b.Faults = append(b.Faults, practicalFault(p, off))
		}
	}
	return b, nil
}

// readings adds up the lamps of every role there is.
func (s Scene) readings(keyLux float64, limits Limits) []Reading {
	wanted := []Reading{
		{Role: Key, WantedLux: keyLux},
		{Role: Fill, WantedLux: keyLux / Times(limits.KeyOverFill)},
		{Role: Back, WantedLux: keyLux / Times(limits.KeyOverBack)},
	}
	var readings []Reading
	for _, r := range wanted {
		for _, l := range s.Lamps {
			if l.Role == r.Role {
				r.Lux += l.Lux()
			}
		}
		if r.Lux > 0 {
			r.OffStops = StopsOf(r.Lux / r.WantedLux)
			readings = append(readings, r)
		}
	}
	return readings
}

// level returns by how much everything is off, 0 when that counts as right.
func (s Scene) level(readings []Reading, limits Limits) float64 {
	var offs []float64
	for _, p := range s.Practicals {
		offs = append(offs, p.off(s.Exposure, limits.MeterK))
	}
	if len(offs) == 0 {
		for _, r := range readings {
			offs = append(offs, r.OffStops)
		}
	}
	found := commonest(offs, limits.WithinStops)
	if math.Abs(found) <= limits.WithinStops {
		return 0
	}
	return found
}

// commonest returns the mean of as many offs as are alike, the smallest such mean.
func commonest(offs []float64, within float64) float64 {
	var best []float64
	for _, tried := range offs {
		var alike []float64
		for _, off := range offs {
			if math.Abs(off-tried) <= within {
				alike = append(alike, off)
			}
		}
		if len(alike) > len(best) || len(alike) == len(best) && math.Abs(mean(alike)) < math.Abs(mean(best)) {
			best = alike
		}
	}
	return mean(best)
}

func mean(values []float64) float64 { return sum(values) / float64(len(values)) }

// Between returns by how many stops one role is stronger than another; false if
// one of them has no lamp.
func (b Balance) Between(a, c Role) (stops float64, ok bool) {
	i := slices.IndexFunc(b.Readings, func(r Reading) bool { return r.Role == a })
	j := slices.IndexFunc(b.Readings, func(r Reading) bool { return r.Role == c })
	if i < 0 || j < 0 {
		return 0, false
	}
	return StopsOf(b.Readings[i].Lux / b.Readings[j].Lux), true
}

// LitToShadow returns the other reading of key to fill: the side that both light
// against the side that the fill lights alone.
func LitToShadow(keyLux, fillLux float64) float64 { return (keyLux + fillLux) / fillLux }
