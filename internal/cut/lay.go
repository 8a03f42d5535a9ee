package cut

import (
	"math"

	"takeweave/internal/film"
	"takeweave/internal/hold"
)

// laid is a shot of a source laid on frames of the film.
type laid struct {
	start       film.PassTime // shown at its first frame
	speed       float64
	late, early float64 // worst parting as shown, seconds: the clip's own frames included
	beyond      float64 // how far the playing itself leaves the tolerance, seconds
	handles     float64 // seconds missing to the handles, before and after
}

func (l laid) worst() float64 { return max(l.late, l.early) }

// strain is the worst parting as a share of the tolerance; over 1 it is left.
func (l laid) strain(tol film.Tolerance) float64 {
	return max(l.late/tol.Late, l.early/tol.Early)
}

// lay fits the source to a span of the song that begins and ends at film
// frames. ok is false when the clip has no picture for all of it. Near the ends
// of a picture the shot is moved to where it has one, as far as half a frame of
// the clip beyond what the map says of any moment in it; what that costs in
// sync is counted. Where only the native speed has picture enough, it is taken.
//
// The tolerance is asked of the playing (beyond), before the start is moved to
// a whole frame of the clip: that last half a frame no choice can avoid.
func (s *source) lay(shown film.SongSpan) (l laid, ok bool) {
	low, high := s.table.Spread(shown)
	l, ok, _ = s.laySpread(shown, low, high, true)
	return l, ok
}

// laySpread is lay with the spread of pass - song over the span known. trySpeed
// says whether another speed may help; helped, whether it still may for a
// longer span.
func (s *source) laySpread(shown film.SongSpan, low, high float64, trySpeed bool) (l laid, ok, helped bool) {
	fit, fits := hold.Native(low, high, s.tolerance)
	// A change of speed takes no more than maxSpeed × length off the spread.
	const rounding = 1e-6
	trySpeed = trySpeed && s.maxSpeed > 0 && high-low <= s.tolerance.Late+s.tolerance.Early+s.maxSpeed*shown.Len()+rounding
	if !fits && trySpeed {
		if f, ok := s.table.Retimed(shown, s.tolerance, s.maxSpeed); ok {
			if l, ok = s.place(shown, f); ok {
				return l, true, true
			}
		} else {
			trySpeed = false
		}
	}
	l, ok = s.place(shown, fit)
	return l, ok, trySpeed
}

// place puts a fit where the clip has picture.
func (s *source) place(shown film.SongSpan, fit hold.Fit) (l laid, ok bool) {
	earliest := float64(s.Clip.PictureStart)
	latest := float64(s.Clip.PictureEnd) - fit.Speed*shown.Len()
	if latest < earliest {
		return laid{}, false
	}
	ideal := float64(shown.From) + fit.Slip
	if move := min(max(ideal, earliest-s.half), latest+s.half) - ideal; move != 0 {
		if math.Abs(move) > fit.Late+fit.Early {
			return laid{}, false
		}
		ideal += move
		fit.Late -= move
		fit.Early += move
	}
	start := min(max(ideal, earliest), latest)
	if s.steady() {
		start = s.wholeFrame(ideal, earliest, latest, fit)
	}
	l = s.judge(fit, start, earliest, latest)
	l.late -= start - ideal
	l.early += start - ideal
	return l, true
}

// judge says how a shot stands that starts at a place of the picture.
func (s *source) judge(fit hold.Fit, start, earliest, latest float64) laid {
	l := laid{
		start: film.PassTime(start), speed: fit.Speed, late: fit.Late, early: fit.Early,
		beyond:  max(0, max(fit.Late-s.tolerance.Late, fit.Early-s.tolerance.Early)),
		handles: max(0, s.handle-(start-earliest)) + max(0, s.handle-(latest-start)),
	}
	if s.uneven || fit.Speed != 1 {
		l.late += s.half
		l.early += s.half
	}
	return l
}

// placeAt lays a shot where somebody wants it, whatever it parts.
func (s *source) placeAt(shown film.SongSpan, start, speed float64) (l laid, ok bool) {
	earliest := float64(s.Clip.PictureStart)
	latest := float64(s.Clip.PictureEnd) - speed*shown.Len()
	const slack = 1e-6 // seconds, of rounding
	if start < earliest-slack || start > latest+slack {
		return laid{}, false
	}
	return s.judge(s.table.At(shown, start-float64(shown.From), speed), start, earliest, latest), true
}

// wholeFrame returns the start of the clip's frame beside ideal, between
// earliest and latest, at which picture and record part least for the tolerance.
func (s *source) wholeFrame(ideal, earliest, latest float64, fit hold.Fit) (start float64) {
	perSecond := s.Clip.Rate.PerSecond()
	const slack = 1e-6 // of a frame: float rounding of times below an hour
	below := math.Floor((ideal-earliest)*perSecond + slack)
	last := math.Floor((latest-earliest)*perSecond + slack)
	strain := func(frame float64) float64 { // of late against early, without dividing
		moved := earliest + frame/perSecond - ideal
		return max((fit.Late-moved)*s.tolerance.Early, (fit.Early+moved)*s.tolerance.Late)
	}
	a, b := min(max(below, 0), last), min(max(below+1, 0), last)
	if strain(b) < strain(a) {
		a = b
	}
	return earliest + a/perSecond
}
