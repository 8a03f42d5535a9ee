package agree

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"slices"
	"sort"
	"testing"

	"takeweave/internal/dsp"
	"takeweave/internal/film"
	"takeweave/internal/lineup"
)

// moment is one moment with what is true of it: 1 agrees, 0 not, between unclear.
type moment struct {
	x     []float64
	y     float64
	song  int
	kind  string
	heard bool // the pass sounds
}

// truth turns the share of common notes into how much a moment agrees: from 0.7
// fully, below 0.4 not at all.
func truth(common float64) float64 { return math.Min(1, math.Max(0, (common-0.4)/0.3)) }

// momentsOf generates one song and pass and returns its moments along the map that
// the line-up finds, every step-th.
func momentsOf(t *testing.T, seed uint64, step int) []moment {
	t.Helper()
	r := rand.New(rand.NewPCG(seed, 21))
	s := newTune(r, 20)
	f := s.shoot(r, anyPlayer(r, s.bars))
	ctx := context.Background()
	record, pass := listen(t, f.record), listen(t, f.pass)
	lu, err := lineup.Align(ctx, record, pass, nil)
	if err != nil {
		t.Fatal(err)
	}
	var all []*evidence
	for k := range lu.Segments {
		side, err := layBeside(ctx, record, pass, &lu.Segments[k], lu.Semitones)
		if err != nil {
			t.Fatal(err)
		}
		all = append(all, gather(side))
	}
	own := usual(all)
	span := f.lu.Segments[0].SongSpan()
	var out []moment
	for k, e := range all {
		played := f.heardAlong(&lu.Segments[k])
		for i := 0; i < len(e.moments); i += step {
			common := commonShare(f.meant, played, e.at(i))
			if !math.IsNaN(common) && span.Holds(film.SongTime(e.at(i))) && !e.rests(i) {
				out = append(out, moment{e.features(i, own), truth(common), int(seed), f.kind(e.at(i)), e.moments[i][heard] >= leastSounding})
			}
		}
	}
	return out
}

