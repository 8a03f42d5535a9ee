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
	n          int // real length, a power of two
	stages     []stage
	ar, ai     []float32
	br, bi     []float32
	cosN, sinN []float32 // exp(-2*pi*i*k/n), k < n/4+1
}

type stage struct {
	radix, m, stride int
	w                []float32 // per p < m: cos, sin of the first, second and third power
}

// NewFFT prepares a transform of n real samples; n must be a power of two, at
// least 8, else it panics.
func NewFFT(n int) *FFT {
	if n < 8 || bits.OnesCount(uint(n)) != 1 {
		panic(fmt.Sprintf("dsp: FFT length %d is not a power of two from 8 up", n))
	}
	h := n / 2
	f := &FFT{
		n: n, ar: make([]float32, h), ai: make([]float32, h), br: make([]float32, h), bi: make([]float32, h),
		cosN: make([]float32, n/4+1), sinN: make([]float32, n/4+1),
	}
	for k := range f.cosN {
		s, c := math.Sincos(-2 * math.Pi * float64(k) / float64(n))
		f.cosN[k], f.sinN[k] = float32(c), float32(s)
	}
	for size, stride := h, 1; size > 1; {
		if size%4 == 0 {
			m := size / 4
			w := make([]float32, 6*m)
			for p := range m {
				for power := range 3 {
					s, c := math.Sincos(-2 * math.Pi * float64(p*(power+1)) / float64(size))
					w[6*p+2*power], w[6*p+2*power+1] = float32(c), float32(s)
				}
			}
			f.stages = append(f.stages, stage{4, m, stride, w})
			size, stride = size/4, stride*4
		} else {
			f.stages = append(f.stages, stage{2, 1, stride, nil}) // size is 2 here: always the last stage
			size, stride = 1, stride*2
		}
	}
	return f
}

// Len returns the number of real samples.
func (f *FFT) Len() int { return f.n }

// Forward writes the bins 0..n/2 of x (length n) to re and im (length n/2+1):
// X[k] = sum x[t]*exp(-2*pi*i*k*t/n), not scaled.
func (f *FFT) Forward(re, im, x []float32) {
	h := f.n / 2
	x = x[:f.n]
	for i := range f.ar {
		f.ar[i], f.ai[i] = x[2*i], x[2*i+1]
	}
	zr, zi := f.complexForward()
	re, im = re[:h+1], im[:h+1]
	re[0], im[0] = zr[0]+zi[0], 0
	re[h], im[h] = zr[0]-zi[0], 0
	for k := 1; k <= h/2; k++ {
		j := h - k
		er, ei := (zr[k]+zr[j])/2, (zi[k]-zi[j])/2
		or, oi := (zi[k]+zi[j])/2, (zr[j]-zr[k])/2
		c, s := f.cosN[k], f.sinN[k]
		tr, ti := or*c-oi*s, or*s+oi*c
		re[k], im[k] = er+tr, ei+ti
		re[j], im[j] = er-tr, ti-ei
	}
}

// Inverse writes the n real samples whose bins 0..n/2 are re and im: the exact
// inverse of Forward, so it scales by 1/n. re and im are only read.
func (f *FFT) Inverse(x, re, im []float32) {
	h := f.n / 2
	// The conjugate trick: inverse(z) = conj(forward(conj(z)))/h.
	f.ar[0], f.ai[0] = (re[0]+re[h])/2, -(re[0]-re[h])/2
	for k := 1; k <= h/2; k++ {
		j := h - k
		er, ei := (re[k]+re[j])/2, (im[k]-im[j])/2
		tr, ti := (re[k]-re[j])/2, (im[k]+im[j])/2
		c, s := f.cosN[k], -f.sinN[k]
		or, oi := tr*c-ti*s, tr*s+ti*c
		f.ar[k], f.ai[k] = er-oi, -(ei + or)
		f.ar[j], f.ai[j] = er+oi, ei-or
	}
	zr, zi := f.complexForward()
	scale := 1 / float32(h)
	x = x[:f.n]
	for i := range zr {
		x[2*i], x[2*i+1] = zr[i]*scale, -zi[i]*scale
	}
}

// Power writes |X[k]|^2 of x, k = 0..n/2, to dst.
func (f *FFT) Power(dst, x []float32) {
	h := f.n / 2
	x = x[:f.n]
	for i := range f.ar {
		f.ar[i], f.ai[i] = x[2*i], x[2*i+1]
	}
	zr, zi := f.complexForward()
	dst = dst[:h+1]
	a, b := zr[0]+zi[0], zr[0]-zi[0]
	dst[0], dst[h] = a*a, b*b
	for k := 1; k <= h/2; k++ {
		j := h - k
		er, ei := (zr[k]+zr[j])/2, (zi[k]-zi[j])/2
		or, oi := (zi[k]+zi[j])/2, (zr[j]-zr[k])/2
		c, s := f.cosN[k], f.sinN[k]
		tr, ti := or*c-oi*s, or*s+oi*c
		dst[k] = (er+tr)*(er+tr) + (ei+ti)*(ei+ti)
		dst[j] = (er-tr)*(er-tr) + (ti-ei)*(ti-ei)
	}
}

