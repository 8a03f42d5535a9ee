package dsp

import "math"

// FoldChroma returns 12 pitch classes (C = 0) from semitone values, using the
// notes D3 to F#6 (MIDI 50-90), raised by shift semitones, which gives the
// chroma of the same music shift semitones lower. Rows have length 1; rows
// quieter than 1e-3 are uniform.
func FoldChroma(notes *Series, shift int) *Series {
	const low, high = 50, 90 // below, rumble; above, hiss and overtones
	out := NewSeries(notes.Hz, notes.First, 12, notes.Rows())
	for i := range out.Rows() {
		row := out.Row(i)
		in := notes.Row(i)
		for n := low; n <= high; n++ {
			if k := n + shift - LowestNote; k >= 0 && k < Notes {
				row[n%12] += in[k]
			}
		}
		Normalise(row)
	}
	return out
}

// trebleShare is how much of a note goes to the treble half of a two-part
// chroma: a soft split at A3 (MIDI 57).
func trebleShare(note int) float32 {
	return float32(1 / (1 + math.Exp(-(float64(note)-57)/2)))
}

// FoldTwoPart returns 24 values a row: pitch classes of the bass, then of the
// treble, not normalised. shift is as in FoldChroma.
func FoldTwoPart(notes *Series, shift int) *Series {
	out := NewSeries(notes.Hz, notes.First, 24, notes.Rows())
	for n := LowestNote; n <= HighestNote; n++ {
		k := n + shift - LowestNote
		if k < 0 || k >= Notes {
			continue
		}
		treble := trebleShare(n)
		bassAt, trebleAt := n%12, 12+n%12
		for i := range out.Rows() {
			v := notes.Data[i*notes.Dim+k]
			row := out.Row(i)
			row[bassAt] += v * (1 - treble)
			row[trebleAt] += v * treble
		}
	}
	return out
}

// Normalise scales row to length 1; a row shorter than 1e-3 becomes uniform.
func Normalise(row []float32) {
	length := Norm(row)
	if length < 1e-3 {
		u := float32(1 / math.Sqrt(float64(len(row))))
		for i := range row {
			row[i] = u
		}
		return
	}
	for i := range row {
		row[i] /= length
	}
}

// Norm returns the Euclidean length of row.
func Norm(row []float32) float32 { return float32(math.Sqrt(float64(Dot(row, row)))) }

// Dot returns the inner product of two rows of equal length.
func Dot(a, b []float32) float32 { return dot(a, b) }

// Products returns the inner product of every row of a with every row of b: of
// rows i and j at i*b.Rows()+j.
func Products(a, b *Series) []float32 {
	n := b.Rows()
	columns := make([]float32, len(b.Data))
	for j := range n {
		for d, v := range b.Row(j) {
			columns[d*n+j] = v
		}
	}
	out := make([]float32, a.Rows()*n)
	for i := range a.Rows() {
		combine(out[i*n:(i+1)*n], columns, a.Row(i), n)
	}
	return out
}
