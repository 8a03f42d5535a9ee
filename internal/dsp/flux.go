package dsp

import (
	"context"
	"math"
)

// FluxHz is the row rate of pitch and band flux.
const FluxHz = 200.0

// Rise returns, per column, how much s grew over the last lag seconds, where it
// fell 0. Row i compares the time half a lag after with half a lag before, so
// that the rise stands where the attack is.
func Rise(s *Series, lag float64) *Series {
	out := NewSeries(s.Hz, s.First, s.Dim, s.Rows())
	for i := range s.Rows() {
		s.rise(out.Row(i), i, lag)
	}
	return out
}

// rise writes row i of Rise to dst.
func (s *Series) rise(dst []float32, i int, lag float64) {
	k := max(1, int(math.Round(lag*s.Hz)))
	after := (k + 1) / 2
	rise(dst, s.Row(min(i+after, s.Rows()-1)), s.Row(max(i+after-k, 0)))
}

// LocalNorm divides every column of group (first, count) jointly by its root
// mean square over a sliding window of width seconds, which is not taken lower
// than floor.
func LocalNorm(s *Series, first, count int, width float64, floor float32) {
	n := s.Rows()
	half := int(math.Round(width * s.Hz / 2))
	sums := make([]float64, n+1)
	for i := range n {
		var e float64
		for _, v := range s.Row(i)[first : first+count] {
			e += float64(v) * float64(v)
		}
		sums[i+1] = sums[i] + e
	}
	for i := range n {
		a, b := max(0, i-half), min(n, i+half+1)
		rms := max(float32(math.Sqrt((sums[b]-sums[a])/float64(b-a))), floor)
		row := s.Row(i)[first : first+count]
		for d := range row {
			row[d] /= rms
		}
	}
}

// PitchFlux returns how strongly notes start over [from, to) seconds: 24 values
// (pitch classes of bass and treble) at FluxHz, of even strength over 3 s. loud
// is the Loudness of the recording's semitone power; cents as in Semitones (100
// to the semitone moves a capo). The median over 13 neighbouring semitones is
// taken off, which removes drums, clicks and speech bursts. Rows before and after
// the source are left out.
func PitchFlux(ctx context.Context, src Source, from, to, cents float64, loud float32) (*Series, error) {
	notes, err := Semitones(ctx, src, 2048, FluxHz, max(0, from-FloorMargin), min(Seconds(src), to+FloorMargin), cents)
	if err != nil {
		return nil, err
	}
	SubtractFloor(notes)
	Compress(notes, loud)
	notes = notes.Part(from-3, to+3)
	flux := NewSeries(notes.Hz, notes.First, 24, notes.Rows())
	around, fold := newNeighbours(notes.Dim), newTwoPart(0)
	for i := range notes.Rows() { // row by row: the rise of all is large
		notes.rise(around.in, i, 0.030)
		fold.fold(flux.Row(i), around.above())
	}
	LocalNorm(flux, 0, 24, 3, 0.02)
	return flux.Part(from, to), nil
}

// neighbours compares the semitones of a row with those around each.
type neighbours struct {
	in          []float32 // the row
	padded, out []float32
}

// newNeighbours prepares for rows of dim values.
func newNeighbours(dim int) *neighbours {
	const reach = peers / 2
	n := &neighbours{padded: make([]float32, dim+2*reach), out: make([]float32, dim)}
	n.in = n.padded[reach : reach+dim]
	// Beyond the ends lie, in turn, values above and below all others: however
	// many of them a window sees, its median is that of the rest.
	for i := range reach {
		beyond := float32(math.MaxFloat32)
		if i%2 == 1 {
			beyond = -beyond
		}
		n.padded[reach-1-i], n.padded[reach+dim+i] = beyond, beyond
	}
	return n
}

// above returns in less the upper median of the 13 semitones around each, of
// fewer at the ends, at least 0.
func (n *neighbours) above() []float32 {
	abovePeers(n.out, n.padded)
	return n.out
}

// BandFlux returns how strongly the sound rises in mel bands over [from, to)
// seconds at FluxHz, each band of even strength over 3 s. loud is the Loudness
// of the recording's band power. Rows before and after the source are left out.
func BandFlux(ctx context.Context, src Source, bands int, from, to float64, loud float32) (*Series, error) {
	power, err := Bands(ctx, src, bands, 1024, FluxHz, max(0, from-FloorMargin), min(Seconds(src), to+FloorMargin))
	if err != nil {
		return nil, err
	}
	SubtractFloor(power)
	Compress(power, loud)
	flux := Rise(power.Part(from-3, to+3), 0.015)
	for d := range flux.Dim {
		LocalNorm(flux, d, 1, 3, 0.02)
	}
	return flux.Part(from, to), nil
}
