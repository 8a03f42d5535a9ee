package songmap

import (
	"testing"

	"github.com/google/go-cmp/cmp"

	"takeweave/internal/film"
)

func TestMustSeeEdits(t *testing.T) {
	song, words := edited(t, fourLines(), MustSee{Where: "A1.2/2-4", Shows: film.ShowsHands, After: 12, Text: "the  run", Matches: 3})
	want := []film.MustSee{{Span: film.SongSpan{From: 5.5, To: 7}, Shows: film.ShowsHands, After: 12, Text: "the run", Matches: 3}}
	if diff := cmp.Diff(want, song.MustSee); diff != "" || words != "the hands at A1.2/2, “the run”, must be seen" {
		t.Error(words, diff)
	}
	song, words = edited(t, song, MustSee{Index: new(0), Span: &film.SongSpan{From: 9, To: 10}, Shows: film.ShowsBoth})
	want = []film.MustSee{{Span: film.SongSpan{From: 9, To: 10}, Shows: film.ShowsBoth}}
	if diff := cmp.Diff(want, song.MustSee); diff != "" || words != "hands and lips at B1.1/1 must be seen" {
		t.Error(words, diff)
	}
	for _, c := range []struct {
		change Change
		says   string
	}{
		{MustSee{Shows: film.ShowsLips}, "where or span"},
		{MustSee{Where: "A1", Span: &film.SongSpan{From: 1, To: 2}, Shows: film.ShowsLips}, "where or span"},
		{MustSee{Where: "Z9", Shows: film.ShowsLips}, `"Z9" is no section`},
		{MustSee{Where: "3", Shows: film.ShowsLips}, "3.00 to 3.00 s is no stretch"},
		{MustSee{Span: &film.SongSpan{From: 17, To: 19}, Shows: film.ShowsLips}, "17.00 to 19.00 s is no stretch"},
		{MustSee{Where: "A1", Shows: film.ShowsNeither}, `see "neither"`},
		{MustSee{Where: "A1", Shows: film.ShowsLips, Before: -1}, "-1 frames before"},
		{MustSee{Where: "A1", Shows: film.ShowsLips, Index: new(1)}, "must-see 2 is not in the song"},
		{MustSee{Span: &film.SongSpan{From: 9, To: 10}, Shows: film.ShowsBoth, Index: new(0)}, "is so already"},
		{DropMustSee{1}, "must-see 2 is not in the song"},
	} {
		refused(t, song, c.change, c.says)
	}
	song, words = edited(t, song, DropMustSee{0})
	if len(song.MustSee) != 0 || words != "hands and lips at B1.1/1 need not be seen" {
		t.Errorf("%q %+v", words, song.MustSee)
	}
}

func TestRestEdits(t *testing.T) {
	song, _ := edited(t, fourLines(), Rest{At: 9.25}, Rest{4.75, true}, Rest{At: 17.5})
	want := []film.Rest{{At: 4.75, Breath: true}, {At: 9.25}, {At: 17.5}}
	if diff := cmp.Diff(want, song.Rests); diff != "" {
		t.Error(diff)
	}
	song, words := edited(t, song, Rest{9.2, true})
	if song.Rests[1] != (film.Rest{At: 9.25, Breath: true}) || words != "the rest at B1.1/1 is a breath" {
		t.Errorf("%q %+v", words, song.Rests)
	}
	refused(t, song, Rest{9.2, true}, "a breath is marked at 9.25 s already")
	refused(t, song, Rest{At: 18.5}, "18.50 s lies outside the song")
	refused(t, song, DropRest{3}, "rest 4 is not in the song")
	song, words = edited(t, song, DropRest{0})
	if len(song.Rests) != 2 || words != "the rest at A1.1/8 is gone" {
		t.Errorf("%q %+v", words, song.Rests)
	}
	refused(t, fourLines(), DropRest{0}, "the song has no rest")
}
