package dsp

import "math/bits"

// fftLength returns the smallest power of two that holds n samples, at least 8.
func fftLength(n int) int { return max(8, 1<<bits.Len(uint(max(n, 1)-1))) }

// Correlator adds up cross-correlations of pairs of signals with the same two
// lengths, by FFT.
type Correlator struct {
	na, nb         int
	fft            *FFT
	re, im         []float32 // the sum, as spectrum
	ar, ai, br, bi []float32
	work           []float32
}

// NewCorrelator prepares for signals of na and nb samples.
func NewCorrelator(na, nb int) *Correlator {
	n := fftLength(na + nb)
	bin := func() []float32 { return make([]float32, n/2+1) }
	return &Correlator{
		na: na, nb: nb, fft: NewFFT(n), re: bin(), im: bin(), ar: bin(), ai: bin(), br: bin(), bi: bin(),
		work: make([]float32, n),
	}
}

// Add adds the correlation of a and b.
func (c *Correlator) Add(a, b []float32) {
	c.spectrum(c.ar, c.ai, a)
	c.spectrum(c.br, c.bi, b)
	for k := range c.re {
		c.re[k] += c.ar[k]*c.br[k] + c.ai[k]*c.bi[k]
		c.im[k] += c.ar[k]*c.bi[k] - c.ai[k]*c.br[k]
	}
}

func (c *Correlator) spectrum(re, im, x []float32) {
	clear(c.work)
	copy(c.work, x)
	c.fft.Forward(re, im, c.work)
}

// Sum returns r[lag+na-1] = sum over t of a[t]*b[t+lag], added over all pairs,
// for lag from -(na-1) to nb-1.
func (c *Correlator) Sum() []float32 {
	c.fft.Inverse(c.work, c.re, c.im)
	out := make([]float32, c.na+c.nb-1)
	copy(out, c.work[len(c.work)-(c.na-1):])
	copy(out[c.na-1:], c.work[:c.nb])
	return out
}

// Correlate returns the cross-correlation of a and b as Correlator.Sum does.
func Correlate(a, b []float32) []float32 {
	c := NewCorrelator(len(a), len(b))
	c.Add(a, b)
	return c.Sum()
}
