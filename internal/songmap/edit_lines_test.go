package songmap

import (
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"

	"takeweave/internal/film"
)

// said writes the lines: their address, the number of their first beat, text.
func lineNames(s film.Song) []string {
	var out []string
	for i := range s.Lines {
		out = append(out, s.LineName(i))
	}
	return out
}

func texts(s film.Song) []string {
	var out []string
	for _, l := range s.Lines {
		out = append(out, l.Text)
	}
	return out
}

func TestLines(t *testing.T) {
	for _, c := range []struct {
		change Change
		words  string
		lines  []film.SongTime
		names  []string
	}{
		{SplitLine{1, 7.1}, "A1.2 split at its beat 5", []film.SongTime{1, 5, 7, 9, 13}, []string{"A1.1", "A1.2", "A1.3", "B1.1", "B1.2"}},
		{SplitLine{1, 5.1}, "A1.2 split at its beat 2", []film.SongTime{1, 5, 5.5, 9, 13}, []string{"A1.1", "A1.2", "A1.3", "B1.1", "B1.2"}},
		{SplitLine{3, 16.9}, "B1.2 split at its beat 8", []film.SongTime{1, 5, 9, 13, 16.5}, []string{"A1.1", "A1.2", "B1.1", "B1.2", "B1.3"}},
		{JoinLine{0}, "A1.1 joined with A1.2", []film.SongTime{1, 9, 13}, []string{"A1.1", "B1.1", "B1.2"}},
		{MoveLine{Line: 1, From: new(film.SongTime(4.1))}, "A1.2 begins 2 beats earlier", []film.SongTime{1, 4, 9, 13}, nil},
		{MoveLine{Line: 1, To: new(film.SongTime(9.4))}, "A1.2 ends 1 beat later", []film.SongTime{1, 5, 9.5, 13}, nil},
		{MoveLine{1, new(film.SongTime(10)), new(film.SongTime(11))}, "A1.2 ends 4 beats later and begins 10 beats later", []film.SongTime{1, 10, 11, 13}, nil},
	} {
		got, words := edited(t, fourLines(), c.change)
		if words != c.words || !same(lineStarts(got), c.lines) || c.names != nil && !slices.Equal(lineNames(got), c.names) {
			t.Errorf("%+v says %q, want %q; lines %v at %v, want %v at %v", c.change, words, c.words, lineNames(got), lineStarts(got), c.names, c.lines)
		}
	}
	for _, c := range []struct {
		change Change
		says   string
	}{
		{SplitLine{4, 3}, "line 5 is not in the song"},
		{SplitLine{1, 9}, "9.00 s does not lie in A1.2"},
		{JoinLine{1}, "A1.2 and B1.1 lie in two sections"},
		{JoinLine{3}, "B1.2 is the last line"},
		{MoveLine{Line: 1}, "A1.2 lies there already"},
		{MoveLine{Line: 1, From: new(film.SongTime(5.2))}, "A1.2 lies there already"},
		{MoveLine{Line: 1, From: new(film.SongTime(1))}, "A1.2 cannot begin at 1.00 s"},
		{MoveLine{Line: 1, From: new(film.SongTime(9))}, "A1.2 cannot begin at 9.00 s"},
		{MoveLine{Line: 0, From: new(film.SongTime(2))}, "the song begins with A1.1"},
		{MoveLine{Line: 3, To: new(film.SongTime(16))}, "the song ends with B1.2"},
		{LineText{7, "x"}, "line 8 is not in the song"},
		{LineText{0, ""}, "has that text already"},
	} {
		refused(t, fourLines(), c.change, c.says)
	}
}

func TestTextGoesWithItsLine(t *testing.T) {
	// Eight words of one syllable over beats 1 to 8 of A1.2, which the split at
	// its beat 5 halves.
	song, words := edited(t, fourLines(), LineText{1, "  the boat  goes out and does not come "})
	if words != "A1.2 is “the boat goes out and does not come”" {
		t.Error(words)
	}
	split, words := edited(t, song, SplitLine{1, 7})
	if want := []string{"", "the boat goes out", "and does not come", "", ""}; !cmp.Equal(texts(split), want) || words != "A1.2 split at its beat 5, before “and”" {
		t.Errorf("%q: %q", words, texts(split))
	}
	back, _ := edited(t, split, JoinLine{1})
	if back.Lines[1].Text != "the boat goes out / and does not come" {
		t.Error(back.Lines[1].Text)
	}
	// Between two texts it splits there, though syllables would say later.
	again, _ := edited(t, fourLines(), LineText{1, "gone / and does not ever come back here"}, SplitLine{1, 7})
	if again.Lines[1].Text != "gone" || again.Lines[2].Text != "and does not ever come back here" {
		t.Errorf("%q", texts(again))
	}
	// By the times of its words, when they are known: "the boat goes" is sung late.
	timed, _ := edited(t, fourLines(), Words{1, []film.Word{
		{Span: film.SongSpan{From: 6.9, To: 7.4}, Text: "the"}, {Span: film.SongSpan{From: 7.4, To: 8}, Text: "boat"}, {Span: film.SongSpan{From: 8, To: 8.5}, Text: "goes"},
	}}, SplitLine{1, 7.5})
	if timed.Lines[1].Text != "the" || timed.Lines[2].Text != "boat goes" || timed.Lines[2].Words[0].Span.From != 7.5 {
		t.Errorf("%+v", timed.Lines[1:3])
	}
}
