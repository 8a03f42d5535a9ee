package cut

import (
	"testing"

	"takeweave/internal/film"
)

func TestChangesInWords(t *testing.T) {
	song := fourPasses().Song
	cutOf := func(shots ...film.Shot) film.Cut {
		return film.Cut{Rate: at25, Frames: 800, Shots: shots}
	}
	shot := func(first, end film.Frames, pass string) film.Shot {
		return film.Shot{First: first, End: end, Pass: pass, SourceStart: film.PassTime(first) / 25, Speed: 1}
	}
	before := cutOf(shot(0, 199, "a"), shot(199, 300, "b"), shot(300, 500, "c"), shot(500, 800, "a"))
	slipped := shot(500, 800, "a")
	slipped.SourceStart += 0.08
	for _, c := range []struct {
		want  string
		after film.Cut
	}{
		{"nothing changed", before},
		{"1 shot swapped in V1.2", cutOf(shot(0, 199, "a"), shot(199, 300, "d"), shot(300, 500, "c"), shot(500, 800, "a"))},
		{"1 cut moved in V1.2", cutOf(shot(0, 199, "a"), shot(199, 312, "b"), shot(312, 500, "c"), shot(500, 800, "a"))},
		{"2 cuts moved, 1 shot swapped in V1.2 and C1.1", cutOf(shot(0, 199, "a"), shot(199, 312, "d"), shot(312, 512, "c"), shot(512, 800, "a"))},
		{"1 cut added, 1 shot swapped in C1.2", cutOf(shot(0, 199, "a"), shot(199, 300, "b"), shot(300, 500, "c"), shot(500, 700, "a"), shot(700, 800, "b"))},
		{"1 cut gone in V1.2", cutOf(shot(0, 199, "a"), shot(199, 500, "c"), shot(500, 800, "a"))},
		{"1 shot slipped in C1.2", cutOf(shot(0, 199, "a"), shot(199, 300, "b"), shot(300, 500, "c"), slipped)},
	} {
		if got := Changes(before, c.after, song).String(); got != c.want {
			t.Errorf("got %q, want %q", got, c.want)
		}
	}
}

// A pin heals: what it asks for changes, what lies far from it does not.
func TestHealingStaysNear(t *testing.T) {
	r := fourPasses()
	b, err := Prepare(r)
	if err != nil {
		t.Fatal(err)
	}
	before, err := b.Solve(t.Context(), nil)
	if err != nil {
		t.Fatal(err)
	}
	was := shownAt(before, 250)
	after, err := b.Solve(t.Context(), []film.Pin{{ID: 1, Kind: film.PinNotPass, Pass: was, Span: film.SongSpan{From: 8, To: 12}}})
	if err != nil {
		t.Fatal(err)
	}
	c := Changes(before, after, r.Song)
	if c.None() || c.Swapped == 0 {
		t.Errorf("%s is pinned out of 8 to 12 s, and %s", was, c)
	}
	t.Log(c)
}
