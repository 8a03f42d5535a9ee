package dsp

import (
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

// compare reports the best time of ours, and how many times longer plain Go and
// the reference take.
func compare(b *testing.B, unit string, parts int, ours, reference func()) {
	best := [3]time.Duration{1 << 40, 1 << 40, 1 << 40}
	for b.Loop() {
		for i, f := range []func(){ours, func() { plainly(ours) }, reference} {
			start := time.Now()
			f()
			best[i] = min(best[i], time.Since(start))
		}
	}
	b.ReportMetric(best[0].Seconds()*1e6/float64(parts), unit)
	b.ReportMetric(float64(best[1])/float64(best[0]), "plain/ours")
	b.ReportMetric(float64(best[2])/float64(best[0]), "gonum/ours")
}
