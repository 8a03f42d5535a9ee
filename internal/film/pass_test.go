package film

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

func TestSegmentMapsThereAndBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(2, 20).Draw(t, "knots")
		g := Segment{}
		p, s := rapid.Float64Range(0, 30).Draw(t, "p"), rapid.Float64Range(0, 30).Draw(t, "s")
		for range n {
			g.Knots = append(g.Knots, Knot{PassTime(p), SongTime(s)})
			p += rapid.Float64Range(0.05, 3).Draw(t, "dp")
			s += rapid.Float64Range(0.05, 3).Draw(t, "ds")
		}
		at := SongTime(rapid.Float64Range(-5, 100).Draw(t, "at"))
		if back := g.SongAt(g.PassAt(at)); math.Abs(float64(back-at)) > 1e-9*(1+math.Abs(float64(at))) {
			t.Fatalf("%v became %v", at, back)
		}
		for _, k := range g.Knots {
			if d := math.Abs(float64(g.PassAt(k.Song) - k.Pass)); d > 1e-9 {
				t.Fatalf("knot %v is off by %v", k, d)
			}
		}
	})
}

func TestSegmentWorkedExample(t *testing.T) {
	g := Segment{Knots: []Knot{{10, 0}, {14, 4}, {20, 8}}, ErrorMS: []float64{5, 20, 10}}
	for song, pass := range map[SongTime]PassTime{-1: 9, 0: 10, 2: 12, 6: 17, 8: 20, 9: 21} {
		if got := g.PassAt(song); got != pass {
			t.Errorf("PassAt(%v) = %v, want %v", song, got, pass)
		}
	}
	// Between two knots the larger bound counts.
	for song, want := range map[SongTime]float64{0: 5, 2: 20, 6: 20, 8: 20, 9: 10} {
		if got := g.ErrorAt(song); got != want {
			t.Errorf("ErrorAt(%v) = %v, want %v", song, got, want)
		}
	}
}

// ITU-R BT.1359-1 gives +45 ms (sound early, so picture late) and -125 ms as
// detectable: no setup may be looser.
func TestNoToleranceIsLooserThanTheRecommendation(t *testing.T) {
	for _, shows := range []Shows{ShowsUnknown, ShowsLips, ShowsHands, ShowsBoth, ShowsNeither} {
		for _, size := range []Size{SizeUnknown, SizeWide, SizeMid, SizeClose, SizeInsert} {
			tol := Setup{Shows: shows, Size: size}.SyncTolerance()
			if tol.Late > 0.045 || tol.Early > 0.125 || tol.Late <= 0 || tol.Early <= 0 {
				t.Errorf("%s %s: %+v", shows, size, tol)
			}
		}
	}
	if got := (Setup{Shows: ShowsHands, Size: SizeClose}).SyncTolerance(); got != (Tolerance{0.020, 0.020}) {
		t.Errorf("hands close up: %+v", got)
	}
	if got := (Setup{Shows: ShowsBoth, Size: SizeWide}).SyncTolerance(); got != (Tolerance{0.045, 0.080}) {
		t.Errorf("wide: %+v", got)
	}
}

func TestAgreementAt(t *testing.T) {
	a := Agreement{First: 20, Score: []float64{0.9, 0.2}, Why: []Why{WhyAgrees, WhyLate}, LateMS: []float64{0, 46}}
	if s, w, _ := a.At(1.0); s != 0.9 || w != WhyAgrees {
		t.Errorf("at 1.0: %v %v", s, w)
	}
	if s, w, late := a.At(1.0999); s != 0.2 || w != WhyLate || late != 46 {
		t.Errorf("at 1.0999: %v %v %v", s, w, late)
	}
	for _, outside := range []SongTime{0.9999, 1.1} {
		if _, w, _ := a.At(outside); w != WhyNotCovered {
			t.Errorf("at %v: %v", outside, w)
		}
	}
}

// Lips give a change of speed away sooner than hands: common practice.
func TestMaxSpeedChange(t *testing.T) {
	for shows, want := range map[Shows]float64{ShowsLips: 0.02, ShowsBoth: 0.02, ShowsUnknown: 0.02, ShowsHands: 0.04, ShowsNeither: 0.04} {
		if got := (Setup{Shows: shows}).MaxSpeedChange(); got != want {
			t.Errorf("%q: %v, want %v", shows, got, want)
		}
	}
}
