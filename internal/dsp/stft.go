package dsp

import (
	"context"
	"math"
)

// Hann returns the periodic Hann window of n samples.
func Hann(n int) []float32 {
	w := make([]float32, n)
	for i := range w {
		w[i] = float32(0.5 - 0.5*math.Cos(2*math.Pi*float64(i)/float64(n)))
	}
	return w
}

// readBlock is how many samples are read from a source at a time.
const readBlock = 1 << 16

// PowerFrames calls visit with the power spectrum (size/2+1 bins) of count
// Hann-windowed frames of size samples. Frame i is centred on sample
// round((first+i)*rate/hz); sound outside the source is silence. The spectrum
// is reused between calls. It stops at the first error and when ctx is done.
func PowerFrames(ctx context.Context, src Source, size int, hz float64, first, count int, visit func(i int, power []float32)) error {
	return LowPowerFrames(ctx, src, size, 1, hz, first, count, visit)
}

// LowPowerFrames is PowerFrames at a fraction of the cost for those who need low
// frequencies only: it gives the lowest size/2/every+1 bins, of which LowBins are
// good, and centres frames on the nearest every-th sample.
func LowPowerFrames(ctx context.Context, src Source, size, every int, hz float64, first, count int, visit func(i int, power []float32)) error {
	if count <= 0 {
		return nil
	}
	size /= every
	low := newLowering(every)
	fft, window := NewFFT(size), Hann(size)
	var gain float64
	for _, w := range window {
		gain += float64(w)
	}
	scale := float32(2 / gain) // a sine of amplitude 1 gets power 1
	for i := range window {
		window[i] *= scale
	}
	frame, power := make([]float32, size), make([]float32, size/2+1)
	block := make([]float32, readBlock/every+size)
	raw := block
	if every > 1 {
		raw = make([]float32, len(block)*every+2*low.margin())
	}
	blockAt, blockEnd := 0, 0
	step := float64(src.Rate()) / hz / float64(every)
	for i := range count {
		from := int(math.Round(float64(first+i)*step)) - size/2
		if from < blockAt || from+size > blockEnd {
			if err := ctx.Err(); err != nil {
				return err
			}
			blockAt, blockEnd = from, from+len(block)
			if every > 1 {
				if err := src.Read(raw, from*every-low.margin()); err != nil {
					return err
				}
				low.lower(block, raw)
			} else if err := src.Read(block, from); err != nil {
				return err
			}
		}
		part := block[from-blockAt:][:size]
		for j, w := range window {
			frame[j] = part[j] * w
		}
		fft.Power(power, frame)
		visit(i, power)
	}
	return nil
}

// LowBins returns how many bins of LowPowerFrames are true to PowerFrames.
func LowBins(size, every int) int {
	if every == 1 {
		return size/2 + 1
	}
	return int(lowerEdge * float64(size/2/every))
}
