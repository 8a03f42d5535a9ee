package hold

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"takeweave/internal/film"
)

// drawSegment makes a bending map: 2 to 40 knots, 0.05 to 2 s apart, local
// tempo within 20 % of the record.
func drawSegment(t *rapid.T) *film.Segment {
	n := rapid.IntRange(2, 40).Draw(t, "knots")
	song := rapid.Float64Range(-2, 5).Draw(t, "first song time")
	pass := rapid.Float64Range(0, 30).Draw(t, "first pass time")
	g := &film.Segment{}
	for i := 0; i < n; i++ {
		g.Knots = append(g.Knots, film.Knot{Pass: film.PassTime(pass), Song: film.SongTime(song)})
		step := rapid.Float64Range(0.05, 2).Draw(t, "step")
		song += step
		pass += step * rapid.Float64Range(0.8, 1.2).Draw(t, "slope")
	}
	return g
}

// drawSpan makes a span that may lie partly outside the segment.
func drawSpan(t *rapid.T, g *film.Segment) film.SongSpan {
	s := g.SongSpan()
	from := rapid.Float64Range(float64(s.From)-2, float64(s.To)+1).Draw(t, "from")
	return film.SongSpan{From: film.SongTime(from), To: film.SongTime(from + rapid.Float64Range(0.01, 12).Draw(t, "length"))}
}

// sameSeconds is the slack of comparisons with twins: float rounding over
// times below a few hundred seconds, with a thousandfold margin.
const sameSeconds = 1e-9

// places is the slow, obvious list of everything at which d can be extreme.
func places(g *film.Segment, span film.SongSpan) (at, d []float64) {
	add := func(t film.SongTime) {
		at = append(at, float64(t))
		d = append(d, float64(g.PassAt(t))-float64(t))
	}
	add(span.From)
	for _, k := range g.Knots {
		if k.Song > span.From && k.Song < span.To {
			add(k.Song)
		}
	}
	add(span.To)
	return at, d
}

func TestExtremesAgainstLookingEverywhere(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		g := drawSegment(t)
		span := drawSpan(t, g)
		lo, hi := New(g).extremes(float64(span.From), float64(span.To))
		_, d := places(g, span)
		wantLo, wantHi := math.Inf(1), math.Inf(-1)
		for _, v := range d {
			wantLo, wantHi = math.Min(wantLo, v), math.Max(wantHi, v)
		}
		if math.Abs(lo-wantLo) > sameSeconds || math.Abs(hi-wantHi) > sameSeconds {
			t.Fatalf("extremes over %v: got %g..%g, want %g..%g", span, lo, hi, wantLo, wantHi)
		}
	})
}
