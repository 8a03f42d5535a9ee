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
	one := make([]float32, size/every/2+1)
	return lanePower(ctx, src, size, every, hz, first, count, func(i, n int, power []float32) {
		for l := range n {
			for k := range one {
				one[k] = power[k*lanes+l]
			}
			visit(i+l, one)
		}
	})
}

// lanePower is LowPowerFrames for up to lanes frames at a time: visit gets bin k
// of frame i+l at power[k*lanes+l], for l below n.
func lanePower(ctx context.Context, src Source, size, every int, hz float64, first, count int, visit func(i, n int, power []float32)) error {
	if count <= 0 {
		return nil
	}
	size /= every
	step := float64(src.Rate()) / hz / float64(every)
	from := func(i int) int { return int(math.Round(float64(first+i)*step)) - size/2 }
	sound := newReader(src, every, min(readBlock/every, from(count)-from(0))+size)
	frames := newBatch(scaledHann(size))
	for i := 0; i < count; {
		if err := ctx.Err(); err != nil {
			return err
		}
		if err := sound.hold(from(i), from(min(i+lanes, count)-1)+size); err != nil {
			return err
		}
		n := 0
		for ; n < lanes && i+n < count && from(i+n)+size <= sound.end; n++ {
			frames.at[n] = from(i+n) - sound.start
		}
		for l := n; l < lanes; l++ {
			frames.at[l] = frames.at[0]
		}
		frames.run(sound.block)
		visit(i, n, frames.power)
		i += n
	}
	return nil
}

// scaledHann is the window with which a sine of amplitude 1 gets power 1.
func scaledHann(size int) []float32 {
	w := Hann(size)
	var gain float64
	for _, g := range w {
		gain += float64(g)
	}
	for i := range w {
		w[i] *= float32(2 / gain)
	}
	return w
}

// LowBins returns how many bins of LowPowerFrames are true to PowerFrames.
func LowBins(size, every int) int {
	if every == 1 {
		return size/2 + 1
	}
	return int(lowerEdge * float64(size/2/every))
}
