package cut

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"takeweave/internal/film"
)

// Change is how one cut differs from another.
type Change struct {
	Moved   int      `json:"moved"`   // cuts that fall elsewhere now
	Added   int      `json:"added"`   // cuts that were not there
	Removed int      `json:"removed"` // cuts that are no longer there
	Swapped int      `json:"swapped"` // shots that show another pass, or another stretch of it
	Slipped int      `json:"slipped"` // shots that show the same pass at another moment or speed
	Where   []string `json:"where"`   // the lines of the song that changed, in order
}

// movedWithin is how far a cut may lie from where it was to count as moved, in
// seconds: beyond the length of a bar nobody sees the same cut in it.
const movedWithin = 2.0

// Changes tells how the cut after differs from the cut before. Both are of the
// same song and rate.
func Changes(before, after film.Cut, song *film.Song) Change {
	var c Change
	var touched []film.SongTime
	gone, come := differ(starts(before), starts(after)), differ(starts(after), starts(before))
	near := film.Frames(movedWithin * after.Rate.PerSecond())
	for _, f := range come {
		touched = append(touched, after.At(f))
		best := -1
		for i, g := range gone {
			if d := max(g-f, f-g); d <= near && (best < 0 || d < max(gone[best]-f, f-gone[best])) {
				best = i
			}
		}
		if best < 0 {
			c.Added++
			continue
		}
		c.Moved++
		gone = slices.Delete(gone, best, best+1)
	}
	c.Removed = len(gone)
	for _, f := range gone {
		touched = append(touched, before.At(f))
	}
	for _, s := range after.Shots {
		was := most(before, s)
		switch {
		case was.Pass != s.Pass || was.Segment != s.Segment || was.File != s.File:
			c.Swapped++
		case !sameMoment(before, was, after, s):
			c.Slipped++
		default:
			continue
		}
		touched = append(touched, after.At((s.First+s.End)/2))
	}
	c.Where = linesOf(touched, song)
	return c
}

// starts returns where the cuts fall.
func starts(c film.Cut) (out []film.Frames) {
	for _, s := range c.Shots {
		if s.First > 0 {
			out = append(out, s.First)
		}
	}
	return out
}

// differ returns what a has and b has not.
func differ(a, b []film.Frames) (out []film.Frames) {
	for _, f := range a {
		if !slices.Contains(b, f) {
			out = append(out, f)
		}
	}
	return out
}

// most returns the shot of a cut that had most of the frames of s.
func most(c film.Cut, s film.Shot) (best film.Shot) {
	frames := film.Frames(-1)
	for _, o := range c.Shots {
		if n := min(o.End, s.End) - max(o.First, s.First); n > frames {
			best, frames = o, n
		}
	}
	return best
}

// sameMoment reports whether two shots of one pass show the same at their
// common frames, to half a frame.
func sameMoment(before film.Cut, was film.Shot, after film.Cut, s film.Shot) bool {
	if was.Speed != s.Speed {
		return false
	}
	a := float64(was.SourceStart) - float64(before.At(was.First))*was.Speed
	b := float64(s.SourceStart) - float64(after.At(s.First))*s.Speed
	return math.Abs(a-b) < after.Rate.FrameSeconds()/2
}

// linesOf names the lines that hold some moments, each once, in order.
func linesOf(at []film.SongTime, song *film.Song) (out []string) {
	slices.Sort(at)
	for _, t := range at {
		name := song.Address(t)
		if i := song.LineAt(t + 0.02); i >= 0 { // a cut falls up to a frame before its line
			name = song.LineName(i)
		}
		if len(song.Lines) == 0 {
			name = fmt.Sprintf("%.0f s", float64(t))
		}
		if len(out) == 0 || out[len(out)-1] != name {
			out = append(out, name)
		}
	}
	return out
}

// None reports whether nothing changed.
func (c Change) None() bool { return c.Moved+c.Added+c.Removed+c.Swapped+c.Slipped == 0 }

// mostPlaces is how many lines are named before the rest is only counted.
const mostPlaces = 4

// String says the change in words: "2 cuts moved, 1 shot swapped in V2.4".
func (c Change) String() string {
	var parts []string
	say := func(n int, one, many string) {
		switch {
		case n == 1:
			parts = append(parts, "1 "+one)
		case n > 1:
			parts = append(parts, fmt.Sprintf("%d %s", n, many))
		}
	}
	say(c.Moved, "cut moved", "cuts moved")
	say(c.Added, "cut added", "cuts added")
	say(c.Removed, "cut gone", "cuts gone")
	say(c.Swapped, "shot swapped", "shots swapped")
	say(c.Slipped, "shot slipped", "shots slipped")
	if len(parts) == 0 {
		return "nothing changed"
	}
	s := strings.Join(parts, ", ")
	if n := len(c.Where); n > mostPlaces {
		return fmt.Sprintf("%s in %s and %d more places", s, strings.Join(c.Where[:mostPlaces], ", "), n-mostPlaces)
	}
	return s + " in " + inList(c.Where)
}
