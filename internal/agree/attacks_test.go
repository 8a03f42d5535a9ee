package agree

import (
	"math"
	"testing"

	"takeweave/internal/dsp"
)

// struck returns notes that start where they are told to, of the given strength,
// and die away by a tenth a row.
func struck(rows int, at map[[2]int]float32) *dsp.Series {
	s := dsp.NewSeries(toneHz, 0, dsp.Notes, rows)
	for k, v := range at {
		for i := k[0]; i < rows && v > 0.01; i++ {
			s.Row(i)[k[1]] = max(s.Row(i)[k[1]], v)
			v *= 0.9
		}
	}
	return s
}

func attacksOf(rises *dsp.Series) map[[2]int]bool {
	out := map[[2]int]bool{}
	for i := range rises.Rows() {
		for n := range dsp.Notes {
			if isAttack(rises, i, n) {
				out[[2]int{i, n}] = true
			}
		}
	}
	return out
}

// A note is one attack, in its own semitone and within 40 ms of its start; a click
// that raises all semitones alike is none.
func TestRisesOfNotesAndClicks(t *testing.T) {
	at := map[[2]int]float32{{20, 30}: 2, {45, 33}: 1.5, {45, 0}: 1.5}
	for n := range dsp.Notes {
		at[[2]int{70, n}] = 2
	}
	got := attacksOf(risesOf(struck(100, at)))
	if len(got) != 3 {
		t.Errorf("attacks %v, want 3", got)
	}
	for _, want := range [][2]int{{20, 30}, {45, 33}, {45, 0}} {
		near := false
		for d := -2; d <= 2; d++ {
			near = near || got[[2]int{want[0] + d, want[1]}]
		}
		if !near {
			t.Errorf("no attack at %v in %v", want, got)
		}
	}
}

// Of four attacks the other side has one in full 40 ms later, one half as strong
// as counts in full, one a semitone off and one 100 ms off.
func TestTallyWorkedExample(t *testing.T) {
	side, other := dsp.NewSeries(toneHz, 0, dsp.Notes, 60), dsp.NewSeries(toneHz, 0, dsp.Notes, 60)
	for k, v := range map[[2]int]float32{{10, 5}: 1, {20, 6}: 2, {30, 7}: 1, {40, 8}: 0.5, {50, 9}: 0.2} { // the last is too weak to be one
		side.Row(k[0])[k[1]] = v
	}
	for k, v := range map[[2]int]float32{{12, 5}: 1, {20, 6}: 0.5, {30, 8}: 1, {45, 8}: 0.5} {
		other.Row(k[0])[k[1]] = v
	}
	got := tallyOf(side, other)
	if c, s, both := got.count[60], got.strength[60], got.shared[60]; c != 4 || math.Abs(s-4.5) > 1e-6 || math.Abs(both-2) > 1e-6 {
		t.Errorf("%v attacks of strength %v, shared %v; want 4, 4.5 and 1 + 2/2", c, s, both)
	}
	if share, count := got.share(0, 15); count != 1 || math.Abs(share-1/1.5) > 1e-6 {
		t.Errorf("the first alone: share %v of %v", share, count)
	}
}

// The pass plays rows 200 to 300 with 9 dB more power than the rest.
func TestHarderBy(t *testing.T) {
	record, pass := map[[2]int]float32{}, map[[2]int]float32{}
	for i := 10; i < 390; i += 10 {
		k := [2]int{i, 5 + i*7%50}
		record[k], pass[k] = 3, 2
		if i >= 200 && i < 300 {
			pass[k] += 0.9 * math.Ln10
		}
	}
	notes := [2]*dsp.Series{struck(400, record), struck(400, pass)}
	dB, count := harderBy(risesOf(notes[0]), risesOf(notes[1]), notes)
	for _, c := range []struct {
		lo, hi int
		want   float64
	}{{0, 195, 0}, {205, 295, 9}, {305, 400, 0}} {
		n := count[c.hi] - count[c.lo]
		if got := (dB[c.hi] - dB[c.lo]) / n; n < 8 || math.Abs(got-c.want) > 0.01 { // float32
			t.Errorf("rows %d to %d: %.2f dB of %v attacks, want %v", c.lo, c.hi, got, n, c.want)
		}
	}
}
