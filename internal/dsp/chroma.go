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
	from, to := max(LowestNote, LowestNote-shift), min(HighestNote, HighestNote-shift)
	var treble [Notes]float32 // the share of a note that goes to the treble
	for n := from; n <= to; n++ {
		treble[n-LowestNote] = float32(1 / (1 + math.Exp(-(float64(n)-57)/2)))
	}
	for i := range out.Rows() {
		row, in := (*[24]float32)(out.Row(i)), (*[Notes]float32)(notes.Row(i))
		class := from % 12
		for n := from; n <= to; n++ {
			v := in[n+shift-LowestNote]
			high := v * treble[n-LowestNote]
			row[class] += v - high
			row[12+class] += high
			if class++; class == 12 {
				class = 0
			}
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
