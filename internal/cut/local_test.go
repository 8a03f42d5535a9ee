package cut

import (
	"context"
	"slices"
	"testing"

	"takeweave/internal/film"
)

// On a large film no local move makes the cut better: to shift a cut, to swap a
// pass, to split a shot, to merge two.
func TestNoLocalMoveHelps(t *testing.T) {
	for _, speed := range []float64{0, 0.02} {
		r := filmDay(240, 12)
		r.Options.MaxSpeed = speed
		r.Song.MustSee = []film.MustSee{{Span: film.SongSpan{From: 30, To: 33}, Shows: film.ShowsHands, Before: 10}}
		b, err := Prepare(r)
		if err != nil {
			t.Fatal(err)
		}
		bounds, err := b.bind([]film.Pin{{ID: 1, Kind: film.PinShowPass, Pass: r.Candidates[3].Pass, Span: film.SongSpan{From: 60, To: 63}}})
		if err != nil {
			t.Fatal(err)
		}
		s, err := b.solveBound(context.Background(), bounds)
		if err != nil {
			t.Fatal(err)
		}
		tried := 0
		try := func(what string, steps []step) {
			c, ok := priceOf(s.layout, bounds, steps)
			if !ok {
				return
			}
			tried++
			if c.less(s.cost) {
				t.Errorf("speed %g: %s makes it better: %+v instead of %+v", speed, what, c, s.cost)
			}
		}
		for n, st := range s.steps {
			swapped := func(p int) []step {
				steps := slices.Clone(s.steps)
				steps[n].p = p
				return steps
			}
			for p := range s.sources {
				try("a swap", swapped(p))
				for m := st.i + 1; m < st.j; m++ {
					first, second := st, st
					first.j, second.i, second.p = m, m, p
					try("a split", slices.Replace(slices.Clone(s.steps), n, n+1, first, second))
				}
			}
			if n == 0 {
				continue
			}
			for _, by := range []int{-4, -3, -2, -1, 1, 2, 3, 4} {
				steps := slices.Clone(s.steps)
				steps[n-1].j += by
				steps[n].i += by
				if m := steps[n].i; m > steps[n-1].i && m < st.j {
					try("a shifted cut", steps)
				}
			}
			for _, p := range []int{st.p, s.steps[n-1].p} {
				try("a merge", slices.Replace(slices.Clone(s.steps), n-1, n+1, step{p, s.steps[n-1].i, st.j}))
			}
		}
		if tried < 1000 {
			t.Errorf("only %d moves were possible", tried)
		}
		t.Logf("speed %g: %d shots, %d moves", speed, len(s.steps), tried)
	}
}
