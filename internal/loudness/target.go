package loudness

import (
	"fmt"
	"math"
)

// Target is what a programme is brought to.
type Target struct {
	Name     string  `json:"name"` // of its purpose
	LUFS     float64 `json:"lufs"`
	MaxDBTP  float64 `json:"max_dbtp"`
	WithinLU float64 `json:"within_lu"` // how far from it still counts as met
}

// The targets by purpose. They are starting points: a person may state others.
var (
	// Web is near what the sites that show films play at. Source: common
	// practice, which changes without notice; the peak as in [EBUR128].
	Web = Target{Name: "web", LUFS: -14, MaxDBTP: -1, WithinLU: 1}
	// Broadcast is the programme level of European television. Source:
	// [EBUR128]; the allowance as in Tech 3343, appendix 2.
	Broadcast = Target{Name: "broadcast", LUFS: -23, MaxDBTP: -1, WithinLU: 0.2}
)

// Gain is the one gain that brings a programme towards a target.
type Gain struct {
	Target    Target  `json:"target"`
	DB        float64 `json:"db"`         // to apply
	WantedDB  float64 `json:"wanted_db"`  // what the loudness asks for
	AllowedDB float64 `json:"allowed_db"` // what the true peak leaves room for
	LUFS      Level   `json:"lufs"`       // of the programme afterwards
	DBTP      Level   `json:"dbtp"`
	Words     string  `json:"words"`
}

// Short reports whether the peaks forbid the gain that the loudness asks for.
func (g Gain) Short() bool { return g.AllowedDB < g.WantedDB }

// GainTo returns the gain that brings a programme to a target, or as near as its
// true peak allows. A programme without a loudness, silent or shorter than
// 0.4 s, is left as it is.
func GainTo(r Reading, t Target) Gain {
	i := float64(r.IntegratedLUFS)
	if math.IsInf(i, 0) || math.IsNaN(i) {
		return Gain{Target: t, LUFS: r.IntegratedLUFS, DBTP: r.TruePeakDBTP, Words: "no loudness to measure: left as it is"}
	}
	g := Gain{Target: t, WantedDB: t.LUFS - i, AllowedDB: t.MaxDBTP - float64(r.TruePeakDBTP)}
	g.DB = min(g.WantedDB, g.AllowedDB)
	g.LUFS, g.DBTP = r.IntegratedLUFS+Level(g.DB), r.TruePeakDBTP+Level(g.DB)
	g.Words = fmt.Sprintf("%+.1f dB: from %.1f to %.1f LUFS, true peak %.1f dBTP", g.DB, i, float64(g.LUFS), float64(g.DBTP))
	if g.Short() {
		g.Words += fmt.Sprintf("; %s asks for %+.1f dB, but the peaks leave room for no more than this", t.Name, g.WantedDB)
	}
	return g
}
