package songmap

import (
	"slices"
	"strings"
	"testing"

	"takeweave/internal/film"
)

// sectionNames writes each section with its letter and its beginning.
func sectionNames(s film.Song) (names []string, starts []film.SongTime) {
	for _, sec := range s.Sections {
		names = append(names, sec.Name+":"+sec.Letter)
		starts = append(starts, sec.Span.From)
	}
	return names, starts
}

func TestSections(t *testing.T) {
	for _, c := range []struct {
		changes []Change
		words   string
		names   string
		starts  []film.SongTime
		lines   string
	}{
		{[]Change{NameSection{1, " Chorus  1 "}}, "B1 is now called Chorus 1", "A1:A, Chorus 1:B", []film.SongTime{1, 9}, "A1.1 A1.2 Chorus 1.1 Chorus 1.2"},
		{[]Change{NameSection{1, "b1"}}, "B1 is now called b1", "A1:A, b1:B", []film.SongTime{1, 9}, "A1.1 A1.2 b1.1 b1.2"},
		{[]Change{SectionStart{Line: 1}}, "C1 begins with what was A1.2", "A1:A, C1:C, B1:B", []film.SongTime{1, 5, 9}, "A1.1 C1.1 B1.1 B1.2"},
		{[]Change{SectionStart{3, "A"}}, "A2 begins with what was B1.2", "A1:A, B1:B, A2:A", []film.SongTime{1, 9, 13}, "A1.1 A1.2 B1.1 A2.1"},
		{[]Change{SectionDrop{1}}, "B1 is part of A1 now", "A1:A", []film.SongTime{1}, "A1.1 A1.2 A1.3 A1.4"},
		{[]Change{SectionStart{3, "A"}, SectionDrop{2}}, "A2 is part of B1 now", "A1:A, B1:B", []film.SongTime{1, 9}, "A1.1 A1.2 B1.1 B1.2"},
		{[]Change{SectionDrop{1}, SectionStart{Line: 1}}, "B1 begins with what was A1.2", "A1:A, B1:B", []film.SongTime{1, 5}, "A1.1 B1.1 B1.2 B1.3"},
	} {
		got, words := edited(t, fourLines(), c.changes...)
		names, starts := sectionNames(got)
		if words != c.words || strings.Join(names, ", ") != c.names || !slices.Equal(starts, c.starts) || strings.Join(lineNames(got), " ") != c.lines {
			t.Errorf("%+v says %q: %q at %v, lines %q", c.changes, words, names, starts, lineNames(got))
		}
	}
	for _, c := range []struct {
		change Change
		says   string
	}{
		{NameSection{2, "x"}, "section 3 is not in the song"},
		{NameSection{0, "A1"}, "called A1 already"},
		{NameSection{0, "b1"}, "another section is called B1, from 9.00 s on"},
		{NameSection{0, " "}, "needs a name"},
		{NameSection{0, "12.5s"}, "reads as a time"},
		{NameSection{0, "nan"}, "reads as a time"},
		{NameSection{0, "A1/2"}, "reads as the address"},
		{NameSection{0, "B1.1"}, "reads as the address"},
		{NameSection{0, strings.Repeat("la", 31)}, "too long"},
		{SectionStart{Line: 2}, "begins with B1.1 already"},
		{SectionStart{1, "b"}, `"b" is no letter`},
		{SectionDrop{0}, "none before it"},
		{Pace{0, 0.2}, "cannot last 0.2 s"},
		{Pace{0, -1}, "cannot last -1 s"},
		{Pace{0, 0}, "has that pace already"},
	} {
		refused(t, fourLines(), c.change, c.says)
	}
}

func TestPace(t *testing.T) {
	song, words := edited(t, fourLines(), Pace{1, 2.5})
	if song.Sections[1].PaceS != 2.5 || words != "shots of about 2.5 s in B1" {
		t.Errorf("%q %+v", words, song.Sections)
	}
	// A part of a section keeps its pace.
	split, _ := edited(t, song, SectionStart{Line: 3})
	if split.Sections[2].PaceS != 2.5 {
		t.Errorf("%+v", split.Sections)
	}
	song, words = edited(t, song, Pace{1, 0})
	if song.Sections[1].PaceS != 0 || words != "the pace of B1 is left to the film" {
		t.Errorf("%q %+v", words, song.Sections)
	}
}
