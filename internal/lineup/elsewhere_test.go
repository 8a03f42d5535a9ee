package lineup

import (
	"math"
	"math/rand/v2"
	"testing"

	"takeweave/internal/dsp"
)

// alikeAt is one value of alikeRound, worked out for itself.
func alikeAt(record, pass *dsp.Series, moved int) float64 {
	all := record.Rows()
	if all == 0 {
		return 0
	}
	dot, ofRecord, ofPass := 0.0, 1.0, 1.0 // a floor on the energies keeps silence from shouting
	at := ((pass.First+moved)%all + all) % all
	for i := range pass.Rows() {
		p, r := pass.Row(i), record.Row(at)
		dot += float64(dsp.Dot(p, r))
		ofPass += float64(dsp.Dot(p, p))
		ofRecord += float64(dsp.Dot(r, r))
		if at++; at == all {
			at = 0
		}
	}
	return dot / math.Sqrt(ofRecord*ofPass)
}

// All places at once give what each gives alone, for a pass of some rows in the
// middle, across the end, before the beginning and of all rows of the record.
func TestAlikeRoundIsAlikeAtEverywhere(t *testing.T) {
	r := rand.New(rand.NewPCG(4, 4))
	noise := func(first, rows int) *dsp.Series {
		s := dsp.NewSeries(attacksHz, first, 24, rows)
		for i := range s.Data {
			s.Data[i] = r.Float32()
		}
		return s
	}
	record := noise(0, 300)
	for _, pass := range []*dsp.Series{noise(40, 100), noise(250, 120), noise(-30, 80), noise(0, 300)} {
		got := alikeRound(record, pass)
		for moved, v := range got {
			if want := alikeAt(record, pass, moved); math.Abs(float64(v)-want) > 1e-4 { // single precision
				t.Fatalf("rows %d on, moved by %d: %v, alone %v", pass.First, moved, v, want)
			}
		}
	}
	// A piece of the record itself is alike by nearly 1 where it was cut out, and
	// nowhere else.
	piece := dsp.NewSeries(attacksHz, 10, 24, 90)
	copy(piece.Data, record.Data[60*24:])
	got := alikeRound(record, piece)
	best := 0
	for i, v := range got {
		if v > got[best] {
			best = i
		}
	}
	if best != 50 || got[best] < 0.99 {
		t.Errorf("a piece moved by 50 rows is found moved by %d, alike by %v", best, got[best])
	}
}
