package dsp

import (
	"context"
	"strconv"
	"testing"
	"time"

	"gonum.org/v1/gonum/dsp/fourier"
)

// BenchmarkBatch compares the power spectra of lanes frames with the plain Go
// loops and with gonum's double-precision transform, in one run: the cores may
// be busier in the next.
func BenchmarkBatch(b *testing.B) {
	for _, n := range []int{512, 1024, 2048, 4096} {
		b.Run(strconv.Itoa(n), func(b *testing.B) {
			x, x64 := noise(n+lanes*100, 1), make([]float64, n)
			frames := newBatch(Hann(n))
			for l := range frames.at {
				frames.at[l] = 100 * l
			}
			reference, bins := fourier.NewFFT(n), make([]complex128, n/2+1)
			compare(b, "µs/frame", lanes, func() { frames.run(x) }, func() {
				for l := range lanes {
					for i, g := range frames.window {
						x64[i] = float64(g * x[100*l+i])
					}
					reference.Coefficients(bins, x64)
					for k, c := range bins {
						frames.power[k*lanes+l] = float32(real(c)*real(c) + imag(c)*imag(c))
					}
				}
			})
		})
	}
}

// BenchmarkForward is the same for one long transform.
func BenchmarkForward(b *testing.B) {
	for _, n := range []int{2048, 1 << 18} {
		b.Run(strconv.Itoa(n), func(b *testing.B) {
			x, x64 := noise(n, 1), make([]float64, n)
			f, re, im := NewFFT(n), make([]float32, n/2+1), make([]float32, n/2+1)
			reference, bins := fourier.NewFFT(n), make([]complex128, n/2+1)
			compare(b, "µs", 1, func() { f.Forward(re, im, x) }, func() { reference.Coefficients(bins, x64) })
		})
	}
}

// BenchmarkFeatures shows what each feature of four minutes costs.
func BenchmarkFeatures(b *testing.B) {
	const seconds = 240
	src := Slice{AnalysisRate, noise(seconds*AnalysisRate, 1)}
	ctx := context.Background()
	for _, c := range []struct {
		name string
		run  func() error
	}{
		{"tuning", func() error { _, err := Tuning(ctx, src); return err }},
		{"semitones", func() error { _, err := Semitones(ctx, src, 4096, 50, 0, seconds, 0); return err }},
		{"bands", func() error { _, err := Bands(ctx, src, 12, 1024, 20, 0, seconds); return err }},
		{"pitchFlux", func() error { _, err := PitchFlux(ctx, src, 0, seconds, 0, 1e-4); return err }},
		{"bandFlux", func() error { _, err := BandFlux(ctx, src, 12, 0, seconds, 1e-4); return err }},
	} {
		b.Run(c.name, func(b *testing.B) {
			compare(b, "µs", 1, func() {
				if err := c.run(); err != nil {
					b.Fatal(err)
				}
			}, nil)
		})
	}
}

// compare reports the best time of ours, and how many times longer plain Go and
// the reference take.
func compare(b *testing.B, unit string, parts int, ours, reference func()) {
	best := [3]time.Duration{1 << 40, 1 << 40, 1 << 40}
	for b.Loop() {
		for i, f := range []func(){ours, func() { plainly(ours) }, reference} {
			if f == nil {
				continue
			}
			start := time.Now()
			f()
			best[i] = min(best[i], time.Since(start))
		}
	}
	b.ReportMetric(best[0].Seconds()*1e6/float64(parts), unit)
	b.ReportMetric(float64(best[1])/float64(best[0]), "plain/ours")
	if reference != nil {
		b.ReportMetric(float64(best[2])/float64(best[0]), "gonum/ours")
	}
}
