package interchange

import (
	"math"

	"takeweave/internal/film"
)

// What a file says may differ by this much from what we wrote and be the same:
// the rounding of times that were counted in frames and added up.
const (
	sameSeconds = 1e-6
	sameSpeed   = 1e-9
)

// compareWith sets Sent when the file still says of the shot what we wrote, and
// then takes our own numbers, which are exact.
func (s *Shot) compareWith(sent ourShot) {
	w := sent.Shot
	if w == nil || s.First != w.First || s.End != w.End {
		return
	}
	if s.Hole {
		if w.File == "" {
			s.Sent = w
		}
		return
	}
	if w.File == "" || !s.Linked || s.File != mediaPath(sent.Target) ||
		math.Abs(float64(s.SourceStart-w.SourceStart)) > sameSeconds || math.Abs(s.Speed-w.Speed) > sameSpeed {
		return
	}
	s.Sent, s.SourceStart, s.Speed = w, w.SourceStart, w.Speed
}

// Unchanged returns the cut that we wrote into the file, when the file still
// says all of it; ok is false when anything was changed or it is not ours.
func (in *Incoming) Unchanged() (cut film.Cut, ok bool) {
	if in.sent == nil || in.sent.Rate != in.Rate || in.sent.Frames != in.Frames {
		return film.Cut{}, false
	}
	cut = film.Cut{Rate: in.Rate, Shape: in.sent.Shape, Frames: in.Frames}
	for _, s := range in.Shots {
		if s.Sent == nil {
			return film.Cut{}, false
		}
		cut.Shots = append(cut.Shots, *s.Sent)
	}
	return cut, true
}
