package daylog

import "fmt"

// Verdict is what the person said of a pass at its cut.
type Verdict string

// The verdicts. NoVerdict is not yet given.
const (
	NoVerdict Verdict = ""
	Keep      Verdict = "keep"
	Perhaps   Verdict = "perhaps"
	Lost      Verdict = "lost"
)

// Voice is how the singer sings.
type Voice string

// The voices.
const (
	FullVoice Voice = ""
	HalfVoice Voice = "half"
	NoVoice   Voice = "none"
)

// Origin says how an entry came into the log.
type Origin string

// The origins.
const (
	Tapped Origin = ""      // the person tapped when the camera rolled
	Heard  Origin = "heard" // heard, not tapped: the phone opened it when the song began
	Later  Origin = "later" // added afterwards, on the phone or from paper
)

// Entry is one pass in the log.
type Entry struct {
	ID        string  `json:"id"`     // made by the phone
	Number    int     `json:"number"` // the pass number that was called; 0 when it has none
	Setup     string  `json:"setup"`
	RollingMS int64   `json:"rolling_ms,omitempty"` // 0 when not known
	CutMS     int64   `json:"cut_ms,omitempty"`     // 0 when not known
	Verdict   Verdict `json:"verdict,omitempty"`
	// Lines is what a looped pickup played, as film.Song.SpanOf reads it; ""
	// means the whole song.
	Lines   string   `json:"lines,omitempty"`
	Voice   Voice    `json:"voice,omitempty"`
	FlagsMS []int64  `json:"flags_ms,omitempty"` // "there!", in order
	Notes   []string `json:"notes,omitempty"`
	Origin  Origin   `json:"origin,omitempty"`
}

// FlagsAfter returns where the flags are, in seconds after rolling; nothing when
// it is not known when the camera rolled.
func (e *Entry) FlagsAfter() []float64 {
	if e.RollingMS == 0 {
		return nil
	}
	var out []float64
	for _, at := range e.FlagsMS {
		out = append(out, float64(at-e.RollingMS)/1000)
	}
	return out
}

// rolledS returns how long the camera rolled, in seconds; false when not known.
func (e *Entry) rolledS() (float64, bool) {
	if e.RollingMS == 0 || e.CutMS == 0 {
		return 0, false
	}
	return float64(e.CutMS-e.RollingMS) / 1000, true
}

// Say names the entry: "pass 7 (hands)".
func (e *Entry) Say() string {
	name := "a pass without a number"
	if e.Number > 0 {
		name = fmt.Sprintf("pass %d", e.Number)
	}
	if e.Setup == "" {
		return name
	}
	return fmt.Sprintf("%s (%s)", name, e.Setup)
}
