package light

import (
	"fmt"
	"slices"
)

// Circuit is what one breaker or fuse of the house protects, all its sockets
// together.
type Circuit struct {
	Name  string  `json:"name"`
	Volts float64 `json:"volts"`
	Amps  float64 `json:"amps"` // the rating of the breaker
	// OtherWatts is what the house itself has on it: a fridge, a heater.
	OtherWatts float64 `json:"other_watts,omitempty"`
}

// Load is something to be plugged in for hours.
type Load struct {
	Name        string  `json:"name"`
	Watts       float64 `json:"watts"`
	PowerFactor float64 `json:"power_factor,omitempty"` // 0 is 1
	Circuit     string  `json:"circuit,omitempty"`      // "" is not yet decided
}

// Amps returns the current of a load: watts over volts and power factor.
// Source: physics.
func (l Load) Amps(volts float64) float64 { return l.voltAmps() / volts }

func (l Load) voltAmps() float64 {
	if l.PowerFactor == 0 {
		return l.Watts
	}
	return l.Watts / l.PowerFactor
}

// CircuitSum is what is plugged in at a circuit.
type CircuitSum struct {
	Circuit     string  `json:"circuit"`
	Amps        float64 `json:"amps"`
	AllowedAmps float64 `json:"allowed_amps"` // for hours on end
	OK          bool    `json:"ok"`
	Words       string  `json:"words"`
}

// Sums adds up every circuit's loads; those without a circuit are left out. A
// circuit without a rating, or a load on a circuit that is not there, is an error
// of code usage. The sums are estimates: [Cautions] of [AtPower] belong beside.
func (l Limits) Sums(circuits []Circuit, loads []Load) ([]CircuitSum, error) {
	if err := checkPower(circuits, loads); err != nil {
		return nil, err
	}
	sums := make([]CircuitSum, len(circuits))
	for i, c := range circuits {
		s := CircuitSum{Circuit: c.Name, Amps: c.OtherWatts / c.Volts, AllowedAmps: c.Amps * l.CircuitShare}
		for _, load := range loads {
			if load.Circuit == c.Name {
				s.Amps += load.Amps(c.Volts)
			}
		}
		s.OK = s.Amps <= s.AllowedAmps+slack
		s.Words = fmt.Sprintf("%s: %s A of %s A, which are %s %% of %s A for hours on end",
			c.Name, plain(s.Amps), plain(s.AllowedAmps), plain(100*l.CircuitShare), plain(c.Amps))
		if !s.OK {
			s.Words += fmt.Sprintf("; %s A too much: a breaker that trips takes the recording with it", plain(s.Amps-s.AllowedAmps))
		}
		sums[i] = s
	}
	return sums, nil
}

// slack is rounding, not load: in amperes or volt-amperes.
const slack = 1e-9

func checkPower(circuits []Circuit, loads []Load) error {
	for _, c := range circuits {
		if !(c.Volts > 0 && c.Amps > 0 && c.OtherWatts >= 0) {
			return usage(fmt.Sprintf("circuit %q has no rating", c.Name), "read volts and amperes at the breaker, or ask the venue")
		}
	}
	for _, load := range loads {
		if !(load.Watts >= 0 && load.PowerFactor >= 0 && load.PowerFactor <= 1) {
			return usage(fmt.Sprintf("the power of %q does not fit", load.Name), "give watts, and a power factor of up to 1")
		}
		known := slices.ContainsFunc(circuits, func(c Circuit) bool { return c.Name == load.Circuit })
		if load.Circuit != "" && !known {
			return usage(fmt.Sprintf("%q is plugged into circuit %q, which is not there", load.Name, load.Circuit), "name a circuit of the room")
		}
	}
	return nil
}