// complexForward transforms the n/2 complex values in ar, ai and returns where
// the result lies.
func (f *FFT) complexForward() (re, im []float32) {
	xr, xi, yr, yi := f.ar, f.ai, f.br, f.bi
	for _, st := range f.stages {
		if st.radix == 2 {
			radix2(xr, xi, yr, yi, st.stride)
		} else if st.stride == 1 {
			radix4First(xr, xi, yr, yi, st)
		} else {
			radix4(xr, xi, yr, yi, st)
		}
		xr, xi, yr, yi = yr, yi, xr, xi
	}
	return xr, xi
}

func radix2(xr, xi, yr, yi []float32, s int) {
	for q := range s {
		yr[q], yi[q] = xr[q]+xr[q+s], xi[q]+xi[q+s]
		yr[q+s], yi[q+s] = xr[q]-xr[q+s], xi[q]-xi[q+s]
	}
}

func radix4(xr, xi, yr, yi []float32, st stage) {
	s, m := st.stride, st.m
	for p := range m {
		w := st.w[6*p : 6*p+6]
		w1r, w1i, w2r, w2i, w3r, w3i := w[0], w[1], w[2], w[3], w[4], w[5]
		a0, b0, c0, d0 := s*p, s*(p+m), s*(p+2*m), s*(p+3*m)
		ar, ai := xr[a0:a0+s], xi[a0:a0+s]
		br, bi := xr[b0:b0+s], xi[b0:b0+s]
		cr, ci := xr[c0:c0+s], xi[c0:c0+s]
		dr, di := xr[d0:d0+s], xi[d0:d0+s]
		y := 4 * s * p
		y0r, y0i := yr[y:y+s], yi[y:y+s]
		y1r, y1i := yr[y+s:y+2*s], yi[y+s:y+2*s]
		y2r, y2i := yr[y+2*s:y+3*s], yi[y+2*s:y+3*s]
		y3r, y3i := yr[y+3*s:y+4*s], yi[y+3*s:y+4*s]
		for q := range s {
			sr, si := ar[q]+cr[q], ai[q]+ci[q]
			tr, ti := ar[q]-cr[q], ai[q]-ci[q]
			ur, ui := br[q]+dr[q], bi[q]+di[q]
			vr, vi := br[q]-dr[q], bi[q]-di[q]
			y0r[q], y0i[q] = sr+ur, si+ui
			er, ei := tr+vi, ti-vr // t - i*v
			y1r[q], y1i[q] = er*w1r-ei*w1i, er*w1i+ei*w1r
			er, ei = sr-ur, si-ui
			y2r[q], y2i[q] = er*w2r-ei*w2i, er*w2i+ei*w2r
			er, ei = tr-vi, ti+vr // t + i*v
			y3r[q], y3i[q] = er*w3r-ei*w3i, er*w3i+ei*w3r
		}
	}
}

// radix4First is radix4 for stride 1, where the other's inner loop would do one
// turn only.
func radix4First(xr, xi, yr, yi []float32, st stage) {
	m := st.m
	ar, ai, br, bi := xr[:m], xi[:m], xr[m:2*m], xi[m:2*m]
	cr, ci, dr, di := xr[2*m:3*m], xi[2*m:3*m], xr[3*m:4*m], xi[3*m:4*m]
	for p := range m {
		w := (*[6]float32)(st.w[6*p:])
		outR, outI := (*[4]float32)(yr[4*p:]), (*[4]float32)(yi[4*p:])
		sr, si := ar[p]+cr[p], ai[p]+ci[p]
		tr, ti := ar[p]-cr[p], ai[p]-ci[p]
		ur, ui := br[p]+dr[p], bi[p]+di[p]
		vr, vi := br[p]-dr[p], bi[p]-di[p]
		outR[0], outI[0] = sr+ur, si+ui
		er, ei := tr+vi, ti-vr
		outR[1], outI[1] = er*w[0]-ei*w[1], er*w[1]+ei*w[0]
		er, ei = sr-ur, si-ui
		outR[2], outI[2] = er*w[2]-ei*w[3], er*w[3]+ei*w[2]
		er, ei = tr-vi, ti+vr
		outR[3], outI[3] = er*w[4]-ei*w[5], er*w[5]+ei*w[4]
	}
}