func listen(t testing.TB, x []float32) *lineup.Recording {
	t.Helper()
	r, err := lineup.Listen(context.Background(), dsp.Slice{Hz: rate, Samples: x}, nil)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// fit finds the weights of a logistic regression with soft targets and a ridge,
// by Newton's method on standardised features. counts says how much a moment counts.
func fit(data []moment, ridge float64, counts func(m moment) float64) []float64 {
	n := len(data[0].x)
	mean, sd := make([]float64, n), make([]float64, n)
	for _, m := range data {
		for k, v := range m.x {
			mean[k] += v / float64(len(data))
		}
	}
	for _, m := range data {
		for k, v := range m.x {
			sd[k] += (v - mean[k]) * (v - mean[k]) / float64(len(data))
		}
	}
	for k := range sd {
		sd[k] = math.Max(math.Sqrt(sd[k]), 1e-6)
	}
	w := make([]float64, n+1)
	for range 20 {
		gradient := make([]float64, n+1)
		curve := make([][]float64, n+1)
		for k := range curve {
			curve[k] = make([]float64, n+1)
			if k > 0 {
				gradient[k] = -ridge * w[k]
				curve[k][k] = ridge
			}
		}
		z := make([]float64, n+1)
		for _, m := range data {
			z[0] = 1
			sum := w[0]
			for k, v := range m.x {
				z[k+1] = (v - mean[k]) / sd[k]
				sum += w[k+1] * z[k+1]
			}
			p, c := 1/(1+math.Exp(-sum)), counts(m)
			for j := range z {
				gradient[j] += c * (m.y - p) * z[j]
				for k := range z {
					curve[j][k] += c * p * (1 - p) * z[j] * z[k]
				}
			}
		}
		for k, d := range solve(curve, gradient) {
			w[k] += d
		}
	}
	for k := range n {
		w[k+1] /= sd[k]
		w[0] -= w[k+1] * mean[k]
	}
	return w
}

// fitRising fits with every weight at least 0: more likeness never counts
// against. Features whose weight would be negative are left out, the worst first.
func fitRising(data []moment, ridge float64, counts func(m moment) float64) []float64 {
	n := len(data[0].x)
	kept := make([]int, n)
	for k := range kept {
		kept[k] = k
	}
	for {
		part := make([]moment, len(data))
		for i, m := range data {
			part[i] = m
			part[i].x = make([]float64, len(kept))
			for j, k := range kept {
				part[i].x[j] = m.x[k]
			}
		}
		w := fit(part, ridge, counts)
		worst := -1
		for j := range kept {
			if w[j+1] < 0 && (worst < 0 || w[j+1] < w[worst+1]) {
				worst = j
			}
		}
		if worst < 0 {
			out := make([]float64, n+1)
			out[0] = w[0]
			for j, k := range kept {
				out[k+1] = w[j+1]
			}
			return out
		}
		kept = slices.Delete(kept, worst, worst+1)
	}
}

// leaning is how doubtful moments are taught: rather too low than too high, since
// a wrong "it agrees" costs more than a wrong "it does not".
const leaning = 1.5

// train fits the weights: first with the unclear moments, of which there are few,
// counting three times, for them to come to lie between the others, and fills that
// leave less than 0.6 in common, which are fewer still, three times that; then the
// steepness of the whole with the unclear ones counting a quarter, for the clear
// ones to be calibrated.
func train(data []moment, ridge float64) []float64 {
	taught := slices.Clone(data)
	for i := range taught {
		taught[i].y = math.Pow(taught[i].y, leaning)
	}
	unclear := func(m moment) bool { return m.y > 0 && m.y < 1 }
	w := fitRising(taught, ridge, func(m moment) float64 {
		much := 1.0
		if unclear(m) {
			much *= 3
		}
		if m.kind == "busy" && m.y < math.Pow(truth(0.6), leaning) {
			much *= 3
		}
		return much
	})
	for i, m := range taught {
		taught[i].x = []float64{sum(w, m.x)}
	}
	steep := fit(taught, 0, func(m moment) float64 {
		if unclear(m) {
			return 0.25
		}
		return 1
	})
	for k := range w {
		w[k] *= steep[1]
	}
	w[0] += steep[0]
	return w
}

// solve solves a*x = b by elimination with row exchanges.
func solve(a [][]float64, b []float64) []float64 {
	n := len(b)
	for c := range n {
		p := c
		for r := c; r < n; r++ {
			if math.Abs(a[r][c]) > math.Abs(a[p][c]) {
				p = r
			}
		}
		a[c], a[p], b[c], b[p] = a[p], a[c], b[p], b[c]
		for r := c + 1; r < n; r++ {
			f := a[r][c] / a[c][c]
			for k := c; k < n; k++ {
				a[r][k] -= f * a[c][k]
			}
			b[r] -= f * b[c]
		}
	}
	x := make([]float64, n)
	for r := n - 1; r >= 0; r-- {
		x[r] = b[r]
		for k := r + 1; k < n; k++ {
			x[r] -= a[r][k] * x[k]
		}
		x[r] /= a[r][r]
	}
	return x
}

// quality is how well scores tell moments.
type quality struct{ auc, ece, brier, precision, recall float64 }

// judgeOf measures scores against the clear moments.
func judgeOf(data []moment, score func(m moment) float64) quality {
	type pair struct {
		s float64
		y bool
	}
	var all []pair
	var q quality
	var bins [10][3]float64
	var tp, fp, fn float64
	for _, m := range data {
		if m.y > 0 && m.y < 1 {
			continue
		}
		s, y := score(m), m.y == 1
		all = append(all, pair{s, y})
		k := min(9, int(s*10))
		bins[k][0]++
		bins[k][1] += s
		bins[k][2] += m.y
		q.brier += (s - m.y) * (s - m.y)
		switch {
		case s >= 0.5 && y:
			tp++
		case s >= 0.5:
			fp++
		case y:
			fn++
		}
	}
	n := float64(len(all))
	for _, b := range bins {
		q.ece += math.Abs(b[1]-b[2]) / n
	}
	q.brier /= n
	q.precision, q.recall = tp/math.Max(1, tp+fp), tp/math.Max(1, tp+fn)
	sort.Slice(all, func(i, j int) bool { return all[i].s < all[j].s })
	var ranks, pos float64
	for i, p := range all {
		if p.y {
			ranks, pos = ranks+float64(i+1), pos+1
		}
	}
	q.auc = (ranks - pos*(pos+1)/2) / (pos * (n - pos))
	return q
}

// TestRefit fits the weights anew on generated songs and prints the table for
// weights.go, with figures of songs left out; it runs only with
// TAKEWEAVE_REFIT=1.
func TestRefit(t *testing.T) {
	if os.Getenv("TAKEWEAVE_REFIT") == "" {
		t.Skip("set TAKEWEAVE_REFIT=1 to fit the weights anew (minutes)")
	}
	songs := 160
	fmt.Sscan(os.Getenv("TAKEWEAVE_SONGS"), &songs)
	var data []moment
	for seed := range uint64(songs) {
		data = append(data, momentsOf(t, seed+1000, 4)...)
	}
	const ridge, folds = 3.0, 8
	var out []moment
	for k := range folds {
		var most, rest []moment
		for _, m := range data {
			if m.song%folds == k {
				rest = append(rest, m)
			} else {
				most = append(most, m)
			}
		}
		w := train(most, ridge)
		for _, m := range rest {
			out = append(out, moment{[]float64{weigh(w, m.x)}, m.y, m.song, m.kind, m.heard})
		}
	}
	left := func(m moment) float64 { return m.x[0] }
	fmt.Printf("songs left out: %+v of %d moments\n", judgeOf(out, left), len(out))
	for _, kind := range append([]string{""}, kinds...) {
		var n, yes, said, bad, passed float64
		for _, m := range out {
			if m.kind != kind {
				continue
			}
			n, yes, said = n+1, yes+m.y, said+m.x[0]
			if m.y < 0.5 {
				bad++
				if m.x[0] >= film.Agrees {
					passed++
				}
			}
		}
		fmt.Printf("  %-12s %5.0f moments, agreeing %.2f, scored %.2f; %4.0f agree less than half, of these pass %.2f\n", kind, n, yes/n, said/n, bad, passed/bad)
	}
	w := train(data, ridge)
	print := func(name string, w []float64) {
		fmt.Println(name)
		for k, v := range w {
			fmt.Printf("\t%.4g, // %s\n", v, featureName(k))
		}
	}
	print("weights", w)
	print("missingWeights", trainReason(data, w, "thin", ridge))
	print("extraWeights", trainReason(data, w, "busy", ridge))
}

// trainReason fits what tells one kind of playing from all others that have other
// notes, over the moments that do not agree and are not taken to. The kind counts
// half as much as all the others together.
func trainReason(data []moment, w []float64, kind string, ridge float64) []float64 {
	var of []moment
	var same, all float64
	for _, m := range data {
		if m.y < 0.5 && weigh(w, m.x) < film.Agrees && m.heard && slices.Contains([]string{"wrong", "same chords", "other riff", "thin", "busy"}, m.kind) {
			m.y = 0
			if m.kind == kind {
				m.y = 1
				same++
			}
			all++
			of = append(of, m)
		}
	}
	return fit(of, ridge, func(m moment) float64 {
		if m.y == 1 {
			return 0.5 * (all - same) / same
		}
		return 1
	})
}

func featureName(k int) string {
	if k == 0 {
		return "constant"
	}
	return features[k-1].name
}
