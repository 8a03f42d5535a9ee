package dsp

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/dsp/fourier"
)

// Single precision keeps 24 bits; a transform of up to 2^17 points adds some
// ten roundings in the root mean square.
const fftTolerance = 2e-6

func noise(n int, seed uint64) []float32 {
	r := rand.New(rand.NewPCG(seed, 1))
	x := make([]float32, n)
	for i := range x {
		x[i] = float32(r.NormFloat64())
	}
	return x
}

// onBothPaths runs a test with the loops that the processor allows and with
// those in plain Go.
func onBothPaths(t *testing.T, test func(t *testing.T)) {
	t.Run("processor", test)
	t.Run("plain", func(t *testing.T) { plainly(func() { test(t) }) })
}

// The reference is gonum's double-precision transform.
func TestFFTAgainstGonum(t *testing.T) { onBothPaths(t, testFFTAgainstGonum) }

func testFFTAgainstGonum(t *testing.T) {
	for _, n := range []int{8, 16, 32, 64, 128, 256, 1024, 2048, 4096, 8192, 1 << 17} {
		x := noise(n, uint64(n))
		x64 := make([]float64, n)
		var energy float64
		for i, v := range x {
			x64[i] = float64(v)
			energy += float64(v) * float64(v)
		}
		want := fourier.NewFFT(n).Coefficients(nil, x64)
		f := NewFFT(n)
		re, im := make([]float32, n/2+1), make([]float32, n/2+1)
		f.Forward(re, im, x)
		limit := fftTolerance * math.Sqrt(energy) * math.Log2(float64(n))
		for k, w := range want {
			if d := math.Hypot(float64(re[k])-real(w), float64(im[k])-imag(w)); d > limit {
				t.Fatalf("n %d bin %d: got %g%+gi want %g, off by %g, limit %g", n, k, re[k], im[k], w, d, limit)
			}
		}
		back := make([]float32, n)
		f.Inverse(back, re, im)
		for i := range x {
			if d := math.Abs(float64(back[i] - x[i])); d > 2e-5 {
				t.Fatalf("n %d sample %d: back %g want %g", n, i, back[i], x[i])
			}
		}
	}
}
