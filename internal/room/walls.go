package room

import (
	"fmt"
	"math"

	"takeweave/internal/film"
)

// Leg is a wall as it is walked along with a tape: its length, and by how many
// degrees one turns to the right at its end (90 in a plain corner, -90 where the
// wall juts into the room).
type Leg struct {
	LengthM float64 `json:"length"`
	TurnDeg float64 `json:"turn"`
}

// tapeSlackM is how far a walk around a room may miss its own beginning: 2 cm
// for every wall and half a hundredth of the way. Source: our own choice.
func tapeSlackM(walls int, way float64) float64 { return 0.02*float64(walls) + 0.005*way }

// Walk returns the corners of a room from its walls' lengths, walked along in
// order with the room on the right, the first wall upwards from (0, 0), and by
// how many metres the tape missed the beginning. That gap is spread over the
// corners in proportion to the way walked (the surveyor's compass rule). A walk
// that does not turn once around, or misses by more than tapes do, is refused.
func Walk(legs []Leg) (corners []Point, gapM float64, err error) {
	way, turned, deg := 0.0, 0.0, 0.0
	at := Point{}
	for i, l := range legs {
		if !(l.LengthM > 0) {
			return nil, 0, usage(fmt.Sprintf("wall %d has a length of %g m", i+1, l.LengthM), "give every wall's length in metres")
		}
		corners = append(corners, at)
		at = at.plus(direction(deg), l.LengthM)
		deg += l.TurnDeg
		turned += l.TurnDeg
		way += l.LengthM
	}
	gapM = at.length()
	switch {
	case len(legs) < 3:
		return nil, 0, usage("a room has three walls or more", "give all lengths around the room")
	case math.Abs(turned-360) > 1:
		return nil, 0, usage(fmt.Sprintf("the corners turn by %g degrees in all, not 360", turned),
			"turn right by 90 in a plain corner, by -90 where the wall juts into the room")
	case gapM > tapeSlackM(len(legs), way):
		return nil, gapM, usage(fmt.Sprintf("the last wall ends %.2f m from where the first begins", gapM), "measure again, or look for a corner that is not square")
	}
	walked := 0.0
	for i := range corners {
		corners[i] = corners[i].plus(at, -walked/way)
		walked += legs[i].LengthM
	}
	return corners, gapM, nil
}

func usage(msg, hint string) error { return &film.Error{Code: film.CodeUsage, Msg: msg, Hint: hint} }
