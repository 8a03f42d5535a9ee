package dsp

import "context"

// responseFrame is how many samples are compared at a time to find a response:
// 1.5 s at the analysis rate, so that an echo falls well within.
const responseFrame = 1 << 15

// Response is how one sound is heard in another, as a loudspeaker is through a
// room and a microphone.
type Response struct {
	early, late int       // samples that it reaches before and after
	re, im      []float32 // bins of responseFrame
}

// FindResponse returns the response by which y comes nearest to x in the least
// squares; both run on one clock and are equally long. It reaches from early
// samples before to late after, together well below 30,000. Frames start every hop
// samples.
//
// Source: cross spectra averaged over windowed frames, [Welch1967]. Dividing one
// by the other would follow chance where y holds little, so the division is
// approached in steps (projected gradient descent), each cut to that reach. What
// comes as late as a third of a frame is met by two thirds only, because the window
// has moved by then.
func FindResponse(ctx context.Context, x, y []float32, early, late, hop int) (*Response, error) {
	const n = responseFrame
	f, window := NewFFT(n), Hann(n)
	bins := func() []float32 { return make([]float32, n/2+1) }
	xr, xi, yr, yi := bins(), bins(), bins(), bins()
	crossR, crossI, power := bins(), bins(), bins()
	frame := make([]float32, n)
	spectrum := func(re, im, of []float32, at int) {
		_ = Slice{Samples: of}.Read(frame, at) // never fails
		for i, w := range window {
			frame[i] *= w
		}
		f.Forward(re, im, frame)
	}
	for at := -n / 2; at < len(x)-n/4; at += hop {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		spectrum(xr, xi, x, at)
		spectrum(yr, yi, y, at)
		for k := range power {
			crossR[k] += xr[k]*yr[k] + xi[k]*yi[k]
			crossI[k] += xi[k]*yr[k] - xr[k]*yi[k]
			power[k] += yr[k]*yr[k] + yi[k]*yi[k]
		}
	}
	h := &Response{early, late, bins(), bins()}
	steps := stepsFor(power)
	const rounds = 12 // 30 find no more
	for range rounds {
		for k, step := range steps {
			h.re[k] += step * (crossR[k] - power[k]*h.re[k])
			h.im[k] += step * (crossI[k] - power[k]*h.im[k])
		}
		f.Inverse(frame, h.re, h.im)
		clear(frame[late : n-early])
		f.Forward(h.re, h.im, frame)
	}
	return h, nil
}

// stepsFor returns one over the power of each bin, less where it is weaker than
// those around.
func stepsFor(power []float32) []float32 {
	const around = 30    // bins, 20 Hz
	const caution = 0.3  // of the power around
	const silence = 1e-6 // of the mean
	run := make([]float64, len(power)+1)
	for k, v := range power {
		run[k+1] = run[k] + float64(v)
	}
	least := silence*run[len(power)]/float64(len(power)) + 1e-20
	out := make([]float32, len(power))
	for k, v := range power {
		lo, hi := max(0, k-around), min(len(power), k+around+1)
		out[k] = float32(1 / (float64(v) + caution*(run[hi]-run[lo])/float64(hi-lo) + least))
	}
	return out
}

// Through returns y as it is heard through the response.
func (h *Response) Through(y []float32) []float32 {
	const n = responseFrame
	f := NewFFT(n)
	re, im, frame := make([]float32, n/2+1), make([]float32, n/2+1), make([]float32, n)
	out := make([]float32, len(y))
	hop := n - h.early - h.late
	for at := 0; at < len(y); at += hop {
		_ = Slice{Samples: y}.Read(frame, at-h.late) // never fails
		f.Forward(re, im, frame)
		for k := range re {
			re[k], im[k] = re[k]*h.re[k]-im[k]*h.im[k], re[k]*h.im[k]+im[k]*h.re[k]
		}
		f.Inverse(frame, re, im)
		copy(out[at:], frame[h.late:h.late+min(hop, len(y)-at)])
	}
	return out
}
