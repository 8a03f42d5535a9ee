package optics

import (
	"fmt"
	"math"
)

// Way is a direction in which the camera moves.
type Way string

// The ways, as the camera's operator sees them; no way stands still.
const (
	Still     Way = ""
	Rightward Way = "right"
	Leftward  Way = "left"
	Inward    Way = "in"
	Outward   Way = "out"
)

// opposite are the ways that go against each other.
var opposite = map[Way]Way{Rightward: Leftward, Leftward: Rightward, Inward: Outward, Outward: Inward}

// Move is a move on a rail: once along its length in a time, and back in the
// same, again and again.
type Move struct {
	Way     Way     `json:"way"`
	LengthM float64 `json:"length"`
	LegS    float64 `json:"leg"` // for the length once; take the line's own length, and the turn falls in the breath
}

// Opposed reports whether two moves go against each other, which jars when their
// shots are neighbours. Source: common practice.
func Opposed(a, b Move) bool { return a.Way != Still && opposite[a.Way] == b.Way }

// Pace is how a move looks.
type Pace struct {
	MetresPerS  float64 `json:"metres_per_second"`
	DegreesPerS float64 `json:"degrees_per_second"` // to keep the subject in the middle
	WidthsPerS  float64 `json:"widths_per_second"`  // frame widths that something crosses, at most
	AcrossS     float64 `json:"across"`             // seconds for one width
	Warning     string  `json:"warning,omitempty"`
}

// Pace returns how fast the setup's move is in its frame.
//
// Sideways, a still subject crosses speed / frame widths a second before a
// camera that does not turn; before one that turns to follow, a background
// infinitely far crosses as much, a nearer one less. In or out, the frame's edges
// go half as fast as its width changes. A still setup gives the zero Pace.
func (s Setup) Pace(limits Limits) Pace {
	if s.Move.Way == Still || s.Move.LegS <= 0 {
		return Pace{}
	}
	width, _ := s.FrameM()
	p := Pace{MetresPerS: s.Move.LengthM / s.Move.LegS}
	if s.Move.Way == Inward || s.Move.Way == Outward {
		p.WidthsPerS = p.MetresPerS / s.DistanceM / 2
	} else {
		p.WidthsPerS = p.MetresPerS / width
		p.DegreesPerS = math.Atan(p.MetresPerS/s.DistanceM) * 180 / math.Pi
	}
	if p.WidthsPerS > 0 {
		p.AcrossS = 1 / p.WidthsPerS
	}
	if p.WidthsPerS > 1/limits.AcrossS {
		p.Warning = fmt.Sprintf("crosses the frame in %.1f s, under %.0f s: may judder", p.AcrossS, limits.AcrossS)
	}
	return p
}

// Stretch is a stretch of time in seconds, a line that is sung.
type Stretch struct {
	FromS float64 `json:"from"`
	ToS   float64 `json:"to"`
}

// Turn is a moment at which a move reverses.
type Turn struct {
	AtS  float64 `json:"at"`
	Line int     `json:"line"` // index of the line it falls into, -1 in a breath
}

// Turns returns the reversals of a move that starts at a time, up to another,
// and which of the lines, in order of time, each falls into. A line begins at its
// first moment and ends before its last.
func (m Move) Turns(start, end float64, lines []Stretch) []Turn {
	if m.Way == Still || m.LegS <= 0 {
		return nil
	}
	var turns []Turn
	for i := 1; start+float64(i)*m.LegS < end; i++ {
		t := Turn{AtS: start + float64(i)*m.LegS, Line: -1}
		for j, l := range lines {
			if t.AtS >= l.FromS && t.AtS < l.ToS {
				t.Line = j
			}
		}
		turns = append(turns, t)
	}
	return turns
}
