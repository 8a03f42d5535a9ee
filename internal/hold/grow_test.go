package hold

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"takeweave/internal/film"
)

// A span grown from pieces fits as the whole span does.
func TestSpansGrow(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		seg := &film.Segment{}
		knot := film.Knot{}
		for n := rapid.IntRange(2, 12).Draw(t, "knots"); n > 0; n-- {
			seg.Knots = append(seg.Knots, knot)
			knot.Song += film.SongTime(rapid.Float64Range(0.1, 2).Draw(t, "song"))
			knot.Pass += film.PassTime(rapid.Float64Range(0.1, 2).Draw(t, "pass"))
		}
		table := New(seg)
		tol := film.Tolerance{Late: 0.04, Early: 0.12}
		at := film.SongTime(rapid.Float64Range(-1, 5).Draw(t, "from"))
		from, low, high := at, math.Inf(1), math.Inf(-1)
		for n := rapid.IntRange(1, 6).Draw(t, "pieces"); n > 0; n-- {
			to := at + film.SongTime(rapid.Float64Range(0.05, 2).Draw(t, "piece"))
			l, h := table.Spread(film.SongSpan{From: at, To: to})
			low, high, at = math.Min(low, l), math.Max(high, h), to
		}
		whole := table.Best(film.SongSpan{From: from, To: at}, tol, 0)
		f, ok := Native(low, high, tol)
		if ok != whole.Within(tol) {
			t.Fatalf("grown fits: %v, whole: %+v", ok, whole)
		}
		for _, d := range []float64{f.Slip - whole.Slip, f.Late - whole.Late, f.Early - whole.Early, f.Speed - whole.Speed} {
			if math.Abs(d) > 1e-12 {
				t.Fatalf("grown %+v, whole %+v", f, whole)
			}
		}
	})
}

// A shot laid where Best lays it fits as well; 30 ms later it is as much later.
func TestShotsLaidElsewhere(t *testing.T) {
	seg := &film.Segment{Knots: []film.Knot{{Pass: 5, Song: 0}, {Pass: 10.1, Song: 5}, {Pass: 15, Song: 10}}}
	table, tol := New(seg), film.Tolerance{Late: 0.04, Early: 0.06}
	for _, speed := range []float64{0, 0.02} {
		span := film.SongSpan{From: 1, To: 8}
		best := table.Best(span, tol, speed)
		if got := table.At(span, best.Slip, best.Speed); math.Abs(got.Late-best.Late)+math.Abs(got.Early-best.Early) > 1e-9 {
			t.Errorf("got %+v, want %+v", got, best)
		}
		if got := table.At(span, best.Slip-0.03, best.Speed); math.Abs(got.Late-best.Late-0.03) > 1e-9 {
			t.Errorf("30 ms later: got %+v beside %+v", got, best)
		}
	}
}
