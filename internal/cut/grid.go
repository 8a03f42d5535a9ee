package cut

import (
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
	calm  bool // before the first line or after the last: shots are longer here
}

const (
	longBeat    = 1.2  // seconds between cut points at most: a beat longer than that (50 a minute) is halved
	shortSlot   = 0.25 // seconds between cut points at least, the film's edges apart: about 8 frames at 30, the shortest readable shot. Common practice
	nearSection = 0.15 // seconds: a beat this near to where a section or line begins is its first
)

// cutPoints lists where cuts may fall, from frame 0 to frame end, each beat
// rounded to the film's frames by itself and then moved earlier by anticipate.
func cutPoints(song *film.Song, rate film.Rate, end film.Frames, anticipate int) []point {
	music := musicOf(song)
	sung := music
	if n := len(song.Lines); n > 0 {
		sung = film.SongSpan{From: song.Lines[0].Span.From, To: song.Lines[n-1].Span.To}
	}
	starts := placesOf(song)

	points := []point{{place: atQuiet, calm: true}}
	add := func(at film.SongTime, p place) {
		f := rate.NearestFrame(at) - film.Frames(anticipate)
		apart := film.Frames(math.Ceil(shortSlot * rate.PerSecond()))
		if f <= 0 || f >= end || len(points) > 1 && f < points[len(points)-1].frame+apart {
			return
		}
		if !music.Holds(at) {
			p = atQuiet
		}
		points = append(points, point{frame: f, at: at, place: p, calm: at < sung.From-nearSection || at >= sung.To-nearSection})
	}
	last := film.SongTime(0)
	reach := func(at film.SongTime) { // fills the way to the next beat where it is long
		n := int(math.Ceil(float64(at-last)/longBeat - 1e-9))
		for i := 1; i < n; i++ {
			add(last+(at-last)*film.SongTime(i)/film.SongTime(n), atOffBeat)
		}
		last = at
	}
	for i, b := range song.Beats {
		if b.At <= 0 || b.At >= song.Duration {
			continue
		}
		reach(b.At)
		add(b.At, starts[i])
	}
	reach(song.Duration)
	return append(points, point{frame: end, at: song.Duration, place: atQuiet, calm: true})
}

// musicOf returns where something is played; the whole record when that is not known.
func musicOf(song *film.Song) film.SongSpan {
	if song.Music.Len() > 0 {
		return song.Music
	}
	return film.SongSpan{To: song.Duration}
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

// splitAt puts extra points at the given frames, as early before their moment
// as the others.
func splitAt(points []point, frames []film.Frames, rate film.Rate, anticipate int) []point {
	for _, f := range frames {
		i := sort.Search(len(points), func(i int) bool { return points[i].frame >= f })
		if i == 0 || i == len(points) || points[i].frame == f {
			continue
		}
		at := min(rate.FrameStart(f+film.Frames(anticipate)), points[i].at)
		points = slices.Insert(points, i, point{frame: f, at: at, place: atOffBeat, calm: points[i].calm})
	}
	return points
}
