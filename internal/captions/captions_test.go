package captions

import (
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"takeweave/internal/film"
)

var at25 = film.Rate{Num: 25, Den: 1}

func line(from, to film.SongTime, text string) film.Line {
	return film.Line{Span: film.SongSpan{From: from, To: to}, Text: text}
}

var wholeFilm = Film{Rate: at25, Frames: 25 * 60}

func TestMake(t *testing.T) {
	song := &film.Song{Lines: []film.Line{
		line(1, 4, "The harbour lamps are turning low"),
		line(4.2, 7, ""),
		line(7.1, 12, "and every rope we ever tied, it slips away before the slow ferry home"),
		line(12.2, 12.5, "Home"),
		line(20, 36, "Oh long and slow and long and slow and low"),
	}}
	got := Make(song, wholeFilm, Usual)
	var texts []string
	for _, c := range got {
		texts = append(texts, strings.Join(c.Rows, "|"))
	}
	want := []string{
		"The harbour lamps are turning low",
		"and every rope we ever tied,|it slips away before the slow ferry home",
		"Home",
	}
	if len(got) < 5 || !slices.Equal(texts[:3], want) {
		t.Fatalf("%q, want %q and the last line in pieces", texts, want)
	}
	if got[0].First != 25 || got[0].End != 100 || got[0].Line != 0 {
		t.Errorf("the first caption is %+v, want frames 25 to 100", got[0])
	}
	// 20 characters a second do not fit before the next; the gap is kept.
	if got[1].End != got[2].First-2 {
		t.Errorf("the second caption ends at %d, the next begins at %d", got[1].End, got[2].First)
	}
	// A short word stays as long as it takes to read.
	if got[2].First != 305 || got[2].End != 305+21 {
		t.Errorf("the third caption is %+v, want frames 305 to 326", got[2])
	}
	if joined := strings.Join(texts[3:], " "); joined != song.Lines[4].Text {
		t.Errorf("the long line became %q", joined)
	}
	if problems := Check(got, at25, Usual, nil); len(problems) != 0 {
		t.Errorf("what is made has problems: %+v", problems)
	}
}

func TestMakeOfAnExtract(t *testing.T) {
	song := &film.Song{Lines: []film.Line{line(1, 3, "before"), line(11, 13, "within"), line(40, 42, "after")}}
	got := Make(song, Film{Rate: at25, From: 10, Frames: 500}, Usual)
	if len(got) != 1 || got[0].First != 25 || got[0].End != 75 || got[0].Line != 1 {
		t.Errorf("%+v, want one caption, frames 25 to 75", got)
	}
}

func TestWordsGiveTheTimes(t *testing.T) {
	l := line(10, 20, "Slow, ferry home.")
	for _, w := range []struct {
		from, to film.SongTime
		text     string
	}{{12, 12.5, "Slow"}, {13, 13.6, "ferry"}, {14, 15, "home"}} {
		l.Words = append(l.Words, film.Word{Span: film.SongSpan{From: w.from, To: w.to}, Text: w.text})
	}
	got := Make(&film.Song{Lines: []film.Line{l}}, wholeFilm, Usual)
	if len(got) != 1 || got[0].First != 300 || got[0].End != 375 || got[0].Rows[0] != "Slow, ferry home." {
		t.Errorf("%+v, want frames 300 to 375 with the line's punctuation", got)
	}
}

// Whatever the lyrics, no word is lost and what is made keeps to the limits, but
// for what the song does not leave time for.
func TestAnyLyrics(t *testing.T) {
	chance := rand.New(rand.NewPCG(7, 8))
	for range 300 {
		var song film.Song
		var want []string
		at := film.SongTime(0)
		for range 1 + chance.IntN(6) {
			var words []string
			for range 1 + chance.IntN(20) {
				words = append(words, strings.Repeat("m", 1+chance.IntN(12)))
			}
			want = append(want, words...)
			to := at + film.SongTime(0.5+9*chance.Float64())
			song.Lines = append(song.Lines, line(at, to, strings.Join(words, " ")))
			at = to + film.SongTime(chance.Float64())
		}
		captions := Make(&song, Film{Rate: at25, Frames: at25.NearestFrame(at) + 50}, Usual)
		var got []string
		for _, c := range captions {
			got = append(got, strings.Fields(strings.Join(c.Rows, " "))...)
		}
		if !slices.Equal(got, want) {
			t.Fatalf("%q became %q", want, got)
		}
		for _, p := range Check(captions, at25, Usual, nil) {
			if p.Fault != TooFast && p.Fault != TooShort && p.Fault != NoGap {
				t.Fatalf("%+v: %+v", captions[p.Caption], p)
			}
		}
	}
}

