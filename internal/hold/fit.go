package hold

import (
	"math"
	"sort"

	"takeweave/internal/film"
)

// rounding is forgiven when a spread is compared with a tolerance: a
// nanosecond, far above float rounding and far below anything seen.
const rounding = 1e-9

// Fit is one shot laid on a span: it shows pass time
//
//	start of span + Slip + Speed × (song time - start of span).
type Fit struct {
	Slip  float64 // pass - song at the start of the span, seconds
	Speed float64 // pass seconds per song second; 1 is native
	Late  float64 // worst lateness of the picture left, seconds, at least 0
	Early float64 // worst earliness of the picture left, seconds, at least 0
}

// Within reports whether the fit keeps to the tolerance.
func (f Fit) Within(tol film.Tolerance) bool {
	return f.Late <= tol.Late+rounding && f.Early <= tol.Early+rounding
}

// Best returns the slip and the speed that keep a shot over span closest to
// the record, late and early weighed as tol allows them. maxSpeed is the
// greatest allowed |speed - 1|; 0 allows the native speed only. The native
// speed is kept unless it does not fit tol and another speed does: then it is
// the fitting one nearest to native. Where nothing fits, the native fit is
// returned, its Late and Early beyond tol.
//
// A span outside the segment is judged by the map's extension at slope 1.
// Native: O(log n) for n knots. With speed: a few passes over the knots inside
// the span.
func (t *Table) Best(span film.SongSpan, tol film.Tolerance, maxSpeed float64) Fit {
	from, to := float64(span.From), float64(span.To)
	lo, hi := t.extremes(from, to)
	if hi-lo > tol.Late+tol.Early+rounding && maxSpeed > 0 {
		if f, ok := t.Retimed(span, tol, maxSpeed); ok {
			return f
		}
	}
	return centre(lo, hi, 1, tol)
}

// centre shares the spread hi - lo of what parts between late and early.
func centre(lo, hi, speed float64, tol film.Tolerance) Fit {
	share := 0.5
	if whole := tol.Late + tol.Early; whole > 0 {
		share = tol.Late / whole
	}
	slip := hi - share*(hi-lo)
	return Fit{Slip: slip, Speed: speed, Late: max(0, hi-slip), Early: max(0, slip-lo)}
}

// speedChange finds the speed change s nearest to 0 that brings the spread of
// d(t) - s(t - from) down to width, and the least and greatest of that
// difference. ok is false when no |s| <= maxSpeed does.
//
// The spread is convex and piecewise linear in s. Its greatest and least
// points at the present s form a pair, and no s before the one that brings
// this pair down to width can fit; so s goes there and looks again, until the
// spread fits or the pair says that going on makes it worse (Newton's method
// on a convex function from the outside: it never oversteps the answer).
func (t *Table) speedChange(from, to, width, maxSpeed float64) (s, lo, hi float64, ok bool) {
	st := t.stretch(from, to)
	lo, hi, atLo, atHi := st.tilted(0)
	way := math.Copysign(1, atHi-atLo)
	for hi-lo > width+rounding {
		run := atHi - atLo
		if run*way <= 0 {
			return 0, 0, 0, false
		}
		s += (hi - lo - width) / run
		if math.Abs(s) > maxSpeed+rounding {
			return 0, 0, 0, false
		}
		lo, hi, atLo, atHi = st.tilted(s)
	}
	return s, lo, hi, true
}

// stretch is a span with what does not change while its speed is sought.
type stretch struct {
	from, to     float64
	atFrom, atTo float64   // d there
	song, part   []float64 // the knots between
}

func (t *Table) stretch(from, to float64) stretch {
	first, end := t.inside(from, to)
	return stretch{from: from, to: to, atFrom: t.partAt(from), atTo: t.partAt(to), song: t.song[first:end], part: t.part[first:end]}
}

// tilted returns the least and the greatest of d(t) - s(t - from) over the
// stretch, and where they are.
func (st stretch) tilted(s float64) (lo, hi, atLo, atHi float64) {
	lo, hi, atLo, atHi = st.atFrom, st.atFrom, st.from, st.from
	for i, at := range st.song {
		d := st.part[i] - s*(at-st.from)
		if d < lo {
			lo, atLo = d, at
		}
		if d > hi {
			hi, atHi = d, at
		}
	}
	d := st.atTo - s*(st.to-st.from)
	if d < lo {
		lo, atLo = d, st.to
	}
	if d > hi {
		hi, atHi = d, st.to
	}
	return lo, hi, atLo, atHi
}

// longestStep is how exactly Longest finds the end, in seconds: a microsecond,
// as film frames are counted.
const longestStep = 1e-6

// Longest returns how long a shot that starts at from stays within tol, in
// seconds: the hold of that moment. It never counts past the segment's end,
// where the map is not known; from there on it is 0. maxSpeed is as in Best.
func (t *Table) Longest(from film.SongTime, tol film.Tolerance, maxSpeed float64) (seconds float64) {
	start := float64(from)
	fits := func(to float64) bool {
		return t.Best(film.SongSpan{From: from, To: film.SongTime(to)}, tol, maxSpeed).Within(tol)
	}
	if start >= t.end {
		return 0
	}
	if fits(t.end) {
		return t.end - start
	}
	// A longer span never fits better: first the knot, then the place before it.
	first, _ := t.inside(start, t.end)
	k := first + sort.Search(len(t.song)-first, func(i int) bool { return !fits(t.song[first+i]) })
	good, bad := start, t.song[k]
	if k > first {
		good = t.song[k-1]
	}
	for bad-good > longestStep {
		if mid := (good + bad) / 2; fits(mid) {
			good = mid
		} else {
			bad = mid
		}
	}
	return good - start
}
