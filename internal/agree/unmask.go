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
)

// unmask lowers or lifts the scores towards speakerAlone by how surely live playing
// is audible, and reports whether it is; if not, the reasons are set.
func (e *evidence) unmask(a *film.Agreement) bool {
	soft := func(x, limit, soft float64) float64 { return 1 / (1 + math.Exp(-(x-limit)/soft)) }
	var apart float64
	for _, ms := range a.LateMS { // 0 where the notes do not agree
		if math.Abs(ms) > apartMS {
			apart += 1 / float64(len(a.LateMS))
		}
	}
	audible := math.Max(soft(e.levelDB, audibleDB, softDB), soft(e.levelDB, apartDB, softDB)*soft(apart, apartShare, softShare))
	for i, s := range a.Score {
		a.Score[i] = audible*s + (1-audible)*speakerAlone
		if audible < 0.5 {
			a.Score[i] = math.Round(a.Score[i]*1000) / 1000
			a.Why[i], a.LateMS[i] = film.WhySpeakerOnly, 0
		}
	}
	return audible >= 0.5
}