func caption(first, end film.Frames, rows ...string) Caption {
	return Caption{First: first, End: end, Rows: rows}
}

func TestCheck(t *testing.T) {
	for _, c := range []struct {
		name     string
		captions []Caption
		want     []Fault
		number   float64
	}{
		{"good", []Caption{caption(0, 50, "The harbour lamps"), caption(52, 100, "are turning low")}, nil, 0},
		{"46 characters in 2 s", []Caption{caption(0, 50, "The harbour lamps are low", "and turning in fogs.")}, []Fault{TooFast}, 23},
		{"three rows", []Caption{caption(0, 100, "a", "b", "c")}, []Fault{TooManyRows}, 3},
		{"long row", []Caption{caption(0, 100, strings.Repeat("x", 43))}, []Fault{LongRow}, 43},
		{"marks on letters are not counted", []Caption{caption(0, 100, strings.Repeat("e\u0301", 42))}, nil, 0},
		{"short", []Caption{caption(0, 10, "home")}, []Fault{TooShort}, 0.4},
		{"long", []Caption{caption(0, 200, "home")}, []Fault{TooLong}, 8},
		{"no gap", []Caption{caption(0, 50, "home"), caption(51, 100, "home")}, []Fault{NoGap}, 1},
		{"over the next", []Caption{caption(0, 50, "home"), caption(48, 100, "home")}, []Fault{Overlap}, -2},
		{"empty", []Caption{caption(0, 50, " ")}, []Fault{Empty}, 0},
		{"backwards", []Caption{caption(50, 40, "home")}, []Fault{TooShort}, -0.4},
	} {
		var got []Fault
		for _, p := range Check(c.captions, at25, Usual, nil) {
			got = append(got, p.Fault)
			if d := p.Number - c.number; d > 0.01 || d < -0.01 || p.Caption != 0 {
				t.Errorf("%s: %+v, want the number %g", c.name, p, c.number)
			}
		}
		if !slices.Equal(got, c.want) {
			t.Errorf("%s: %v, want %v", c.name, got, c.want)
		}
	}
}

func TestPlace(t *testing.T) {
	hand := Box{X: 0.4, Y: 0.7, W: 0.2, H: 0.28}
	face := Box{X: 0.4, Y: 0.02, W: 0.2, H: 0.3}
	for _, c := range []struct {
		name  string
		seen  []Seen
		top   bool
		hides bool
	}{
		{"nothing known", nil, false, false},
		{"a hand below", []Seen{{0, 100, hand}}, true, false},
		{"a hand below, later", []Seen{{60, 100, hand}}, false, false},
		{"a face above", []Seen{{0, 100, face}}, false, false},
		{"a hand to the side", []Seen{{0, 100, Box{X: 0, Y: 0.7, W: 0.09, H: 0.3}}}, false, false},
		{"a face above, a hand below for a moment", []Seen{{0, 100, face}, {40, 60, hand}}, false, true},
	} {
		captions := []Caption{caption(0, 50, "The harbour lamps", "are turning low")}
		Place(captions, c.seen)
		if captions[0].Top != c.top {
			t.Errorf("%s: top %v, want %v", c.name, captions[0].Top, c.top)
		}
		hides := slices.ContainsFunc(Check(captions, at25, Usual, c.seen), func(p Problem) bool { return p.Fault == Hides })
		if hides != c.hides {
			t.Errorf("%s: hides %v, want %v", c.name, hides, c.hides)
		}
	}
}

func TestTheStrokeBetweenTwoLinesOfLyricsIsNotShown(t *testing.T) {
	song := &film.Song{Duration: 20, Lines: []film.Line{{Span: film.SongSpan{From: 2, To: 10}, Text: "Nets are hung / salt is shining"}}}
	for _, c := range Make(song, Film{Rate: film.Rate{Num: 25, Den: 1}, Frames: 500}, Usual) {
		for _, r := range c.Rows {
			if strings.Contains(r, "/") {
				t.Errorf("row %q", r)
			}
		}
	}
}
