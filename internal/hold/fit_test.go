package hold

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"takeweave/internal/film"
)

func drawTolerance(t *rapid.T) film.Tolerance {
	return film.Tolerance{
		Late:  rapid.Float64Range(0.001, 0.045).Draw(t, "late"),
		Early: rapid.Float64Range(0.001, 0.125).Draw(t, "early"),
	}
}

// parting measures a fit by its definition: the worst late and early over a
// fine grid and all knots.
func parting(g *film.Segment, span film.SongSpan, f Fit) (late, early float64) {
	see := func(t film.SongTime) {
		shown := float64(span.From) + f.Slip + f.Speed*float64(t-span.From)
		d := float64(g.PassAt(t)) - shown
		late, early = math.Max(late, d), math.Max(early, -d)
	}
	at, _ := places(g, span)
	for _, t := range at {
		see(film.SongTime(t))
	}
	for i := 0; i <= 200; i++ {
		see(span.From + film.SongTime(span.Len()*float64(i)/200))
	}
	return late, early
}

// changes returns the speed changes under which the span fits, by looking at
// every pair of places: each pair bounds the change from both sides.
func changes(g *film.Segment, span film.SongSpan, tol film.Tolerance) (least, most float64) {
	at, d := places(g, span)
	width := tol.Late + tol.Early
	least, most = math.Inf(-1), math.Inf(1)
	for i := range at {
		for j := i + 1; j < len(at); j++ {
			run := at[j] - at[i]
			least = math.Max(least, (d[j]-d[i]-width)/run)
			most = math.Min(most, (d[j]-d[i]+width)/run)
		}
	}
	return least, most
}

func TestBestAgainstEveryPair(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		g := drawSegment(t)
		span := drawSpan(t, g)
		tol := drawTolerance(t)
		maxSpeed := rapid.SampledFrom([]float64{0, 0.005, 0.02, 0.04, 0.2}).Draw(t, "max speed")
		f := New(g).Best(span, tol, maxSpeed)

		late, early := parting(g, span, f)
		if math.Abs(late-f.Late) > sameSeconds || math.Abs(early-f.Early) > sameSeconds {
			t.Fatalf("%+v says late %g early %g, measured %g and %g", f, f.Late, f.Early, late, early)
		}
		// The share between late and early is the tolerance's own.
		if math.Abs(f.Late*tol.Early-f.Early*tol.Late) > sameSeconds {
			t.Fatalf("%+v is not in proportion to %+v", f, tol)
		}

		const edge = 1e-7 // of a speed: closer to the edge of fitting than this, either answer is right
		least, most := changes(g, span, tol)
		want, fits := 0.0, least <= 0 && most >= 0
		if !fits && least <= most {
			want = least
			if most < 0 {
				want = most
			}
			fits = math.Abs(want) <= maxSpeed
		}
		near := math.Abs(least-most) < edge || math.Abs(least) < edge || math.Abs(most) < edge || math.Abs(math.Abs(want)-maxSpeed) < edge
		switch {
		case near:
		case fits && !f.Within(tol):
			t.Fatalf("%+v does not fit %+v, but a change of %g does", f, tol, want)
		case !fits && f.Within(tol):
			t.Fatalf("%+v fits %+v, but no change may (%g..%g)", f, tol, least, most)
		case fits && math.Abs(f.Speed-1-want) > edge:
			t.Fatalf("speed change %g, want %g", f.Speed-1, want)
		case !fits && f.Speed != 1:
			t.Fatalf("nothing fits, yet the speed is %g", f.Speed)
		}
	})
}

func TestLongestIsWhereItStopsFitting(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		g := drawSegment(t)
		tol := drawTolerance(t)
		maxSpeed := rapid.SampledFrom([]float64{0, 0.02}).Draw(t, "max speed")
		from := drawSpan(t, g).From
		table := New(g)
		got := table.Longest(from, tol, maxSpeed)
		left := math.Max(0, float64(g.SongSpan().To-from))
		if got < 0 || got > left {
			t.Fatalf("longest from %g is %g, with %g s of the segment left", float64(from), got, left)
		}
		fits := func(seconds, forgiven float64) bool {
			span := film.SongSpan{From: from, To: from + film.SongTime(seconds)}
			least, most := changes(g, span, film.Tolerance{Late: tol.Late + forgiven, Early: tol.Early})
			return math.Max(least, -maxSpeed) <= math.Min(most, maxSpeed)
		}
		const step = 2e-6 // twice what Longest promises
		if got > step && !fits(got-step, 2*rounding) {
			t.Fatalf("does not fit for %g s", got-step)
		}
		if got < left-step && fits(got+step, 0) {
			t.Fatalf("still fits after %g s", got+step)
		}
	})
}

// A pass played 1 % slower than the record: d grows by 10 ms a second. By
// hand: 45 + 125 ms hold for 17 s, and the slip leaves 45 ms of late picture
// at the end and 125 ms of early picture at the start.
// Source: ITU-R BT.1359-1 [BT1359] for 45 and 125 ms.
func TestSteadySlowPassByHand(t *testing.T) {
	g := &film.Segment{Knots: []film.Knot{{Pass: 10, Song: 0}, {Pass: 50.4, Song: 40}}}
	tol := film.Tolerance{Late: 0.045, Early: 0.125}
	table := New(g)
	if got := table.Longest(3, tol, 0); math.Abs(got-17) > 2*longestStep {
		t.Errorf("longest: got %g s, want 17", got)
	}
	f := table.Best(film.SongSpan{From: 3, To: 20}, tol, 0)
	want := Fit{Slip: 10.03 + 0.125, Speed: 1, Late: 0.045, Early: 0.125}
	if math.Abs(f.Slip-want.Slip) > sameSeconds || f.Speed != 1 ||
		math.Abs(f.Late-want.Late) > sameSeconds || math.Abs(f.Early-want.Early) > sameSeconds {
		t.Errorf("best: got %+v, want %+v", f, want)
	}
	// Over 34 s the spread is 340 ms, twice too much: half the drift must go
	// into the speed, 0.5 %.
	f = table.Best(film.SongSpan{From: 3, To: 37}, tol, 0.02)
	if math.Abs(f.Speed-1.005) > sameSeconds || !f.Within(tol) {
		t.Errorf("with speed: got %+v, want speed 1.005 within tolerance", f)
	}
	if got := table.Longest(3, tol, 0.02); got != 37 {
		t.Errorf("longest with speed: got %g s, want all 37 left", got)
	}
}

// A steady pass (played to the loudspeaker) fits any tolerance, even none.
func TestSteadyPassNeedsNoTolerance(t *testing.T) {
	g := &film.Segment{Knots: []film.Knot{{Pass: 4.25, Song: 0}, {Pass: 104.25, Song: 100}}}
	f := New(g).Best(film.SongSpan{From: -1, To: 120}, film.Tolerance{}, 0.02)
	if want := (Fit{Slip: 4.25, Speed: 1}); f != want {
		t.Errorf("got %+v, want %+v", f, want)
	}
}
