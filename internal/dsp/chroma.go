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

// FoldTwoPart returns 24 values a row: pitch classes of the bass, then of the
// treble, not normalised; the split at A3 (MIDI 57) is soft. shift is as in
// FoldChroma.
func FoldTwoPart(notes *Series, shift int) *Series {
	out := NewSeries(notes.Hz, notes.First, 24, notes.Rows())
	t := newTwoPart(shift)
	for i := range out.Rows() {
		t.fold(out.Row(i), notes.Row(i))
	}
	return out
}

// twoPart folds semitones into bass and treble.
type twoPart struct {
	shift, from, to int            // of the notes that are there when raised
	treble          [Notes]float32 // the share of a note that goes to the treble
}

func newTwoPart(shift int) *twoPart {
	t := &twoPart{shift: shift, from: max(LowestNote, LowestNote-shift), to: min(HighestNote, HighestNote-shift)}
	for n := range t.treble {
		t.treble[n] = float32(1 / (1 + math.Exp(-(float64(n+LowestNote)-57)/2)))
	}
	return t
}

// fold adds the semitones to dst, of 24 values.
func (t *twoPart) fold(dst, notes []float32) {
	row, in := (*[24]float32)(dst), (*[Notes]float32)(notes)
	class := t.from % 12
	for n := t.from; n <= t.to; n++ {
		v := in[n+t.shift-LowestNote]
		high := v * t.treble[n-LowestNote]
		row[class] += v - high
		row[12+class] += high
		if class++; class == 12 {
			class = 0
		}
	}
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
