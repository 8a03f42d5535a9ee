package songmap

import (
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"takeweave/internal/film"
)

// The division of words in English dictionaries, from memory, of words that are
// spelt as most are; "maybe" and "naïve" would come out with one.
func TestSyllables(t *testing.T) {
	for want, words := range map[int]string{
		1: "gone the love boats straight through I'm home, time tree me Ich",
		2: "little morning harbour table ferry alone forgive “window”",
		3: "tomorrow beautiful yesterday wonderful umbrella",
		4: "remembering anybody 東京都庁",
	} {
		for _, w := range strings.Fields(words) {
			if got := syllables(w); got != want {
				t.Errorf("%q has %d syllables, want %d", w, got, want)
			}
		}
	}
	for _, w := range []string{"…", "7", "'", ""} {
		if syllables(w) != 1 {
			t.Errorf("%q has %d syllables", w, syllables(w))
		}
	}
}

func TestWordsSpread(t *testing.T) {
	// A1.2 lasts from 5 to 9 s; 1 + 3 syllables: a second each.
	song, words := edited(t, fourLines(), LineText{1, "Sail, tomorrow …"}, Words{Line: 1})
	want := []film.Word{
		{Span: film.SongSpan{From: 5, To: 6}, Text: "Sail,", Estimated: true},
		{Span: film.SongSpan{From: 6, To: 9}, Text: "tomorrow", Estimated: true},
	}
	if diff := cmp.Diff(want, song.Lines[1].Words); diff != "" || words != "2 words of A1.2 spread over it by their syllables, as estimates" {
		t.Error(words, diff)
	}
	// Estimates follow the line: it now ends at 13 s, 2 s for each syllable.
	song, _ = edited(t, song, MoveLine{Line: 1, To: new(film.SongTime(12.5))})
	if w := song.Lines[1].Words; w[0].Span.To != 5+7.5/4 || w[1].Span.To != 12.5 {
		t.Errorf("%+v", w)
	}
	// Other words, as many: they keep their times; more: estimated anew.
	song, _ = edited(t, song, LineText{1, "Sails tomorrow"})
	if w := song.Lines[1].Words; len(w) != 2 || w[0].Text != "Sails" {
		t.Errorf("%+v", w)
	}
	song, words = edited(t, song, LineText{1, "one two three"})
	if w := song.Lines[1].Words; len(w) != 3 || w[0].Span.To != 7.5 || !strings.HasSuffix(words, "; the times of the words of A1.2 are estimates") {
		t.Errorf("%q %+v", words, w)
	}
	song, _ = edited(t, song, LineText{1, ""})
	if l := song.Lines[1]; l.Text != "" || l.Words != nil {
		t.Errorf("%+v", l)
	}
	refused(t, song, Words{Line: 1}, "A1.2 has no text")
}

func TestWordsWithTimes(t *testing.T) {
	given := []film.Word{{Span: film.SongSpan{From: 5.2, To: 5.6}, Text: "Oh"}, {Span: film.SongSpan{From: 8, To: 9}, Text: "love"}}
	song, words := edited(t, fourLines(), LineText{1, "Oh, love"}, Words{1, given})
	if diff := cmp.Diff(given, song.Lines[1].Words); diff != "" || song.Lines[1].Text != "Oh love" ||
		words != "2 words of A1.2 have their times; its text was “Oh, love” and is “Oh love”" {
		t.Error(words, diff)
	}
	// A beat moved: the last word is cut to the line.
	cut, words := edited(t, song, MoveBeat{16, 8.9})
	if w := cut.Lines[1].Words; w[1].Span.To != 8.9 || w[1].Estimated || strings.Contains(words, "estimates") {
		t.Errorf("%q %+v", words, w)
	}
	// The line ends before the last word: nothing is lost but its times.
	lost, words := edited(t, song, MoveLine{Line: 1, To: new(film.SongTime(7))})
	if w := lost.Lines[1].Words; len(w) != 2 || !w[1].Estimated || words != "A1.2 ends 4 beats earlier; the times of the words of A1.2 are estimates" {
		t.Errorf("%q %+v", words, w)
	}
	for _, c := range []struct {
		words []film.Word
		says  string
	}{
		{[]film.Word{{Span: film.SongSpan{From: 4, To: 6}, Text: "Oh"}}, `"Oh" from 4.00 to 6.00 s is not in A1.2`},
		{[]film.Word{given[1], given[0]}, `"Oh" from 5.20 to 5.60 s is not in A1.2, after the word before`},
		{[]film.Word{{Span: given[0].Span, Text: "Oh love"}}, "is not one word"},
		{[]film.Word{{Span: given[0].Span, Text: "…"}}, "is not one word"},
	} {
		refused(t, song, Words{1, c.words}, c.says)
	}
}
