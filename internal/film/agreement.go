package film

import (
	"fmt"
	"math"
)

// AgreementStep is the grid of agreement, in seconds of song time.
const AgreementStep = 0.05

// Agrees is the score from which a moment counts as agreeing.
const Agrees = 0.5

// Why is the reason code of a moment's score.
type Why uint8

// The reasons, worst part of a moment first wins.
const (
	WhyAgrees      Why = iota // it agrees
	WhyLate                   // the playing comes later than the record around it
	WhyEarly                  // the playing comes earlier
	WhyOtherNotes             // other notes or chord
	WhyExtra                  // attacks that the record does not have
	WhyMissing                // attacks of the record that are not played
	WhyNotPlaying             // nothing is played here
	WhyOtherKey               // the same, but in another key: the fingering differs
	WhyLevelOnly              // the same notes in time, but played much softer or harder: the hands look wrong
	WhyUnsure                 // too little to hear to judge
	WhyNotCovered             // the line-up does not reach here
	WhySpeakerOnly            // nothing is heard but the loudspeaker, which plays the record
)

// whyWords are the reasons in plain words, the only table of them.
var whyWords = [...]string{
	WhyAgrees:     "agrees",
	WhyLate:       "late",
	WhyEarly:      "early",
	WhyOtherNotes: "other notes",
	WhyExtra:      "extra attacks",
	WhyMissing:    "missing attacks",
	WhyNotPlaying: "not playing",
	WhyOtherKey:   "other key",
	WhyLevelOnly:  "level only",
	WhyUnsure:     "cannot judge",
	WhyNotCovered: "not covered",

	WhySpeakerOnly: "only the loudspeaker is heard",
}

// String returns the reason in plain words.
func (w Why) String() string {
	if int(w) >= len(whyWords) {
		return whyWords[WhyUnsure]
	}
	return whyWords[w]
}

// Say returns the reason in plain words; of late and early playing also by how
// much, in milliseconds to either side.
func (w Why) Say(lateMS float64) string {
	if w == WhyLate || w == WhyEarly {
		return fmt.Sprintf("%s %.0f ms", w, math.Abs(lateMS))
	}
	return w.String()
}

// Agreement is how surely one segment of a pass plays what the record plays,
// on the AgreementStep grid.
type Agreement struct {
	First  int       `json:"first"`   // grid index of Score[0]: song time First*AgreementStep
	Score  []float64 `json:"score"`   // 0..1, a calibrated chance that the moment agrees
	Why    []Why     `json:"why"`     // one per score
	LateMS []float64 `json:"late_ms"` // how much later (+) the playing is than the map says; NaN is stored as 0
}

// At returns the score and reason at song time t; WhyNotCovered outside.
func (a *Agreement) At(t SongTime) (score float64, why Why, lateMS float64) {
	i := int(math.Floor(float64(t)/AgreementStep+1e-9)) - a.First
	if i < 0 || i >= len(a.Score) {
		return 0, WhyNotCovered, 0
	}
	return a.Score[i], a.Why[i], a.LateMS[i]
}
