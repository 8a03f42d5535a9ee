package optics

import (
	"fmt"
	"math"
)

// Pair says whether two setups cut together.
type Pair struct {
	SizeRatio float64 `json:"size_ratio"` // the larger frame over the smaller, 1 or more
	AxisDeg   float64 `json:"axis"`       // between the two axes, 0 to 180
	Together  bool    `json:"together"`
	Reason    string  `json:"reason"`
}

// Together tells whether two setups cut together: when they differ enough in
// size or in axis, else the cut looks like a jump. Source: common practice.
func Together(a, b Setup, limits Limits) Pair {
	_, ha := a.FrameM()
	_, hb := b.FrameM()
	p := Pair{
		SizeRatio: max(ha, hb) / min(ha, hb),
		AxisDeg:   math.Abs(math.Remainder(a.AxisDeg-b.AxisDeg, 360)),
	}
	bySize, byAxis := p.SizeRatio >= limits.SizeRatio, p.AxisDeg >= limits.AxisDeg
	p.Together = bySize || byAxis
	verdict := "jumps"
	if p.Together {
		verdict = "cuts together"
	}
	p.Reason = fmt.Sprintf("%s: size ratio %.2f (%s %.2g), axis differs %.0f° (%s %.0f°)",
		verdict, p.SizeRatio, against(bySize), limits.SizeRatio, p.AxisDeg, against(byAxis), limits.AxisDeg)
	return p
}

func against(reached bool) string {
	if reached {
		return "at least"
	}
	return "under"
}

// Side is where a camera stands with regard to the line of action.
type Side int

// The sides of the line, seen along it.
const (
	Left   Side = -1
	OnLine Side = 0
	Right  Side = 1
)

// Side returns on which side of the line of action through the subject the
// camera stands. lineDeg is where the line points, measured as AxisDeg is; the
// line is the player's look or, as well, player to audience.
func (s Setup) Side(lineDeg float64, limits Limits) Side {
	off := math.Remainder(s.AxisDeg-lineDeg, 360)
	switch fromLine := min(math.Abs(off), 180-math.Abs(off)); {
	case fromLine <= limits.LineDeg:
		return OnLine
	case off > 0:
		return Right
	}
	return Left
}

// Crosses reports whether a cut between two setups crosses the line of action.
// A camera on the line crosses it with none, and so bridges.
// Source: the 180-degree rule, common practice.
func Crosses(a, b Setup, lineDeg float64, limits Limits) bool {
	return a.Side(lineDeg, limits)*b.Side(lineDeg, limits) < 0
}
