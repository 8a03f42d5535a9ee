package songmap

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"takeweave/internal/film"
)

// Check returns what is wrong with a map, nil when nothing is. Of every map
// holds:
//
//   - the music lies within the record; the beats rise strictly, from 0 to before
//     the end of the music, and there is one at least;
//   - Beat.InBar counts from anywhere at the first beat, and then either goes on
//     by one or begins anew at 0, always below BeatsPerBar; Bars are just that;
//   - lines follow each other without gaps, each from a beat on, the first from
//     the first beat, the last to the end of the music; so do sections, each of
//     one line at least, and lines are numbered from 1 within them;
//   - sections have different names whatever the case of letters, and no negative
//     pace;
//   - the words of a line are those of its text, in order, within the line;
//   - rests rise strictly; rests and must-see spans lie in the record, and a
//     must-see span has a length and shows hands, lips or both.
//
// The error is a *film.Error with CodeFailed.
func Check(s film.Song) error {
	for _, check := range []func(film.Song) string{checkBeats, checkLines, checkSections, checkWords, checkMarks} {
		if wrong := check(s); wrong != "" {
			return &film.Error{Code: film.CodeFailed, Msg: "the map of the song is broken: " + wrong, Hint: "measure the record again"}
		}
	}
	return nil
}

func checkBeats(s film.Song) string {
	if !(s.Music.From >= 0 && s.Music.From < s.Music.To && s.Music.To <= s.Duration) {
		return fmt.Sprintf("the music from %g to %g s does not lie in a record of %g s", s.Music.From, s.Music.To, s.Duration)
	}
	if len(s.Beats) == 0 {
		return "it has no beats"
	}
	for i, b := range s.Beats {
		switch {
		case !(b.At >= 0 && b.At < s.Music.To):
			return fmt.Sprintf("beat %d at %g s lies outside the music", i+1, b.At)
		case i > 0 && !(b.At > s.Beats[i-1].At):
			return fmt.Sprintf("beat %d does not come after the one before", i+1)
		case b.InBar < 0 || b.InBar >= s.BeatsPerBar:
			return fmt.Sprintf("beat %d is counted as %d of %d", i+1, b.InBar+1, s.BeatsPerBar)
		case i > 0 && b.InBar != 0 && b.InBar != s.Beats[i-1].InBar+1:
			return fmt.Sprintf("beat %d is counted as %d after %d", i+1, b.InBar+1, s.Beats[i-1].InBar+1)
		}
	}
	if !slices.Equal(s.Bars, barsOf(s.Beats, s.Music)) {
		return "the bars are not those that the beats count"
	}
	return ""
}

func checkLines(s film.Song) string {
	if len(s.Lines) == 0 || len(s.Sections) == 0 {
		return "it has no lines or no sections"
	}
	at, section, number := s.Beats[0].At, 0, 0
	for i, l := range s.Lines {
		if l.Section == section+1 && number > 0 {
			section, number = section+1, 0
		}
		number++
		_, onBeat := slices.BinarySearchFunc(s.Beats, l.Span.From, beatBefore)
		switch {
		case l.Section != section || section >= len(s.Sections) || l.Number != number:
			return fmt.Sprintf("line %d is line %d of section %d, not %d of %d", i+1, l.Number, l.Section+1, number, section+1)
		case l.Span.From != at || !(l.Span.To > at):
			return fmt.Sprintf("line %d from %g to %g s does not follow the one before", i+1, l.Span.From, l.Span.To)
		case !onBeat:
			return fmt.Sprintf("line %d does not begin with a beat", i+1)
		}
		at = l.Span.To
	}
	if section != len(s.Sections)-1 {
		return fmt.Sprintf("section %d has no line", section+2)
	}
	if at != s.Music.To {
		return fmt.Sprintf("the lines end at %g s, the music at %g s", at, s.Music.To)
	}
	return ""
}

func beatBefore(b film.Beat, t film.SongTime) int { return cmp.Compare(b.At, t) }

func checkSections(s film.Song) string {
	at := s.Beats[0].At
	for i, sec := range s.Sections {
		first := slices.IndexFunc(s.Lines, func(l film.Line) bool { return l.Section == i })
		switch {
		case sec.Span.From != at || sec.Span.From != s.Lines[first].Span.From || !(sec.Span.To > at):
			return fmt.Sprintf("section %s from %g to %g s does not begin with its first line", sec.Name, sec.Span.From, sec.Span.To)
		case strings.TrimSpace(sec.Name) == "":
			return fmt.Sprintf("section %d has no name", i+1)
		case !(sec.PaceS >= 0):
			return fmt.Sprintf("section %s has a pace of %g s", sec.Name, sec.PaceS)
		}
		for _, other := range s.Sections[:i] {
			if strings.EqualFold(other.Name, sec.Name) {
				return fmt.Sprintf("two sections are called %s", sec.Name)
			}
		}
		at = sec.Span.To
	}
	if at != s.Music.To {
		return fmt.Sprintf("the sections end at %g s, the music at %g s", at, s.Music.To)
	}
	return ""
}

func checkWords(s film.Song) string {
	for i, l := range s.Lines {
		if len(l.Words) == 0 {
			continue
		}
		if !slices.Equal(textsOf(l.Words), wordsIn(l.Text)) {
			return fmt.Sprintf("the words of %s are not those of its text", s.LineName(i))
		}
		at := l.Span.From
		for _, w := range l.Words {
			if !(w.Span.From >= at && w.Span.To > w.Span.From && w.Span.To <= l.Span.To) {
				return fmt.Sprintf("the word %q of %s is not after the one before and within the line", w.Text, s.LineName(i))
			}
			at = w.Span.To
		}
	}
	return ""
}

func checkMarks(s film.Song) string {
	for i, r := range s.Rests {
		if !(r.At >= 0 && r.At <= s.Duration) || i > 0 && !(r.At > s.Rests[i-1].At) {
			return fmt.Sprintf("rest %d at %g s is not in the record, after the one before", i+1, r.At)
		}
	}
	for i, m := range s.MustSee {
		if !(m.Span.From >= 0 && m.Span.To > m.Span.From && m.Span.To <= s.Duration) {
			return fmt.Sprintf("must-see %d from %g to %g s is no stretch of the record", i+1, m.Span.From, m.Span.To)
		}
		if !mayBeSeen(m.Shows) || m.Before < 0 || m.After < 0 {
			return fmt.Sprintf("must-see %d shows %q, %d frames before and %d after", i+1, m.Shows, m.Before, m.After)
		}
	}
	return ""
}
