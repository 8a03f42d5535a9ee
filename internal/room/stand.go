package room

import (
	"fmt"
	"math"
)

// Stand is where a camera can stand.
type Stand struct {
	At        Point   `json:"at"`
	DistanceM float64 `json:"distance"` // from the subject
	OK        bool    `json:"ok"`       // at the distance wanted
	Reason    string  `json:"reason"`
}

// Stand returns whether a camera can stand at a distance from the subject in a
// direction, seen from the subject, with so much clearance from walls and
// furniture and with the subject in sight; else the place nearest to that on the
// same line. The line is searched in steps of a centimetre. If there is no place
// at all, DistanceM is 0.
func (r Room) Stand(subject Point, towardsDeg, distanceM, clearanceM float64) Stand {
	way := direction(towardsDeg)
	free := func(m float64) bool {
		at := subject.plus(way, m)
		return r.freeM(at) >= clearanceM-1e-9 && r.Blocked(subject, at) == ""
	}
	if free(distanceM) {
		return Stand{At: subject.plus(way, distanceM), DistanceM: distanceM, OK: true, Reason: fmt.Sprintf("stands at %.2f m", distanceM)}
	}
	const step = 0.01
	for off := step; off < math.Max(distanceM, r.widest()); off += step {
		for _, m := range []float64{distanceM - off, distanceM + off} {
			if m > 0 && free(m) {
				return Stand{
					At: subject.plus(way, m), DistanceM: m,
					Reason: fmt.Sprintf("no room at %.2f m; the nearest place is at %.2f m", distanceM, m),
				}
			}
		}
	}
	return Stand{At: subject, Reason: "no room in this direction"}
}

// widest returns an upper bound of how far apart two points of the room are.
func (r Room) widest() float64 {
	low, high := r.bounds()
	return low.to(high).length()
}

// bounds returns the lower left and upper right of all corners.
func (r Room) bounds() (low, high Point) {
	low, high = r.Corners[0], r.Corners[0]
	for _, c := range r.Corners {
		low = Point{math.Min(low.X, c.X), math.Min(low.Y, c.Y)}
		high = Point{math.Max(high.X, c.X), math.Max(high.Y, c.Y)}
	}
	return low, high
}
