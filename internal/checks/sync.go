package checks

import (
	"context"
	"fmt"
	"math"

	"takeweave/internal/dsp"
	"takeweave/internal/film"
)

// Stretch is a part of the film whose sync is measured: a line, or the part of
// one that a shot shows.
type Stretch struct {
	Name      string         // as said aloud
	Span      film.SongSpan  // on the clock of the record
	Tolerance film.Tolerance // of what the shot shows
}

// Lag is how far the passes' own sound lies from the record in a stretch.
type Lag struct {
	Name string        `json:"name"`
	Span film.SongSpan `json:"span"`
	// LateMS is positive where the pass, and so the picture, is late.
	LateMS  float64 `json:"late_ms"`
	ErrorMS float64 `json:"error_ms"` // about two standard errors
	// Why says why there is no lag; then both numbers mean nothing.
	Why string `json:"why,omitempty"`
}

const (
	syncBands   = 12
	syncReachS  = 0.25 // lags are sought up to here
	syncBlockS  = 0.5  // what is left out in turn to learn the error
	leastBlocks = 3
	// pitchWeight and bandWeight are those by which the line-up weighs them.
	bandWeight = 0.4
	// leastMatch is the least correlation that is believed: the same music
	// played again reaches 0.3 and more, other music stays below 0.12.
	leastMatch = 0.15
	// mostErrorMS is the largest error with which a lag is told.
	mostErrorMS = 60.0
)

// Lags measures, stretch by stretch, how late laid is against record. laid is the
// passes' own sound as the cut lays it, silence where there is none; both begin
// at the same place of the song. It errs as the sources do and when ctx is
// cancelled.
//
// The attacks of both are correlated, as in the line-up; leaving out half a
// second in turn (the jackknife) gives the error.
//
// Source: [Efron1982] for the jackknife.
func Lags(ctx context.Context, record, laid dsp.Source, stretches []Stretch) ([]Lag, error) {
	ofRecord, err := attacks(ctx, record)
	if err != nil {
		return nil, err
	}
	ofLaid, err := attacks(ctx, laid)
	if err != nil {
		return nil, err
	}
	out := make([]Lag, len(stretches))
	for i, s := range stretches {
		out[i] = lagOf(ofRecord, ofLaid, s)
	}
	return out, nil
}

// attacks returns the pitch and band flux of a sound side by side.
func attacks(ctx context.Context, src dsp.Source) (*dsp.Series, error) {
	seconds := dsp.Seconds(src)
	notes, err := dsp.Semitones(ctx, src, 2048, 10, 0, seconds, 0)
	if err != nil {
		return nil, err
	}
	dsp.SubtractFloor(notes)
	pitch, err := dsp.PitchFlux(ctx, src, 0, seconds, 0, dsp.Loudness(notes))
	if err != nil {
		return nil, err
	}
	bands, err := dsp.Bands(ctx, src, syncBands, 1024, 20, 0, seconds)
	if err != nil {
		return nil, err
	}
	dsp.SubtractFloor(bands)
	band, err := dsp.BandFlux(ctx, src, syncBands, 0, seconds, dsp.Loudness(bands))
	if err != nil {
		return nil, err
	}
	out := dsp.NewSeries(dsp.FluxHz, 0, pitch.Dim+band.Dim, int(seconds*dsp.FluxHz))
	weight := float32(math.Sqrt(bandWeight / syncBands))
	for i := range out.Rows() {
		row := out.Row(i)
		if k := i - pitch.First; k >= 0 && k < pitch.Rows() {
			copy(row, pitch.Row(k))
		}
		if k := i - band.First; k >= 0 && k < band.Rows() {
			for d, v := range band.Row(k) {
				row[pitch.Dim+d] = weight * v
			}
		}
	}
	return out, nil
}

