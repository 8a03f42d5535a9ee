package dsp

import "math"

// Series is a feature over time: rows of Dim values, Hz rows a second. Row i is
// centred on time (First+i)/Hz seconds of its source.
type Series struct {
	Hz    float64
	First int
	Dim   int
	Data  []float32
}

// NewSeries returns n rows of zeros.
func NewSeries(hz float64, first, dim, n int) *Series {
	return &Series{hz, first, dim, make([]float32, n*dim)}
}

// Rows returns the number of rows.
func (s *Series) Rows() int { return len(s.Data) / s.Dim }

// Row returns row i; writing to it writes to the series.
func (s *Series) Row(i int) []float32 { return s.Data[i*s.Dim : (i+1)*s.Dim : (i+1)*s.Dim] }

// Time returns the centre of row i in seconds.
func (s *Series) Time(i int) float64 { return float64(s.First+i) / s.Hz }

// Part returns the rows of [from, to) seconds as a view, cut to what there is.
func (s *Series) Part(from, to float64) *Series {
	a := min(max(int(math.Ceil(from*s.Hz-1e-9))-s.First, 0), s.Rows())
	b := min(max(int(math.Ceil(to*s.Hz-1e-9))-s.First, a), s.Rows())
	return &Series{s.Hz, s.First + a, s.Dim, s.Data[a*s.Dim : b*s.Dim]}
}

// At writes the row at time t seconds, linear between rows, to dst; zeros
// outside.
func (s *Series) At(dst []float32, t float64) {
	x := t*s.Hz - float64(s.First)
	i := int(math.Floor(x))
	if i < -1 || i >= s.Rows() {
		clear(dst)
		return
	}
	part := float32(x - float64(i))
	clear(dst)
	if i >= 0 {
		for d, v := range s.Row(i) {
			dst[d] = v * (1 - part)
		}
	}
	if i+1 < s.Rows() {
		for d, v := range s.Row(i + 1) {
			dst[d] += v * part
		}
	}
}

// Smooth returns s averaged over a Hann window that is width seconds long, with
// every step-th row kept. Near the ends the window is cut and weighs to 1.
func (s *Series) Smooth(width float64, step int) *Series {
	half := max(1, int(math.Round(width*s.Hz/2)))
	w := make([]float32, 2*half+1)
	for i := range w {
		w[i] = float32(0.5 + 0.5*math.Cos(math.Pi*float64(i-half)/float64(half+1)))
	}
	n := s.Rows()
	first := int(math.Ceil(float64(s.First) / float64(step))) // keep the rows whose own number divides by step
	skip := first*step - s.First
	kept := max(0, (n-skip+step-1)/step)
	out := NewSeries(s.Hz/float64(step), first, s.Dim, kept)
	for k := range kept {
		centre := skip + k*step
		row := out.Row(k)
		from, to := max(0, centre-half), min(n, centre+half+1)
		weights := w[from-centre+half : to-centre+half]
		combine(row, s.Data[from*s.Dim:to*s.Dim], weights, s.Dim)
		var sum float32
		for _, g := range weights {
			sum += g
		}
		for d := range row {
			row[d] /= sum
		}
	}
	return out
}
