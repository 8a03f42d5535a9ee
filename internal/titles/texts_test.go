package titles

import (
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/google/go-cmp/cmp"

	"takeweave/internal/captions"
	"takeweave/internal/film"
)

func TestTexts(t *testing.T) {
	song := &film.Song{Sections: []film.Section{
		{Name: "A1", Span: film.SongSpan{From: 8.2, To: 40}},
		{Name: "Chorus", Span: film.SongSpan{From: 40, To: 75.9}},
		{Name: "A2", Span: film.SongSpan{From: 75.9, To: 100}},
	}}
	got, err := TextsOf(ferry(), song, captions.Film{Rate: at25, Frames: 2500})
	if err != nil {
		t.Fatal(err)
	}
	want := Texts{
		Short: "Slow Ferry Home – Ilve Marrash. Written by: Maud Ferrow, Ilve Marrash. Recorded by: Jörn Østergård",
		Middle: "Slow Ferry Home – Ilve Marrash. Written by: Maud Ferrow, Ilve Marrash. Recorded by: Jörn Østergård. " +
			"Recording owned by: Ilve Marrash. Filmed by: Sorrel Vint. Place and date: Pier House, Vik, 2026-03-14. " +
			"With thanks to: Quenna Tarsk, Dov Pellimore, the harbour office",
		Full: `Slow Ferry Home – Ilve Marrash

Written by: Maud Ferrow, Ilve Marrash
Recorded by: Jörn Østergård
Recording owned by: Ilve Marrash
Filmed by: Sorrel Vint
Place and date: Pier House, Vik, 2026-03-14
With thanks to: Quenna Tarsk, Dov Pellimore, the harbour office

0:00 intro
0:08 A1
0:40 Chorus
1:15 A2

https://example.org/slow-ferry
`,
	}
	if d := cmp.Diff(want, got); d != "" {
		t.Error(d)
	}
}

func TestTextsSayOnlyWhatIsGiven(t *testing.T) {
	got, err := TextsOf(&Facts{Artist: "Ilve Marrash", Title: "Slow Ferry"}, &film.Song{}, captions.Film{Rate: at25, Frames: 100})
	const only = "Slow Ferry – Ilve Marrash"
	if want := (Texts{only, only, only + "\n"}); err != nil || got != want {
		t.Errorf("%q, %v, want %q", got, err, want)
	}
	if _, err := TextsOf(&Facts{}, &film.Song{}, captions.Film{}); film.CodeOf(err) != film.CodeUsage {
		t.Errorf("without facts: %v", err)
	}
}

func TestTextsKeepTheirLength(t *testing.T) {
	f := longNames()
	got, err := TextsOf(f, &film.Song{}, captions.Film{Rate: at25, Frames: 100})
	first := f.Title + " – " + f.Artist
	if err != nil || got.Short != first || utf8.RuneCountInString(first) < shortText {
		t.Errorf("short: %q, %v, want title and artist whole", got.Short, err)
	}
	if n := utf8.RuneCountInString(got.Middle); n > middleText || !strings.HasPrefix(got.Middle, first+". Written by") {
		t.Errorf("middle: %d characters, %q", n, got.Middle)
	}
	for _, name := range f.Thanks {
		if !strings.Contains(got.Full, name) {
			t.Errorf("full lacks %q", name)
		}
	}
}

func TestChapters(t *testing.T) {
	song := &film.Song{Sections: []film.Section{
		{Name: "A1", Span: film.SongSpan{From: 0.3, To: 40}},
		{Name: "B1", Span: film.SongSpan{From: 40, To: 40.4}},
		{Name: "C1", Span: film.SongSpan{From: 40.4, To: 3700}},
		{Name: "D1", Span: film.SongSpan{From: 3700, To: 3800}},
	}}
	for _, c := range []struct {
		name string
		film captions.Film
		want []string
	}{
		{"whole, two in one second", captions.Film{Rate: at25, Frames: 95000}, []string{"0:00 A1", "0:40 B1", "1:01:40 D1"}},
		{"an extract", captions.Film{Rate: at25, From: 30, Frames: 500}, []string{"0:00 A1", "0:10 B1"}},
	} {
		if d := cmp.Diff(c.want, chaptersOf(song, c.film)); d != "" {
			t.Errorf("%s: %s", c.name, d)
		}
	}
}
