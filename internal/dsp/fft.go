package dsp

import (
	"fmt"
	"math"
	"math/bits"
)

// FFT is a real Fourier transform of one length, in float32, with its own work
// space: one goroutine at a time. The relative error is some 1e-7.
//
// Source: the self-sorting (Stockham) radix-4 scheme, [VanLoan1992] section 1.7.
type FFT struct {
	n    int       // real length, a power of two
	z    transform // of n/2 complex values
	c, s []float32 // as halfTurn returns them
}

// NewFFT prepares a transform of n real samples; n must be a power of two, at
// least 8, else it panics.
func NewFFT(n int) *FFT {
	if n < 8 || bits.OnesCount(uint(n)) != 1 {
		panic(fmt.Sprintf("dsp: FFT length %d is not a power of two from 8 up", n))
	}
	f := &FFT{n: n, z: newTransform(n / 2)}
	f.c, f.s = halfTurn(n)
	return f
}

// halfTurn returns exp(-2*pi*i*k/n) for k up to n/4, which makes the spectrum of
// n real samples out of that of n/2 complex ones, and lanes more, so that k may
// go in steps of lanes.
func halfTurn(n int) (c, s []float32) {
	c, s = make([]float32, n/4+1+lanes), make([]float32, n/4+1+lanes)
	for k := range c {
		c[k], s[k] = root(k, n)
	}
	return c, s
}

// root returns exp(-2*pi*i*k/n).
func root(k, n int) (c, s float32) {
	sin, cos := math.Sincos(-2 * math.Pi * float64(k) / float64(n))
	return float32(cos), float32(sin)
}

// Len returns the number of real samples.
func (f *FFT) Len() int { return f.n }

// Forward writes the bins 0..n/2 of x (length n) to re and im (length n/2+1):
// X[k] = sum x[t]*exp(-2*pi*i*k*t/n), not scaled.
func (f *FFT) Forward(re, im, x []float32) {
	h := f.n / 2
	unzip(f.z.re, f.z.im, x[:f.n])
	zr, zi := f.z.run()
	re[0], im[0] = zr[0]+zi[0], 0
	re[h], im[h] = zr[0]-zi[0], 0
	split(re, im, zr, zi, f.c, f.s, h)
}

// Inverse writes the n real samples whose bins 0..n/2 are re and im: the exact
// inverse of Forward, so it scales by 1/n. re and im are only read.
func (f *FFT) Inverse(x, re, im []float32) {
	h := f.n / 2
	zr, zi := f.z.re, f.z.im
	// The conjugate trick: inverse(z) = conj(forward(conj(z)))/h.
	zr[0], zi[0] = (re[0]+re[h])/2, -(re[0]-re[h])/2
	join(zr, zi, re, im, f.c, f.s, h)
	zr, zi = f.z.run()
	scale := 1 / float32(h)
	zip(x[:f.n], zr, zi, scale, -scale)
}
