package cut

import (
	"cmp"
	"math"
	"slices"
	"sort"

	"takeweave/internal/film"
)

// point is a frame at which a cut may fall.
type point struct {
	frame film.Frames
	at    film.SongTime // the moment of the music that it stands for
	place place
	word  bool // it falls inside a sung word
	held  bool // a pin holds it: it is not moved again
}

const (
	longBeat    = 1.2  // seconds between cut points at most: a beat longer than that (50 a minute) is halved
	shortSlot   = 0.25 // seconds between beats as cut points at least: about 8 frames at 30, the shortest readable shot. Common practice
	nearSection = 0.15 // seconds: a beat this near to where a section or line begins is its first
	wordEdge    = 0.04 // seconds: a cut so near to the edge of a word does not divide it; a frame at 25
)

// clock says where film frames lie in the song, for the stretch that is cut.
type clock struct {
	rate film.Rate
	from film.SongTime // of frame 0
	to   film.SongTime
	end  film.Frames
}

func newClock(rate film.Rate, stretch film.SongSpan) clock {
	return clock{rate: rate, from: stretch.From, to: stretch.To, end: rate.FramesToHold(stretch.To - stretch.From)}
}

// start returns the song time at which frame f begins.
func (c clock) start(f film.Frames) film.SongTime { return c.from + c.rate.FrameStart(f) }

// nearest returns the frame that begins nearest to t.
func (c clock) nearest(t film.SongTime) film.Frames { return c.rate.NearestFrame(t - c.from) }

// span returns what frames [first, end) cover.
func (c clock) span(first, end film.Frames) film.SongSpan {
	return film.SongSpan{From: c.start(first), To: c.start(end)}
}

// cutPoints lists where cuts may fall, from frame 0 to the end of the clock:
// each beat and each rest, rounded to the film's frames by itself and then
// moved earlier by anticipate.
func cutPoints(song *film.Song, c clock, anticipate int) []point {
	music := musicOf(song)
	starts := placesOf(song)

	points := []point{{at: c.from, place: atQuiet}}
	add := func(at film.SongTime, p place) {
		f := c.nearest(at) - film.Frames(anticipate)
		apart := film.Frames(math.Ceil(shortSlot * c.rate.PerSecond()))
		if f <= 0 || f >= c.end || len(points) > 1 && f < points[len(points)-1].frame+apart {
			return
		}
		if !music.Holds(at) {
			p = atQuiet
		}
		points = append(points, point{frame: f, at: at, place: p})
	}
	last := c.from
	reach := func(at film.SongTime) { // fills the way to the next beat where it is long
		n := int(math.Ceil(float64(at-last)/longBeat - 1e-9))
		for i := 1; i < n; i++ {
			add(last+(at-last)*film.SongTime(i)/film.SongTime(n), atOffBeat)
		}
		last = at
	}
	for i, b := range song.Beats {
		if b.At <= c.from || b.At >= c.to {
			continue
		}
		reach(b.At)
		add(b.At, starts[i])
	}
	reach(c.to)
	points = append(points, point{frame: c.end, at: c.to, place: atQuiet})
	points = addRests(points, song.Rests, c, anticipate)
	markWords(points, song)
	return points
}

// addRests puts a point at each rest; a beat that is a rest as well keeps its
// frame and gets the better place.
func addRests(points []point, rests []film.Rest, c clock, anticipate int) []point {
	for _, r := range rests {
		f := c.nearest(r.At) - film.Frames(anticipate)
		if f <= 0 || f >= c.end {
			continue
		}
		i := sort.Search(len(points), func(i int) bool { return points[i].frame >= f-1 })
		if i > 0 && i < len(points)-1 && points[i].frame <= f+1 {
			points[i].place = min(points[i].place, atRest)
			continue
		}
		if i == 0 || i == len(points) || points[i].frame <= f+1 {
			continue // beside the film's edges
		}
		points = slices.Insert(points, i, point{frame: f, at: r.At, place: atRest})
	}
	return points
}

// markWords finds the points inside sung words; where a word lies by estimate
// only, nothing is known.
func markWords(points []point, song *film.Song) {
	for _, l := range song.Lines {
		for _, w := range l.Words {
			if w.Estimated {
				continue
			}
			i := sort.Search(len(points), func(i int) bool { return points[i].at > w.Span.From+wordEdge })
			for ; i < len(points) && points[i].at < w.Span.To-wordEdge; i++ {
				points[i].word = true
			}
		}
	}
}

// musicOf returns where something is played; the whole record when that is not known.
func musicOf(song *film.Song) film.SongSpan {
	if song.Music.Len() > 0 {
		return song.Music
	}
	return film.SongSpan{To: song.Duration}
}

// sungOf returns the stretch from the first line to the end of the last; the
// music when there are no lines.
func sungOf(song *film.Song) film.SongSpan {
	if n := len(song.Lines); n > 0 {
		return film.SongSpan{From: song.Lines[0].Span.From, To: song.Lines[n-1].Span.To}
	}
	return musicOf(song)
}

// placesOf says of each beat what it is in the form.
func placesOf(song *film.Song) []place {
	p := make([]place, len(song.Beats))
	for i, b := range song.Beats {
		switch {
		case b.InBar == 0:
			p[i] = atDownbeat
		case song.BeatsPerBar%2 == 0 && b.InBar == song.BeatsPerBar/2:
			p[i] = atMidBar
		default:
			p[i] = atWeakBeat
		}
	}
	mark := func(at film.SongTime, as place) {
		i := sort.Search(len(p), func(i int) bool { return song.Beats[i].At > at-nearSection })
		if i < len(p) && song.Beats[i].At < at+nearSection && as < p[i] {
			p[i] = as
		}
	}
	for _, s := range song.Sections {
		mark(s.Span.From, atSection)
	}
	for _, l := range song.Lines {
		mark(l.Span.From, atLine)
	}
	return p
}

// find returns the index of the point at a frame.
func find(points []point, frame film.Frames) (i int, ok bool) {
	return slices.BinarySearchFunc(points, frame, func(p point, f film.Frames) int { return cmp.Compare(p.frame, f) })
}

// splitAt puts extra points at the given frames, as early before their moment
// as the others.
func splitAt(points []point, frames []film.Frames, c clock, anticipate int) []point {
	for _, f := range frames {
		i, ok := find(points, f)
		if ok || i == 0 || i == len(points) {
			continue
		}
		at := min(c.start(f+film.Frames(anticipate)), points[i].at)
		points = slices.Insert(points, i, point{frame: f, at: at, place: atOffBeat})
	}
	return points
}
