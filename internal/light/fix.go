package light

import (
	"math"
	"slices"

	"takeweave/internal/film"
)

// Deed is what a fix does, in words that do not change.
type Deed string

// The deeds, at the lamp and at the camera, the least effort first, and what a
// [Fix] then has as its value.
const (
	TurnDial       Deed = "dial"       // lux where the lamp was measured
	MoveLamp       Deed = "move"       // metres
	HangNet        Deed = "net"        // stops it adds, below 0
	HangDiffusion  Deed = "diffusion"  // the same
	Bounce         Deed = "bounce"     // the same
	TakeFilter     Deed = "filter off" // stops it added
	OtherLamp      Deed = "other lamp" // lux where the lamp was measured
	TurnPracticals Deed = "practicals" // stops they shall add
	SetISO         Deed = "iso"        // ISO
	SetStop        Deed = "stop"       // f-number
	SetND          Deed = "nd"         // stops the filter takes in all
)

// Fix is one thing to do about light that is off.
type Fix struct {
	Do    Deed    `json:"do"`
	Words string  `json:"words"`
	Value float64 `json:"value"`
	Left  float64 `json:"left_stops"` // still off afterwards
}

// better keeps the fixes that leave less than there was.
func better(fixes []Fix, off float64) []Fix {
	return slices.DeleteFunc(fixes, func(f Fix) bool { return math.Abs(f.Left) >= math.Abs(off) })
}

// fixes returns what can be done about a lamp that is so many stops too strong,
// the least effort first, and the end of its dial that is reached: "" when the
// dial has room enough or there is none.
func (l Lamp) fixes(off float64, limits Limits) (fixes []Fix, end string) {
	set := min(max(l.dial()/Times(off), l.LeastLux), l.top())
	left := off + StopsOf(set/l.dial())
	if math.Abs(left) <= limits.WithinStops {
		turn := Fix{Do: TurnDial, Words: "dial to " + lux(set) + " at " + plain(l.measuredM()) + " m", Value: set, Left: left}
		return append([]Fix{turn}, l.placed(off, limits)...), ""
	}
	end = "bottom"
	if off < 0 {
		end = "top"
	}
	first := ""
	if set != l.dial() {
		first = "dial to its " + end + " and "
	}
	if l.top() == l.LeastLux {
		end = ""
	}
	l.DialLux = set
	fixes = l.placed(left, limits)
	for i := range fixes {
		fixes[i].Words = first + fixes[i].Words
	}
	return fixes, end
}

// placed returns what can be done about a lamp without its dial.
func (l Lamp) placed(off float64, limits Limits) []Fix {
	fixes := []Fix{l.moved(off, limits)}
	if off > 0 {
		fixes = append(fixes,
			nearest(HangNet, limits.Nets, off),
			nearest(HangDiffusion, limits.Diffusions, off),
			Fix{Do: Bounce, Words: "bounce off white card", Value: limits.BounceStops, Left: off + limits.BounceStops})
		return better(fixes, off)
	}
	for _, f := range l.Filters {
		fixes = append(fixes, Fix{Do: TakeFilter, Words: f.Name + " off", Value: f.Stops, Left: off - f.Stops})
	}
	enough := l.dial() / Times(off)
	other := Fix{Do: OtherLamp, Words: "another lamp of " + lux(enough) + " at " + plain(l.measuredM()) + " m", Value: enough}
	return better(append(fixes, other), off)
}

// moved is the lamp at the distance that is right, as far as the room and the
// lamp's own limit allow.
func (l Lamp) moved(off float64, limits Limits) Fix {
	to := max(l.distanceFor(off), limits.NearestM)
	if l.FurthestM > 0 {
		to = min(to, l.FurthestM)
	}
	left := off + StopsOf(At(1, l.DistanceM, l.RadiusM, to))
	return Fix{Do: MoveLamp, Words: "move to " + metres(to), Value: to, Left: left}
}

// nearest is the thing to hang before a lamp that leaves least.
func nearest(do Deed, things []film.Default, off float64) Fix {
	best := Fix{Do: do, Left: math.Inf(1)}
	for _, t := range things {
		if left := off + t.Value; math.Abs(left) < math.Abs(best.Left) {
			best.Words, best.Value, best.Left = t.Name, t.Value, left
		}
	}
	return best
}
