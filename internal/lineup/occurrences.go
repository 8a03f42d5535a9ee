package lineup

import "takeweave/internal/film"

// Run is a run of segments of one line-up, [From, To).
type Run struct{ From, To int }

// Occurrences groups the segments of a line-up into the occurrences of the song
// in the pass, in pass order; every segment is in one. songSeconds is the length
// of the song.
//
// A new occurrence begins where song time falls back by more than half of the
// song from the furthest place that this one has reached. Playing the song anew
// falls back by all of it, or by what was played before it was broken off.
// Whatever falls back by less belongs to the same attempt: a false start is
// given up within the first half, a restart goes back some bars, a section
// played twice, a vamp or a looped pickup goes back by its own length. Measuring
// from the furthest place, and not from segment to segment, keeps many small
// steps back from hiding that the song was begun again. A false start is so one
// with the performance after it, and a performance broken off in its first half
// counts as a false start of the next.
func Occurrences(l film.LineUp, songSeconds float64) []Run {
	var out []Run
	var furthest film.SongTime
	for i := range l.Segments {
		span := l.Segments[i].SongSpan()
		if i == 0 || float64(furthest-span.From) > songSeconds/2 {
			out = append(out, Run{i, i})
			furthest = span.To
		}
		out[len(out)-1].To = i + 1
		furthest = max(furthest, span.To)
	}
	return out
}
