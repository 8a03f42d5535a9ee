package songmap

import (
	"fmt"
	"math"
	"reflect"
	"slices"
	"strings"

	"takeweave/internal/film"
)

// leastStep is the shortest time from beat to beat that an edit may leave, in
// seconds: twice as fast as any tempo that Map looks for.
const leastStep = 0.1

// Apply returns song with e done to it and what was decided, in words: "beat 12
// (A1.2/4) moved 40 ms later". song itself is left as it is. What Check asks of
// song holds of the result as well.
//
// When e cannot be done, Apply returns song and a *film.Error with CodeUsage that
// names what cannot be done and why.
func Apply(song film.Song, e Edit) (film.Song, string, error) {
	if e.Change == nil {
		return song, "", badEdit("an edit has no kind", "give one of "+kindNames())
	}
	if err := Check(song); err != nil {
		return song, "", err
	}
	d := draftOf(song)
	words, err := e.apply(d)
	if err != nil {
		return song, "", err
	}
	d.rebuild()
	if err := Check(d.Song); err != nil {
		return song, "", err
	}
	if reflect.DeepEqual(d.Song, draftOf(song).Song) {
		return song, "", badEdit("the song is so already: "+words, "give another value")
	}
	return d.Song, strings.Join(append([]string{words}, d.also...), "; "), nil
}

// draft is a song while it is edited. Edits keep its beats, where its lines
// begin, and the section of each line; rebuild derives the rest.
type draft struct {
	film.Song
	also []string // what an edit brought with it, in words
}

// draftOf copies song, with everything in it that an edit may write to.
func draftOf(song film.Song) *draft {
	d := &draft{Song: song}
	d.Beats = slices.Clone(song.Beats)
	d.Bars = slices.Clone(song.Bars)
	d.Lines = slices.Clone(song.Lines)
	for i := range d.Lines {
		d.Lines[i].Words = slices.Clone(d.Lines[i].Words)
	}
	d.Sections = slices.Clone(song.Sections)
	d.Rests = slices.Clone(song.Rests)
	d.MustSee = slices.Clone(song.MustSee)
	return d
}

// rebuild makes bars of the beats, lets every line and section end where the
// next begins, numbers the lines, and keeps words within their lines.
func (d *draft) rebuild() {
	d.Bars = barsOf(d.Beats, d.Music)
	for i := range d.Lines {
		l := &d.Lines[i]
		l.Number = 1
		if i > 0 && d.Lines[i-1].Section == l.Section {
			l.Number = d.Lines[i-1].Number + 1
		}
		l.Span.To = d.Music.To
		if i+1 < len(d.Lines) {
			l.Span.To = d.Lines[i+1].Span.From
		}
		sec := &d.Sections[l.Section].Span
		if l.Number == 1 {
			sec.From = l.Span.From
		}
		sec.To = l.Span.To
	}
	for i := range d.Lines {
		d.keepWordsInside(i)
	}
}

// beatNear returns the place of the beat nearest to t; of two that are as near,
// the one that begins a bar.
func (d *draft) beatNear(t film.SongTime) int {
	const asNear = 0.001
	best, least := 0, math.Inf(1)
	for i, b := range d.Beats {
		far := math.Abs(float64(b.At - t))
		if b.InBar == 0 {
			far -= asNear
		}
		if far < least {
			best, least = i, far
		}
	}
	return best
}

// layLines lets the lines begin with the beats nearest to where they began, and
// says so of those that begin leastStep away or more. Each keeps one beat at least.
func (d *draft) layLines() error {
	n := len(d.Lines)
	if len(d.Beats) < n {
		return badEdit(fmt.Sprintf("%s cannot share %s", count(n, "line"), count(len(d.Beats), "beat")), "join lines first")
	}
	last, moved := -1, 0
	for i := range d.Lines {
		from := &d.Lines[i].Span.From
		was := *from
		beat := min(max(d.beatNear(*from), last+1), len(d.Beats)-n+i)
		if i == 0 {
			beat = 0
		}
		*from, last = d.Beats[beat].At, beat
		if math.Abs(float64(*from-was)) >= leastStep {
			moved++
		}
	}
	switch {
	case moved == 1:
		d.also = append(d.also, "1 line begins with another beat")
	case moved > 1:
		d.also = append(d.also, fmt.Sprintf("%d lines begin with other beats", moved))
	}
	return nil
}

// retempo measures the tempo anew, where there is one.
func (d *draft) retempo() {
	if d.TempoBPM > 0 {
		d.TempoBPM = tempoBPM(d.times())
	}
}

func (d *draft) times() []float64 {
	var out []float64
	for _, b := range d.Beats {
		out = append(out, float64(b.At))
	}
	return out
}

// place returns an error unless i is the place of one of n things.
func place(i, n int, what string) error {
	switch {
	case i >= 0 && i < n:
		return nil
	case n == 0:
		return badEdit(fmt.Sprintf("the song has no %s", what), "mark one first")
	}
	return badEdit(fmt.Sprintf("%s %d is not in the song", what, i+1), fmt.Sprintf("it has %s, at places 0 to %d", count(n, what), n-1))
}

// count says "1 beat", "3 beats".
func count(n int, what string) string {
	switch {
	case n == 1:
		return "1 " + what
	case what == "must-see":
		return fmt.Sprintf("%d must-see spans", n)
	}
	return fmt.Sprintf("%d %ss", n, what)
}

// later says how much later s seconds are: "40 ms later", "1.2 s earlier".
func later(s film.SongTime) string {
	word := "later"
	if s < 0 {
		s, word = -s, "earlier"
	}
	if s < 1 {
		return fmt.Sprintf("%.0f ms %s", float64(s)*1000, word)
	}
	return fmt.Sprintf("%.1f s %s", float64(s), word)
}
