package optics

import (
	"fmt"
	"math"
)

// Depth is what is sharp around the subject, in metres from the front of the
// lens as [Setup.DistanceM] is, against the musician's sway.
type Depth struct {
	NearM      float64 `json:"near"`
	FarM       float64 `json:"far"` // 0 where Endless
	Endless    bool    `json:"endless,omitempty"`
	SwayM      float64 `json:"sway"` // to either side
	Holds      bool    `json:"holds"`
	StopNeeded float64 `json:"stop_needed"` // exact
	Reason     string  `json:"reason"`
}

// Depth returns what is sharp for a picture delivered so many pixels wide, and
// whether a musician who sways by [Limits.SwayM] to either side stays in it.
func (s Setup) Depth(outputW int, limits Limits) Depth {
	l, circle := s.Lens(), s.CircleMM(outputW, limits)
	near, far := l.SharpMM(circle)
	d := Depth{
		NearM: (near - s.FocalMM) / 1000, FarM: (far - s.FocalMM) / 1000,
		SwayM: limits.SwayM, StopNeeded: l.StopFor(1000*limits.SwayM, circle),
	}
	d.Holds = Stops(s.Stop, d.StopNeeded) <= stopSlack
	total := fmt.Sprintf("%.0f mm", far-near)
	if math.IsInf(far, 1) {
		d.FarM, d.Endless, total = 0, true, "endless"
	}
	d.Reason = fmt.Sprintf("sharp %s at %s, sway ±%.0f mm: ", total, stopWords(s.Stop), 1000*limits.SwayM)
	switch {
	case d.Holds:
		d.Reason += "holds"
	case math.IsInf(d.StopNeeded, 1):
		d.StopNeeded = 0
		d.Reason += "no stop holds, the sway reaches the lens"
	default:
		d.Reason += "needs " + stopWords(NextStop(d.StopNeeded))
	}
	return d
}
