package agree

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"takeweave/internal/dsp"
	"takeweave/internal/film"
)

// A shifted copy of random attacks: the shift is found everywhere.
func TestLagsOfACopy(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 5))
	const n, shift = 800, 7
	b := &beside{passAt: make([]float64, n)}
	for side := range 2 {
		b.pitch[side], b.band[side] = make([]row24, n), make([]row12, n)
	}
	for i := 0; i < n-shift-3; i += 5 + r.IntN(20) {
		d := r.IntN(24)
		for k, v := range []float32{0.5, 1, 0.5} {
			b.pitch[ofRecord][i+k][d] = 3 * v
			b.pitch[ofPass][i+k+shift][d] = 2 * v
		}
	}
	for i, l := range b.lags() {
		if math.Abs(l-shift) > 0.2 {
			t.Fatalf("row %d: lag %.2f rows, want %d", i, l, shift)
		}
	}
}

// Lags against the true ones on generated passes, without the echo that all of a
// pass has: half of the errors of a normal spread lie within 0.674 of it.
func TestLagSpread(t *testing.T) {
	var off []float64
	for seed := range uint64(3) {
		_, f := arranged(seed+30, player{mapError: 0.012})
		var own []float64
		a := judge(t, f, film.Setup{Shows: film.ShowsNeither})
		for i, ms := range a.LateMS {
			if at := (float64(a.First+i) + 0.5) * film.AgreementStep; a.Score[i] >= film.Agrees {
				own = append(own, ms-f.lateMS(at))
			}
		}
		middle := dsp.Median(slices.Clone(own))
		for _, ms := range own {
			off = append(off, math.Abs(ms-middle))
		}
	}
	if half := dsp.Median(off); half > 0.674*lagSpreadMS || half < 1 {
		t.Errorf("half of the lags are off by %.1f ms, want a spread of %.0f ms", half, lagSpreadMS)
	}
}

// The area under the curve of a published example: the scores 0.1, 0.4, 0.35,
// 0.8 of the classes 0, 0, 1, 1 give 0.75. Source: the user guide of the
// scikit-learn library, from memory; also 3 of the 4 pairs are in order.
func TestAreaUnderTheCurve(t *testing.T) {
	var data []moment
	for i, s := range []float64{0.1, 0.4, 0.35, 0.8} {
		data = append(data, moment{x: []float64{s}, y: float64(i / 2)})
	}
	if q := judgeOf(data, func(m moment) float64 { return m.x[0] }); q.auc != 0.75 {
		t.Errorf("area %v, want 0.75", q.auc)
	}
}

// The fit finds the weights that made the data.
func TestFitFindsTheWeights(t *testing.T) {
	r := rand.New(rand.NewPCG(6, 6))
	want := []float64{-1, 2, 0, 0.5}
	var data []moment
	for range 4000 {
		x := []float64{r.NormFloat64(), 3 + r.NormFloat64(), 2 * r.NormFloat64()}
		data = append(data, moment{x: x, y: weigh(want, x)}) // the chance itself as a soft target
	}
	for k, v := range fitRising(data, 1e-3, func(moment) float64 { return 1 }) {
		if math.Abs(v-want[k]) > 0.01 {
			t.Errorf("weight %d is %.3f, want %.3f", k, v, want[k])
		}
	}
}

func TestCommonShareWorkedExample(t *testing.T) {
	note := func(at float64, pitch int) heardNote { return heardNote{at: at, pitch: pitch} }
	a := []heardNote{note(1, 60), note(1.2, 64), note(1.4, 67), note(3, 60)}
	b := []heardNote{note(1.05, 60), note(1.2, 65), note(1.41, 67), note(1.42, 67)}
	// Within 0.75 s of 1.2: three against four notes, two in common.
	if got, want := commonShare(a, b, 1.2), 4.0/7; math.Abs(got-want) > 1e-12 {
		t.Errorf("share %v, want %v", got, want)
	}
	if got := commonShare(a, b, 10); !math.IsNaN(got) {
		t.Errorf("where nothing is played: %v", got)
	}
}
