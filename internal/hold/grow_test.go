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