// lagOf measures one stretch.
func lagOf(record, laid *dsp.Series, s Stretch) Lag {
	lag := Lag{Name: s.Name, Span: s.Span}
	reach := int(syncReachS * dsp.FluxHz)
	a := rows(record, s.Span, 0)
	b := rows(laid, s.Span, reach)
	n, width := a.Rows(), 2*reach+1
	block := int(syncBlockS * dsp.FluxHz)
	blocks := n / block
	if blocks < leastBlocks {
		lag.Why = fmt.Sprintf("shorter than %g s", leastBlocks*syncBlockS)
		return lag
	}
	products := dsp.LagProducts(a, b, width)
	sums := make([][]float64, blocks) // [block][lag]
	whole := make([]float64, width)
	for k := range sums {
		sums[k] = make([]float64, width)
		from, to := k*n/blocks, (k+1)*n/blocks
		for l := range width {
			for _, v := range products[l*n+from : l*n+to] {
				sums[k][l] += float64(v)
			}
			whole[l] += sums[k][l]
		}
	}
	energyA, energyB := energy(a, 0, n), energy(b, reach, reach+n)
	at := top(whole)
	match := whole[int(math.Round(at))] / math.Sqrt(energyA*energyB+1e-9)
	if match < leastMatch {
		lag.Why = "the pass's own sound has too little in common with the record"
		return lag
	}
	lag.LateMS = (at - float64(reach)) / dsp.FluxHz * 1000
	lag.ErrorMS = jackknife(whole, sums) / dsp.FluxHz * 1000
	if lag.ErrorMS > mostErrorMS {
		lag.Why = fmt.Sprintf("the attacks do not tell it nearer than %.0f ms", lag.ErrorMS)
	}
	return lag
}

// rows returns the rows of a span with more rows on both sides, zeros outside.
func rows(s *dsp.Series, span film.SongSpan, more int) *dsp.Series {
	first, n := dsp.Span(float64(span.From), float64(span.To), s.Hz)
	out := dsp.NewSeries(s.Hz, first-more, s.Dim, n+2*more)
	for i := range out.Rows() {
		if k := out.First + i - s.First; k >= 0 && k < s.Rows() {
			copy(out.Row(i), s.Row(k))
		}
	}
	return out
}

func energy(s *dsp.Series, from, to int) float64 {
	var sum float64
	for i := from; i < to; i++ {
		sum += float64(dsp.Dot(s.Row(i), s.Row(i)))
	}
	return sum
}

// top returns the place of the highest value, between values.
func top(y []float64) float64 {
	best := 0
	for i, v := range y {
		if v > y[best] {
			best = i
		}
	}
	if best == 0 || best == len(y)-1 {
		return float64(best)
	}
	offset, _ := dsp.Parabola(y[best-1], y[best], y[best+1])
	return float64(best) + offset
}

// jackknife returns two standard errors of the top of a sum, and half a row.
func jackknife(whole []float64, parts [][]float64) float64 {
	n := float64(len(parts))
	var sum, squares float64
	rest := make([]float64, len(whole))
	for _, p := range parts {
		for l := range rest {
			rest[l] = whole[l] - p[l]
		}
		at := top(rest)
		sum += at
		squares += at * at
	}
	variance := max(0, squares/n-sum*sum/n/n) * (n - 1)
	return 2*math.Sqrt(variance) + 0.5
}

// OfLags returns where the picture parts from the record by surely more than is
// tolerated. from is the song time at which film frame 0 begins.
func OfLags(lags []Lag, stretches []Stretch, rate film.Rate, from film.SongTime) Report {
	var r Report
	measured := 0
	for i, l := range lags {
		if l.Why != "" {
			r.NotChecked = append(r.NotChecked, Unchecked{InSync, l.Name + ": " + l.Why})
			continue
		}
		measured++
		limit, how := 1000*stretches[i].Tolerance.Late, "late"
		if l.LateMS < 0 {
			limit, how = 1000*stretches[i].Tolerance.Early, "early"
		}
		if math.Abs(l.LateMS)-l.ErrorMS > limit {
			first, end := rate.NearestFrame(l.Span.From-from), rate.NearestFrame(l.Span.To-from)
			r.Findings = append(r.Findings, Finding{InSync, first, end, fmt.Sprintf("the picture of %s is %.0f ms %s (±%.0f); %.0f are tolerated", l.Name, math.Abs(l.LateMS), how, l.ErrorMS, limit), l.LateMS, limit})
		}
	}
	if measured > 0 {
		r.Checked = []Kind{InSync}
	}
	return r
}
