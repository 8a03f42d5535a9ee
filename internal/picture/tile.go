package picture

import (
	"math"
	"math/cmplx"

	"gonum.org/v1/gonum/dsp/fourier"
)

// tile finds by how much a part of the picture moved since the one before, by
// phase correlation: the peak of the transform of the phases' differences.
//
// Source: [KuglinHines1975]; the window, the limit in frequency and the parabola
// through the peak are common practice.
type tile struct {
	x, y, w, h  int
	window      []float64
	across      *fourier.FFT
	down        *fourier.CmplxFFT
	kept        int          // columns of the spectrum within the limit
	spectrum    []complex128 // unit phases: column k at k*h
	before      []complex128
	textured    bool
	wasTextured bool
	pixels      []float64
	surface     []float64
	half        []complex128
	line        []complex128
	inBand      float64 // number of frequencies used, both halves
	mask        []bool
}

// limit is the highest frequency that tells of the movement rather than of noise,
// in cycles per pixel.
const limit = 0.35

func newTile(x, y, w, h int) *tile {
	t := &tile{x: x, y: y, w: w, h: h, across: fourier.NewFFT(w), down: fourier.NewCmplxFFT(h)}
	t.kept = int(limit*float64(w)) + 1
	n := t.kept * h
	t.spectrum, t.before, t.mask = make([]complex128, n), make([]complex128, n), make([]bool, n)
	t.pixels, t.surface, t.window = make([]float64, w*h), make([]float64, w*h), make([]float64, w*h)
	t.half, t.line = make([]complex128, w/2+1), make([]complex128, h)
	hann := func(i, n int) float64 { return 0.5 - 0.5*math.Cos(2*math.Pi*(float64(i)+0.5)/float64(n)) }
	for i := range t.window {
		t.window[i] = hann(i%w, w) * hann(i/w, h)
	}
	for k := range t.kept {
		for j := range h {
			f := math.Hypot(float64(k)/float64(w), float64(min(j, h-j))/float64(h))
			if f > 0 && f < limit {
				t.mask[k*h+j] = true
				t.inBand += 2
				if k == 0 {
					t.inBand--
				}
			}
		}
	}
	return t
}

// moved takes the tile's part of the picture, rows of width pixels, and returns
// by how many pixels its contents moved to the right and down.
func (t *tile) moved(picture []float64, width int) (x, y float64, known bool) {
	t.before, t.spectrum = t.spectrum, t.before
	t.wasTextured = t.textured
	t.transform(picture, width)
	if !t.textured || !t.wasTextured {
		return 0, 0, false
	}
	t.correlate()
	at, peak := 0, math.Inf(-1)
	for i, v := range t.surface {
		if v > peak {
			at, peak = i, v
		}
	}
	if peak < leastPeak {
		return 0, 0, false
	}
	value := func(x, y int) float64 { return t.surface[(y+t.h)%t.h*t.w+(x+t.w)%t.w] }
	px, py := at%t.w, at/t.w
	x = wrapped(px, t.w) + vertex(value(px-1, py), peak, value(px+1, py))
	y = wrapped(py, t.h) + vertex(value(px, py-1), peak, value(px, py+1))
	return x, y, true
}

// transform writes the unit phases of the tile to spectrum.
func (t *tile) transform(picture []float64, width int) {
	mean, square := 0.0, 0.0
	for y := range t.h {
		for _, v := range picture[(t.y+y)*width+t.x:][:t.w] {
			mean += v
			square += v * v
		}
	}
	n := float64(t.w * t.h)
	mean /= n
	t.textured = square/n-mean*mean >= leastTexture
	if !t.textured {
		return
	}
	for y := range t.h {
		line := t.pixels[y*t.w : (y+1)*t.w]
		for x, v := range picture[(t.y+y)*width+t.x:][:t.w] {
			line[x] = (v - mean) * t.window[y*t.w+x]
		}
		for k, v := range t.across.Coefficients(t.half, line)[:t.kept] {
			t.spectrum[k*t.h+y] = v
		}
	}
	for k := range t.kept {
		column := t.spectrum[k*t.h : (k+1)*t.h]
		t.down.Coefficients(column, column)
		for j, v := range column {
			if size := math.Sqrt(real(v)*real(v) + imag(v)*imag(v)); size > 0 {
				column[j] = v / complex(size, 0)
			}
		}
	}
}

// correlate writes the correlation of the two spectra to surface, 1 at the most.
func (t *tile) correlate() {
	scale := complex(1/t.inBand, 0)
	product := make([]complex128, len(t.spectrum))
	for k := range t.kept {
		for j := range t.h {
			i := k*t.h + j
			t.line[j] = 0
			if t.mask[i] {
				t.line[j] = t.spectrum[i] * cmplx.Conj(t.before[i]) * scale
			}
		}
		t.down.Sequence(product[k*t.h:(k+1)*t.h], t.line)
	}
	for y := range t.h {
		clear(t.half)
		for k := range t.kept {
			t.half[k] = product[k*t.h+y]
		}
		t.across.Sequence(t.surface[y*t.w:(y+1)*t.w], t.half)
	}
}

// wrapped returns the place of a peak as a shift: the upper half is negative.
func wrapped(i, n int) float64 {
	if i > n/2 {
		i -= n
	}
	return float64(i)
}

// vertex returns where the parabola through three neighbours is highest, from the
// middle one, which is the highest of them.
func vertex(left, middle, right float64) float64 {
	bend := left - 2*middle + right
	if bend >= 0 {
		return 0
	}
	return (left - right) / (2 * bend)
}
