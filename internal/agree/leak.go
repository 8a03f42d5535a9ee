package agree

import (
	"context"
	"math"
	"slices"

	"takeweave/internal/dsp"
)

// What no response can predict leaks through: distortion, what a codec adds,
// what moves. It is strong where the loudspeaker is.
const (
	leakFrame = 2048
	leakBins  = leakFrame/2 + 1
	leakBands = 24
	leakTimes = 1.0   // of 1, 1.5 and 4, the last two take too much of the playing with it
	leastLeft = 0.001 // of a bin's power
)

// takeLeak lowers in rest, in place, what the loudspeaker's leak may account for.
//
// Source: spectral subtraction, [Boll1979].
func takeLeak(speaker, rest []float32) {
	const hop = leakFrame / 2
	s := newSpectra()
	leak := s.leak(speaker, rest)
	out := make([]float32, len(rest)+2*leakFrame)
	for at := -hop; at < len(rest); at += hop {
		s.read(speaker, rest, at)
		for k := range s.restR {
			g := float32(math.Sqrt(float64(max(leastLeft, 1-leakTimes*leak[k]*s.speaker(k)/s.rest(k)))))
			s.restR[k], s.restI[k] = s.restR[k]*g, s.restI[k]*g
		}
		s.fft.Inverse(s.frame, s.restR, s.restI)
		for i, v := range s.frame {
			out[at+hop+i] += v * s.window[i]
		}
	}
	copy(rest, out[hop:])
}

// spectra holds a frame of both.
type spectra struct {
	fft                *dsp.FFT
	window, frame      []float32
	speakerR, speakerI []float32
	restR, restI       []float32
}

func newSpectra() *spectra {
	bins := func() []float32 { return make([]float32, leakBins) }
	s := &spectra{dsp.NewFFT(leakFrame), dsp.Hann(leakFrame), make([]float32, leakFrame), bins(), bins(), bins(), bins()}
	for i, w := range s.window { // used twice
		s.window[i] = float32(math.Sqrt(float64(w)))
	}
	return s
}

// read fills the frame that begins at sample at.
func (s *spectra) read(speaker, rest []float32, at int) {
	transform := func(re, im, x []float32) {
		_ = dsp.Slice{Samples: x}.Read(s.frame, at) // never fails
		for i, w := range s.window {
			s.frame[i] *= w
		}
		s.fft.Forward(re, im, s.frame)
	}
	transform(s.speakerR, s.speakerI, speaker)
	transform(s.restR, s.restI, rest)
}

func (s *spectra) speaker(k int) float32 {
	return s.speakerR[k]*s.speakerR[k] + s.speakerI[k]*s.speakerI[k]
}

func (s *spectra) rest(k int) float32 { return s.restR[k]*s.restR[k] + s.restI[k]*s.restI[k] + 1e-20 }

// leak returns, per bin, which share of the loudspeaker's power is found in the
// rest wherever it is loud: in each band the loudest 15 in 100 values, of whose
// shares the lower quarter holds least of the playing.
func (s *spectra) leak(speaker, rest []float32) []float32 {
	const (
		frames  = 200 // that are looked at
		step    = 3   // every so many bins
		loud    = 0.85
		quarter = 0.25
		spread  = 0.288 // the lower quartile of noise power over its mean: -ln 0.75
	)
	var bands [leakBins]int
	for k := range bands {
		bands[k] = leakBand(k)
	}
	var power, share [leakBands][]float64
	for at := 0; at < len(rest); at += max(leakFrame, len(rest)/frames) {
		s.read(speaker, rest, at)
		for k := 0; k < leakBins; k += step {
			b := bands[k]
			power[b] = append(power[b], float64(s.speaker(k)))
			share[b] = append(share[b], float64(s.rest(k)/(s.speaker(k)+1e-20)))
		}
	}
	var of [leakBands]float32
	for b := range of {
		limit := dsp.Quantile(slices.Clone(power[b]), loud)
		var in []float64
		for i, p := range power[b] {
			if p >= limit {
				in = append(in, share[b][i])
			}
		}
		of[b] = float32(dsp.Quantile(in, quarter) / spread)
	}
	out := make([]float32, leakBins)
	for k := range out {
		out[k] = of[bands[k]]
	}
	return out
}

// leakBand returns the band of a bin: narrow below, wide above.
func leakBand(k int) int {
	const bend = 8.0 // bins
	return min(leakBands-1, int(leakBands*math.Log1p(float64(k)/bend)/math.Log1p(leakBins/bend)))
}

// levelOver returns how loud the notes of the rest are over those of the
// loudspeaker, in dB: the median over the times at which that sounds.
func levelOver(ctx context.Context, speaker, rest []float32, hz int) (float64, error) {
	const (
		rowHz = 2.5
		size  = 4096
		clear = 3.0 // times the median of its row makes a note
		soft  = 0.3 // share of the rows that are too soft to tell
	)
	var power [2][]float64
	for i, x := range [][]float32{speaker, rest} {
		notes, err := dsp.Semitones(ctx, dsp.Slice{Hz: hz, Samples: x}, size, rowHz, 0, float64(len(x))/float64(hz), 0)
		if err != nil {
			return 0, err
		}
		dsp.SubtractFloor(notes)
		for r := range notes.Rows() {
			row := notes.Row(r)
			limit, sum := clear*dsp.Median(slices.Clone(row)), 1e-15
			for _, v := range row {
				if v > limit {
					sum += float64(v)
				}
			}
			power[i] = append(power[i], sum)
		}
	}
	limit := dsp.Quantile(slices.Clone(power[0]), soft)
	var dB []float64
	for i, p := range power[0] {
		if p > limit {
			dB = append(dB, 10*math.Log10(power[1][i]/p))
		}
	}
	return dsp.Median(dB), nil
}
