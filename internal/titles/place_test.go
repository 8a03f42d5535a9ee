package titles

import (
	"strings"
	"testing"

	"pgregory.net/rapid"

	"takeweave/internal/captions"
	"takeweave/internal/film"
)

var at25 = film.Rate{Num: 25, Den: 1}

// sung returns a song with a sung line in each span.
func sung(spans ...film.SongSpan) *film.Song {
	var s film.Song
	for _, span := range spans {
		s.Lines = append(s.Lines, film.Line{Span: span, Text: "slow ferry"})
	}
	return &s
}

// Times by hand at 25 frames a second: a quarter of a second is kept free of words,
// half a second are 13 frames.
func TestPlaceTitle(t *testing.T) {
	minute := captions.Film{Rate: at25, Frames: 1500}
	for _, c := range []struct {
		name    string
		song    *film.Song
		film    captions.Film
		letters int
		want    Stay
		refused string
	}{
		{"in the intro", sung(film.SongSpan{From: 12, To: 15}), minute, 27, Stay{7, 181, 13}, ""},
		{"just enough", sung(film.SongSpan{From: 3.6, To: 15}), minute, 27, Stay{7, 83, 13}, ""},
		{"more to read", sung(film.SongSpan{From: 6, To: 15}, film.SongSpan{From: 30, To: 40}), minute, 102, Stay{382, 556, 13}, ""},
		{"sung at once, between verses", sung(film.SongSpan{From: 1, To: 15}, film.SongSpan{From: 20, To: 40}), minute, 27, Stay{382, 493, 13}, ""},
		{"never free", sung(film.SongSpan{From: 1, To: 15}, film.SongSpan{From: 17, To: 40}), minute, 27, Stay{}, "3.0 s, and no more than 1.5 s"},
		{"not after the last word", sung(film.SongSpan{From: 1, To: 15}), minute, 27, Stay{}, "no room for the title"},
		{"an extract", sung(film.SongSpan{From: 1, To: 15}, film.SongSpan{From: 30, To: 40}), captions.Film{Rate: at25, From: 20, Frames: 500}, 27, Stay{7, 181, 13}, ""},
		{"an extract that begins in a line", sung(film.SongSpan{From: 18, To: 22}, film.SongSpan{From: 30, To: 40}), captions.Film{Rate: at25, From: 20, Frames: 500}, 27, Stay{57, 231, 13}, ""},
		{"no lyrics", &film.Song{Lines: []film.Line{{Span: film.SongSpan{From: 10, To: 15}}}}, minute, 27, Stay{}, "not known"},
	} {
		got, err := PlaceTitle(c.song, c.film, Card{Letters: c.letters})
		switch {
		case c.refused != "":
			if err == nil || !strings.Contains(err.Error(), c.refused) || film.HintOf(err) == "" {
				t.Errorf("%s: %+v, %v, want an error with %q", c.name, got, err, c.refused)
			}
		case err != nil || got != c.want:
			t.Errorf("%s: %+v, %v, want %+v", c.name, got, err, c.want)
		}
	}
}

// Words are where the voice is, not the whole line.
func TestWordsSayWhereIsSung(t *testing.T) {
	song := sung(film.SongSpan{From: 0, To: 20})
	song.Lines[0].Words = []film.Word{{Text: "slow", Span: film.SongSpan{From: 10, To: 11}}, {Text: "ferry", Span: film.SongSpan{From: 11, To: 12}}}
	f := captions.Film{Rate: at25, Frames: 1500}
	if s, err := PlaceTitle(song, f, Card{Letters: 20}); err != nil || s.First != 7 {
		t.Errorf("%+v, %v", s, err)
	}
	if s, err := PlaceCredits(song, f, []Card{{Letters: 20}}); err != nil || s[0].First != 307 {
		t.Errorf("%+v, %v", s, err)
	}
}

func TestPlaceCredits(t *testing.T) {
	song := sung(film.SongSpan{From: 10, To: 40})
	cards := []Card{{Letters: 170}, {Letters: 17}} // 11 s and 3 s
	// From 40.25 s; 19.75 s for what takes 14 s.
	got, err := PlaceCredits(song, captions.Film{Rate: at25, Frames: 1500}, cards)
	want := []Stay{{1007, 1394, 13}, {1395, 1500, 13}}
	if err != nil || len(got) != 2 || got[0] != want[0] || got[1] != want[1] {
		t.Errorf("%+v, %v, want %+v", got, err, want)
	}
	if got, err := PlaceCredits(song, captions.Film{Rate: at25, Frames: 1350}, cards); err == nil || !strings.Contains(err.Error(), "14.0 s, and no more than 13.8 s") {
		t.Errorf("%+v, %v, want no room", got, err)
	}
}

// Wherever cards stand, nobody sings, and they can be read.
func TestCardsAreReadAndNobodySings(t *testing.T) {
	rates := []film.Rate{at25, {Num: 30000, Den: 1001}, {Num: 24, Den: 1}}
	rapid.Check(t, func(t *rapid.T) {
		var song film.Song
		at := film.SongTime(0)
		for range rapid.IntRange(1, 8).Draw(t, "lines") {
			from := at + film.SongTime(rapid.Float64Range(0, 9).Draw(t, "rest"))
			at = from + film.SongTime(rapid.Float64Range(0.5, 6).Draw(t, "line"))
			song.Lines = append(song.Lines, film.Line{Span: film.SongSpan{From: from, To: at}, Text: "la"})
		}
		f := captions.Film{
			Rate:   rapid.SampledFrom(rates).Draw(t, "rate"),
			From:   film.SongTime(rapid.Float64Range(0, 5).Draw(t, "from")),
			Frames: film.Frames(rapid.IntRange(100, 3000).Draw(t, "frames")),
		}
		card := Card{Letters: rapid.IntRange(2, 150).Draw(t, "letters")}
		var stays []Stay
		if s, err := PlaceTitle(&song, f, card); err == nil {
			stays = append(stays, s)
		}
		if s, err := PlaceCredits(&song, f, []Card{card, card}); err == nil {
			stays = append(stays, s...)
		}
		last := film.Frames(0)
		for _, s := range stays {
			span := film.SongSpan{From: f.From + f.Rate.FrameStart(s.First), To: f.From + f.Rate.FrameStart(s.End)}
			if s.First < last || s.End > f.Frames {
				t.Fatalf("%+v of %d frames, after frame %d", s, f.Frames, last)
			}
			last = s.End
			for _, l := range song.Lines {
				if span.Overlap(l.Span) > 0 {
					t.Fatalf("%+v lies over %v", s, l.Span)
				}
			}
			// A frame may be lost at either end.
			if need := max(3, float64(card.Letters)/17+1); span.Len() < need-2*f.Rate.FrameSeconds() {
				t.Fatalf("%+v lasts %.2f s, reading takes %.2f", s, span.Len(), need)
			}
		}
	})
}

func TestOpacity(t *testing.T) {
	s := Stay{First: 10, End: 20, Fade: 3}
	for frame, want := range map[film.Frames]float64{9: 0, 10: 0.25, 11: 0.5, 12: 0.75, 13: 1, 16: 1, 17: 0.75, 19: 0.25, 20: 0} {
		if got := s.Opacity(frame); got != want {
			t.Errorf("frame %d: %g, want %g", frame, got, want)
		}
	}
}
