package dsp

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"
)

// An echo is found under another sound that is as loud, to within what the length
// allows: 20 s hold 13 frames of 1.5 s that share nothing, and the echo has 0.4 of
// the values of a frame, so chance alone leaves 10*log10(0.4/13) = -15 dB.
func TestFindResponseUnderAnotherSound(t *testing.T) {
	const hz, seconds = AnalysisRate, 20
	r := rand.New(rand.NewPCG(4, 4))
	noise := func() []float32 {
		x := make([]float32, hz*seconds)
		for i := range x {
			x[i] = float32(r.NormFloat64())
		}
		return x
	}
	y, other := noise(), noise()
	taps := map[int]float32{-100: 0.1, 0: 0.8, 333: -0.4, 4000: 0.3, 11000: -0.2}
	echo := make([]float32, len(y))
	for d, g := range taps {
		for i := range echo {
			if j := i - d; j >= 0 && j < len(y) {
				echo[i] += g * y[j]
			}
		}
	}
	x := make([]float32, len(y))
	for i := range x {
		x[i] = echo[i] + other[i]
	}
	h, err := FindResponse(context.Background(), x, y, 220, 13230, responseFrame/2)
	if err != nil {
		t.Fatal(err)
	}
	var off, all float64
	for i, v := range h.Through(y) {
		d := float64(v - echo[i])
		off, all = off+d*d, all+float64(echo[i])*float64(echo[i])
	}
	if dB := 10 * math.Log10(off/all); dB > -14 {
		t.Errorf("the echo is met to %.1f dB, want -14", dB)
	}
}

func TestFindResponseStops(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	x := make([]float32, 1000)
	if _, err := FindResponse(ctx, x, x, 10, 100, responseFrame); err == nil {
		t.Error("no error though cancelled")
	}
}
