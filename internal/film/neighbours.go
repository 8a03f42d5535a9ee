package film

import "math"

// Limits below which a cut between two setups reads as a jump instead of a
// change of view. Source: common practice (the 30-degree rule); the ratio of
// sizes is that of neighbouring shot sizes as they are usually named.
const (
	leastAngleDeg  = 30.0
	leastSizeRatio = 1.5
)

// Reads is how a cut from one setup to another reads.
type Reads uint8

// How cuts read.
const (
	ReadsAsChange Reads = iota // the angle or the size changes enough
	ReadsUnsure                // what is known of the two setups does not tell
	ReadsAlike                 // the size changes too little, and the angles are not known
	ReadsAsJump                // the angle changes too little, and the size does not make up for it
)

// magnified is how large each size shows the subject beside a wide shot.
// Source: common practice.
var magnified = map[Size]float64{SizeWide: 1, SizeMid: 2, SizeClose: 4, SizeInsert: 8}

// CutTo says how a cut from s to t reads. Either the angle or the size must
// change: the angle by at least 30 degrees, the size by at least 1.5 times.
func (s Setup) CutTo(t Setup) Reads {
	a, b := s.magnify(t), t.magnify(s)
	sizes := a > 0 && b > 0
	if sizes && math.Max(a/b, b/a) >= leastSizeRatio {
		return ReadsAsChange
	}
	if s.AngleDeg != nil && t.AngleDeg != nil {
		apart := math.Abs(math.Mod(*s.AngleDeg-*t.AngleDeg, 360))
		if math.Min(apart, 360-apart) >= leastAngleDeg {
			return ReadsAsChange
		}
		return ReadsAsJump
	}
	if sizes {
		return ReadsAlike
	}
	return ReadsUnsure
}

// magnify is the size of s as a number: the measured one when the other setup
// has one too, else that of its shot size; 0 when not known.
func (s Setup) magnify(other Setup) float64 {
	if s.Magnify > 0 && other.Magnify > 0 {
		return s.Magnify
	}
	return magnified[s.Size]
}
