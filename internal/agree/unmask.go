package agree

import (
	"math"

	"takeweave/internal/film"
)

// speakerAlone is the score where nothing but the loudspeaker is heard: the record
// is there, and nothing is known of the hands. It is doubtful on purpose, between
// film.Agrees and what is usually taken for sure.
const speakerAlone = 0.65

// Playing is audible when it is loud enough under the loudspeaker, or when it is
// less loud and most of it agrees at another time than that. Of 35 generated passes
// with nobody playing, what leaks lay at -28 to -9 dB; playing that was up to 6 dB
// softer than the loudspeaker, at -11 and more.
const (
	audibleDB  = -9.5
	apartDB    = -16.0
	softDB     = 1.0
	apartMS    = 25.0 // from the loudspeaker
	apartShare = 0.5  // of the moments
	softShare  = 0.05
	ownTimeDB  = -5.0 // what agrees at the loudspeaker's own time may be its leak below this
)

// unmask draws the scores towards speakerAlone where live playing is not surely
// audible, and returns how surely it is, moment by moment.
func (e *evidence) unmask(a *film.Agreement) []float64 {
	soft := func(x, limit, soft float64) float64 { return 1 / (1 + math.Exp(-(x-limit)/soft)) }
	apart := func(i int) bool { return math.Abs(a.LateMS[i]) > apartMS } // never where the notes differ
	var share float64
	for i := range a.LateMS {
		if apart(i) {
			share += 1 / float64(len(a.LateMS))
		}
	}
	audible := math.Max(soft(e.levelDB, audibleDB, softDB), soft(e.levelDB, apartDB, softDB)*soft(share, apartShare, softShare))
	sure := make([]float64, len(a.Score))
	for i, s := range a.Score {
		sure[i] = audible
		if s >= film.Agrees && !apart(i) {
			sure[i] = math.Min(audible, soft(e.levelDB, ownTimeDB, softDB))
		}
		a.Score[i] = sure[i]*s + (1-sure[i])*speakerAlone
	}
	return sure
}
