package lineup

import (
	"context"
	"math"

	"takeweave/internal/dsp"
)

const (
	elsewherePeaks = 10  // best other places that count
	elsewhereApart = 0.3 // seconds between two of them, and from where the pass was laid
)

// elsewhere says how alike the attacks of a stretch of the pass, in the timing in
// which it was laid, are to the record there and at other places: noise, room and
// instruments weigh on all alike, and so does what any two songs in one key share.
type elsewhere struct {
	here float64 // correlation where it was laid
	best float64 // mean of the same at the best other places
}

// compareElsewhere compares the pass times [l.passFrom, l.passTo) of a laid curve.
func compareElsewhere(ctx context.Context, t *recordTables, ears *listener, l laid) (elsewhere, error) {
	c := l.curve.between(l.passFrom, l.passTo)
	if len(c.pass) < 2 {
		return elsewhere{}, nil
	}
	const slack = 1.0 // seconds
	from, to := c.pass[0]-slack, c.pass[len(c.pass)-1]+slack
	f, err := ears.of(ctx, from, to)
	if err != nil {
		return elsewhere{}, err
	}
	first, n := dsp.Span(c.from, c.to(), attacksHz)
	alike := alikeRound(t.attacks, onSongClock(attacksOf(f.pitch.Part(from, to)), c, first, n))
	if len(alike) == 0 {
		return elsewhere{}, nil
	}
	out := elsewhere{here: float64(alike[0])}
	apart := min(int(elsewhereApart*attacksHz), (len(alike)-1)/2)
	for k := range apart + 1 {
		alike[k], alike[(len(alike)-k)%len(alike)] = 0, 0
	}
	peaks := dsp.TopPeaks(alike, elsewherePeaks, apart)
	for _, p := range peaks {
		out.best += float64(p.Value) / float64(len(peaks))
	}
	return out, nil
}

// alikeRound returns the correlation of all rows of the pass with the record's rows
// of the same numbers moved by 0, 1, 2... rows, the end of the record being followed
// by its beginning.
func alikeRound(record, pass *dsp.Series) []float32 {
	all, n := record.Rows(), pass.Rows()
	if all == 0 || n == 0 {
		return nil
	}
	cross := dsp.NewCorrelator(n, all)
	for d := range pass.Dim {
		cross.Add(column(pass, d), column(record, d))
	}
	sums := cross.Sum()
	energy := make([]float64, 2*all+1) // of the record played twice, up to a row
	for i := range 2 * all {
		r := record.Row(i % all)
		energy[i+1] = energy[i] + float64(dsp.Dot(r, r))
	}
	ofPass := 1.0 // a floor on the energies keeps silence from shouting
	for i := range n {
		ofPass += float64(dsp.Dot(pass.Row(i), pass.Row(i)))
	}
	out := make([]float32, all)
	for moved := range out {
		at := ((pass.First+moved)%all + all) % all // the record's row at the first of the pass
		dot := sums[at+n-1]
		if at+n > all { // and from the beginning on again
			dot += sums[at-all+n-1]
		}
		ofRecord := 1 + energy[min(at+n, 2*all)] - energy[at]
		out[moved] = float32(float64(dot) / math.Sqrt(ofRecord*ofPass))
	}
	return out
}

func column(s *dsp.Series, d int) []float32 {
	out := make([]float32, s.Rows())
	for i := range out {
		out[i] = s.Row(i)[d]
	}
	return out
}
