package cut

import (
	"math"

	"takeweave/internal/film"
)

// term is one of the wishes that a cut is charged for.
type term uint8

const (
	forAgreement term = iota
	forSync
	forSpeed
	forPicture
	forFraming
	forPurpose
	forMustSee
	forLength
	forPlace
	forWord
	forJump
	forReturn
	forSpread
	forEnds
	terms
)

// termWords say what a charge is for, after "because of".
var termWords = [terms]string{
	forAgreement: "agreement that is less sure",
	forSync:      "looser sync",
	forSpeed:     "a change of speed",
	forPicture:   "a poorer picture",
	forFraming:   "a subject that leaves the frame",
	forPurpose:   "setups outside their sections",
	forMustSee:   "something that must be seen",
	forLength:    "shot lengths off the wanted pace",
	forPlace:     "cuts on weaker places",
	forWord:      "a cut inside a sung word",
	forJump:      "neighbours that look alike",
	forReturn:    "an early return to the same view",
	forSpread:    "the best passes spent early",
	forEnds:      "the opening or the end without the safety",
}

// bill is what something costs, term by term, in millionths of the unit of
// weights.
type bill [terms]int64

func (b *bill) add(t term, units float64) { b[t] += wish(units) }

func (b *bill) plus(o bill) {
	for t := range b {
		b[t] += o[t]
	}
}

func (b *bill) sum() (all int64) {
	for _, v := range b {
		all += v
	}
	return all
}

// unit of the whole numbers in which wishes are counted.
const unit = 1000000

// wish returns a charge of at least 0 as a whole number.
func wish(units float64) int64 { return int64(units*unit + 0.5) }

const (
	leastMargin = 0.02 // a margin is never taken as smaller: no measurement of agreement is surer
	refusedFall = 4    // how doubt goes on growing below the limit, by one for each quarter of the scale
)

// doubt is how unsure a moment with a chance to agree is: 0 for certainty, and
// steep towards the limit. It is -ln of the margin that the chance has above
// the limit, 1 being all of it.
func doubt(chance float64) float64 {
	margin := (min(1, chance) - film.Agrees) / (1 - film.Agrees)
	if margin >= leastMargin {
		return -math.Log(margin)
	}
	return -math.Log(leastMargin) + refusedFall*(1-film.Agrees)*(leastMargin-margin)
}
