package filmday

import (
	"math"

	"takeweave/internal/dsp"
)

// Codec is a model of lossy coding, not a format: a modified discrete cosine
// transform whose coefficients are rounded band by band. Bands far below the
// frame are dropped, treble goes first, and the rounding of a frame spreads over
// all of it, so it is also heard before an attack.
type Codec struct{ Kbps float64 } // of mono

const mdctHop = 512 // samples a frame goes on, 23 ms

// code returns x coded and decoded.
func (c Codec) code(x []float32) []float32 {
	return throughMDCT(x, func(bins []float32) { c.round(bins) })
}

// edges of the bands in Hz, about those of hearing. Source: [Zwicker1961], from
// memory.
var edges = []float64{0, 100, 200, 300, 400, 510, 630, 770, 920, 1080, 1270, 1480, 1720, 2000, 2320, 2700, 3150, 3700, 4400, 5300, 6400, 7700, 9500, 12000}

// round rounds the bins of a frame: the fewer bits, the coarser and the duller.
func (c Codec) round(bins []float32) {
	const hzPerBin = Rate / 2.0 / mdctHop
	signalToStep := 0.12*c.Kbps + 2 // dB; about 6 dB a bit
	cutoff := 3500 + 70*c.Kbps
	var loudest float64
	type part struct {
		from, to int
		power    float64
	}
	var all []part
	for k := 0; k+1 < len(edges); k++ {
		from, to := min(int(edges[k]/hzPerBin), len(bins)), min(int(edges[k+1]/hzPerBin), len(bins))
		var p float64
		for _, v := range bins[from:to] {
			p += float64(v) * float64(v)
		}
		if to > from {
			p /= float64(to - from)
			all = append(all, part{from, to, p})
			loudest = math.Max(loudest, p)
		}
	}
	for _, b := range all {
		if b.power <= loudest*math.Pow(10, -(30+0.3*c.Kbps)/10) || float64(b.from)*hzPerBin > cutoff {
			clear(bins[b.from:b.to])
			continue
		}
		step := math.Sqrt(12*b.power) * math.Pow(10, -signalToStep/20)
		for i := b.from; i < b.to; i++ {
			bins[i] = float32(step * math.Round(float64(bins[i])/step))
		}
	}
}

// throughMDCT takes x frame by frame to the transform, lets change the bins and
// comes back. Without a change x returns but for rounding.
//
// Source: the transform with a sine window and overlap-add, [PrincenBradley1986].
func throughMDCT(x []float32, change func(bins []float32)) []float32 {
	const n = mdctHop
	m := newMDCT()
	out := make([]float32, len(x)+2*n)
	frame, bins := make([]float32, 2*n), make([]float32, n)
	src := dsp.Slice{Hz: Rate, Samples: x}
	for at := -n; at < len(x); at += n {
		_ = src.Read(frame, at) // never fails
		m.forward(bins, frame)
		change(bins)
		m.inverse(frame, bins)
		for i, v := range frame {
			if k := at + i; k >= 0 {
				out[k] += v
			}
		}
	}
	return out[:len(x)]
}

// mdct is the transform of 2n samples to n bins, by real Fourier transforms of
// 2n points.
type mdct struct {
	f              *dsp.FFT
	window         []float32
	turnC, turnS   []float32 // exp(-i*pi*t/2n)
	shiftC, shiftS []float32 // exp(-i*pi*n0*(k+1/2)/n), n0 = (n+1)/2
	u, v           []float32
	ur, ui, vr, vi []float32
}

func newMDCT() *mdct {
	const n = mdctHop
	m := &mdct{f: dsp.NewFFT(2 * n), u: make([]float32, 2*n), v: make([]float32, 2*n), ur: make([]float32, n+1), ui: make([]float32, n+1), vr: make([]float32, n+1), vi: make([]float32, n+1)}
	for t := range 2 * n {
		m.window = append(m.window, float32(math.Sin(math.Pi*(float64(t)+0.5)/(2*n))))
		s, c := math.Sincos(-math.Pi * float64(t) / (2 * n))
		m.turnC, m.turnS = append(m.turnC, float32(c)), append(m.turnS, float32(s))
	}
	for k := range n {
		s, c := math.Sincos(-math.Pi * (n + 1) / 2 * (float64(k) + 0.5) / n)
		m.shiftC, m.shiftS = append(m.shiftC, float32(c)), append(m.shiftS, float32(s))
	}
	return m
}

// forward: X[k] = sum over t of w[t] x[t] cos(pi/n (t+n0) (k+1/2)).
func (m *mdct) forward(bins, x []float32) {
	for t, w := range m.window {
		y := w * x[t]
		m.u[t], m.v[t] = y*m.turnC[t], y*m.turnS[t]
	}
	m.f.Forward(m.ur, m.ui, m.u)
	m.f.Forward(m.vr, m.vi, m.v)
	for k := range bins {
		re, im := m.ur[k]-m.vi[k], m.ui[k]+m.vr[k] // of u + iv
		bins[k] = m.shiftC[k]*re - m.shiftS[k]*im
	}
}

// inverse: x[t] = 2/n w[t] sum over k of X[k] cos(pi/n (t+n0) (k+1/2)).
func (m *mdct) inverse(x, bins []float32) {
	const n = mdctHop
	clear(m.u)
	clear(m.v)
	for k, b := range bins { // the conjugate of the sum, so that it is a forward transform
		m.u[k], m.v[k] = b*m.shiftC[k], b*m.shiftS[k]
	}
	m.f.Forward(m.ur, m.ui, m.u)
	m.f.Forward(m.vr, m.vi, m.v)
	for t := range 2 * n {
		j, sign := t, float32(1)
		if t > n {
			j, sign = 2*n-t, -1
		}
		re, im := m.ur[j]-sign*m.vi[j], sign*m.ui[j]+m.vr[j]
		x[t] = 2.0 / n * m.window[t] * (re*m.turnC[t] - im*m.turnS[t])
	}
}
