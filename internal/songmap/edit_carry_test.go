package songmap

import (
	"fmt"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"takeweave/internal/film"
)

// written is fourLines with everything that a person gives to a song.
func written(t *testing.T) film.Song {
	song, _ := edited(t, fourLines(),
		Lyrics{"one boat\nout there\n\nhey now\nhey you"},
		Words{0, []film.Word{{Span: film.SongSpan{From: 1.5, To: 2}, Text: "one"}, {Span: film.SongSpan{From: 2, To: 3}, Text: "boat"}}},
		Words{Line: 1},
		NameSection{1, "Chorus"}, Pace{1, 3},
		MustSee{Where: "A1.2/2-4", Shows: film.ShowsHands, Text: "the run"},
		Rest{4.75, true}, Rest{At: 12.75})
	return song
}

func TestCarryOverToTheSameRecordLater(t *testing.T) {
	old := written(t)
	// The new version begins 0.75 s later; its map has the same form.
	fresh := moved(fourLines(), 0.75)
	got, words := CarryOver(old, fresh, func(t film.SongTime) (film.SongTime, bool) { return t + 0.75, true })
	if diff := cmp.Diff(moved(old, 0.75), got); diff != "" {
		t.Error(diff)
	}
	want := []string{
		"lines of text: 4 carried over", "B1 is now called Chorus", "names of sections: 1 carried over",
		"paces of sections: 1 carried over", "must-see spans: 1 carried over", "rests: 2 carried over",
	}
	if diff := cmp.Diff(want, words); diff != "" {
		t.Error(diff)
	}
}

// moved returns a song whose sound begins later.
func moved(s film.Song, by film.SongTime) film.Song {
	d := draftOf(s)
	move := func(s *film.SongSpan) { s.From, s.To = s.From+by, s.To+by }
	d.Duration += by
	move(&d.Music)
	for i := range d.Beats {
		d.Beats[i].At += by
	}
	for i := range d.Bars {
		move(&d.Bars[i].Span)
	}
	for i := range d.Lines {
		move(&d.Lines[i].Span)
		for k := range d.Lines[i].Words {
			move(&d.Lines[i].Words[k].Span)
		}
	}
	for i := range d.Sections {
		move(&d.Sections[i].Span)
	}
	for i := range d.MustSee {
		move(&d.MustSee[i].Span)
	}
	for i := range d.Rests {
		d.Rests[i].At += by
	}
	return d.Song
}

func TestCarryOverToAShorterRecord(t *testing.T) {
	old := written(t)
	// The new version has no A1.2, from 5 to 9 s.
	fresh, _ := edited(t, moved(fourLines(), 0), JoinLine{0})
	fresh.Music.To, fresh.Duration = 13, 14
	fresh.Beats = fresh.Beats[:24]
	d := draftOf(fresh)
	d.Lines[1].Span.From, d.Lines[2].Span.From = 5, 9
	d.rebuild()
	at := func(t film.SongTime) (film.SongTime, bool) {
		switch {
		case t < 5:
			return t, true
		case t < 9:
			return 0, false
		}
		return t - 4, true
	}
	got, words := CarryOver(old, d.Song, at)
	if err := Check(got); err != nil {
		t.Fatal(err)
	}
	if want := []string{"one boat", "hey now", "hey you"}; !cmp.Equal(texts(got), want) {
		t.Errorf("%q", texts(got))
	}
	for _, want := range []string{
		"lines of text: 1 not carried over, A1.2 “out there”",
		"must-see spans: 1 not carried over, the hands at A1.2/2, “the run”,",
		"rests: 2 carried over",
		"B1 is now called Chorus",
	} {
		if !strings.Contains(strings.Join(words, "\n"), want) {
			t.Errorf("%q lacks %q", words, want)
		}
	}
}

func TestCarryOverWhereLinesDiffer(t *testing.T) {
	old := written(t)
	// Two lines became one, and another name is taken.
	fresh, _ := edited(t, fourLines(), JoinLine{0}, NameSection{0, "chorus"})
	got, words := CarryOver(old, fresh, func(t film.SongTime) (film.SongTime, bool) { return t, true })
	if got.Lines[0].Text != "one boat / out there" || len(got.Lines[0].Words) != 4 {
		t.Errorf("%+v", got.Lines[0])
	}
	if !strings.Contains(strings.Join(words, "\n"), "names of sections: 1 not carried over, Chorus") {
		t.Errorf("%q", words)
	}
	if _, words := CarryOver(fourLines(), fresh, func(t film.SongTime) (film.SongTime, bool) { return t, true }); !cmp.Equal(words, []string{"there was nothing to carry over"}) {
		t.Errorf("%q", words)
	}
}

func TestCarryOverLeavesAValidSong(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		from, to := anySong(t), anySong(t)
		for range 20 {
			if next, _, err := Apply(from, anyEdit(t, from)); err == nil {
				from = next
			}
		}
		before, beforeTo := asJSON(t, from), asJSON(t, to)
		// A map with a gap, of any slope.
		slope := film.SongTime(rapid.Float64Range(0.5, 2).Draw(t, "slope"))
		shift := film.SongTime(rapid.Float64Range(-5, 5).Draw(t, "shift"))
		gap := film.SongTime(rapid.Float64Range(0, 20).Draw(t, "gap"))
		jump := film.SongTime(rapid.Float64Range(0, 5).Draw(t, "jump"))
		got, words := CarryOver(from, to, func(t film.SongTime) (film.SongTime, bool) {
			if t > gap && t < gap+jump {
				return 0, false
			}
			if t > gap {
				t += jump
			}
			return slope*t + shift, true
		})
		if err := Check(got); err != nil {
			t.Fatal(err)
		}
		if before != asJSON(t, from) || beforeTo != asJSON(t, to) {
			t.Fatal("altered its input")
		}
		all := strings.Join(words, "\n")
		// Every text is somewhere: on a line or named.
		for i, l := range from.Lines {
			onLine := false
			for _, n := range got.Lines {
				onLine = onLine || strings.Contains(n.Text, l.Text)
			}
			if !onLine && !strings.Contains(all, fmt.Sprintf("%s “%s”", from.LineName(i), l.Text)) {
				t.Fatalf("%q is lost: %s", l.Text, all)
			}
		}
	})
}
