package dsp

import (
	"context"
	"math"
)

// The pitch range of the semitone bands: C2 to C7.
const (
	LowestNote  = 36
	HighestNote = 96
	Notes       = HighestNote - LowestNote + 1
)

// Span turns [from, to) seconds into the first row and the number of rows at hz.
func Span(from, to, hz float64) (first, count int) {
	first = int(math.Ceil(from*hz - 1e-9))
	return first, max(0, int(math.Ceil(to*hz-1e-9))-first)
}

// Semitones returns the power in the semitone bands LowestNote..HighestNote
// over [from, to) seconds, hz rows a second, from frames of size samples. The
// bands are raised by cents, so that an instrument tuned that much higher falls
// on their centres.
func Semitones(ctx context.Context, src Source, size int, hz, from, to, cents float64) (*Series, error) {
	return bankPower(ctx, src, NewSemitoneBank(size, src.Rate(), LowestNote, HighestNote, cents), size, hz, from, to)
}

// Bands returns the power in mel bands from 120 Hz to 9 kHz over [from, to)
// seconds, hz rows a second, from frames of size samples.
func Bands(ctx context.Context, src Source, bands, size int, hz, from, to float64) (*Series, error) {
	return bankPower(ctx, src, NewMelBank(size, src.Rate(), bands, 120, 9000), size, hz, from, to)
}

func bankPower(ctx context.Context, src Source, bank *Bank, size int, hz, from, to float64) (*Series, error) {
	first, count := Span(from, to, hz)
	out := NewSeries(hz, first, bank.Bands(), count)
	every := 1
	for every < 4 && bank.top() < LowBins(size, 2*every) {
		every *= 2
	}
	bands := make([][lanes]float32, bank.Bands())
	err := lanePower(ctx, src, size, every, hz, first, count, func(i, n int, power []float32) {
		bank.apply(bands, power)
		for l := range n {
			row := out.Row(i + l)
			for b := range row {
				row[b] = bands[b][l]
			}
		}
	})
	return out, err
}
