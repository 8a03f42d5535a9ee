package lineup

import (
	"math"
	"slices"

	"takeweave/internal/film"
)

// Cameras split long recordings into several files, in the middle of a note if
// need be. Of 72 generated passes cut in two 67 are joined with these limits; of
// 1656 pairs of halves of different passes, many of them cut at the same place of
// the song, 12 are.
const (
	joinReach = 1.5  // seconds of clip that may be left over on either side
	joinTempo = 4.0  // seconds at the end of a map that give its tempo
	joinBound = 150. // ms; a larger bound counts as this: it says that nothing is known
	joinSlack = 0.10 // seconds besides the stated bounds
	leastPace = 0.5  // song seconds a pass second over a join; at most one over it
)

// Joined reports whether the pass goes on in the second file where the first
// ends: a's last segment reaches the end of its sound, aSeconds, b's first begins
// with its sound, and song time meets within the stated bounds and a little.
func Joined(a film.LineUp, aSeconds float64, b film.LineUp) bool {
	if len(a.Segments) == 0 || len(b.Segments) == 0 || a.Playback != b.Playback || a.Semitones != b.Semitones {
		return false
	}
	last, first := &a.Segments[len(a.Segments)-1], &b.Segments[0]
	end, begin := len(last.Knots)-1, 0
	before, after := aSeconds-float64(last.Knots[end].Pass), float64(first.Knots[begin].Pass)
	if math.Abs(before) > joinReach || math.Abs(after) > joinReach {
		return false
	}
	// Song time at the cut by either map, going on at the tempo near its end.
	from := last.Knots[end].Pass
	reached := float64(last.Knots[end].Song) + before*float64(last.Knots[end].Song-last.SongAt(from-joinTempo))/joinTempo
	from = first.Knots[begin].Pass
	begun := float64(first.Knots[begin].Song) - after*float64(first.SongAt(from+joinTempo)-first.Knots[begin].Song)/joinTempo
	allowed := (math.Min(last.ErrorMS[end], joinBound)+math.Min(first.ErrorMS[begin], joinBound))/1000 + joinSlack
	return math.Abs(reached-begun) <= allowed
}

// Join returns the line-up of both files on the first one's clock, for two that
// are Joined: b's pass times come aSeconds later, and the segment that goes on
// over the cut is one. What is said of the whole (reason, drift, figures) is what
// the file with more of the song says.
func Join(a film.LineUp, aSeconds float64, b film.LineUp) film.LineUp {
	out := a
	if b.Covered > a.Covered {
		out = b
	}
	out.Segments = nil
	for _, g := range a.Segments {
		out.Segments = append(out.Segments, film.Segment{Knots: slices.Clone(g.Knots), ErrorMS: slices.Clone(g.ErrorMS)})
	}
	for i, g := range b.Segments {
		later := film.Segment{ErrorMS: slices.Clone(g.ErrorMS)}
		for _, k := range g.Knots {
			later.Knots = append(later.Knots, film.Knot{Pass: k.Pass + film.PassTime(aSeconds), Song: k.Song})
		}
		if i == 0 {
			out.Segments[len(out.Segments)-1] = oneSegment(out.Segments[len(out.Segments)-1], later)
		} else {
			out.Segments = append(out.Segments, later)
		}
	}
	out.Covered = covered(out.Segments)
	return out
}

// oneSegment puts b behind a, leaving out the knots about the cut, those with
// the larger bound first, until the tempo over it is one that somebody plays.
func oneSegment(a, b film.Segment) film.Segment {
	for len(a.Knots)+len(b.Knots) > 2 && len(a.Knots) > 0 && len(b.Knots) > 0 {
		end := len(a.Knots) - 1
		p, q := a.Knots[end], b.Knots[0]
		pace := float64(q.Song-p.Song) / float64(q.Pass-p.Pass)
		if q.Pass > p.Pass && pace >= leastPace && pace <= 1/leastPace {
			break
		}
		if a.ErrorMS[end] >= b.ErrorMS[0] {
			a.Knots, a.ErrorMS = a.Knots[:end], a.ErrorMS[:end]
		} else {
			b.Knots, b.ErrorMS = b.Knots[1:], b.ErrorMS[1:]
		}
	}
	return film.Segment{Knots: append(a.Knots, b.Knots...), ErrorMS: append(a.ErrorMS, b.ErrorMS...)}
}
