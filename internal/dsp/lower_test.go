package dsp

import (
	"context"
	"math"
	"testing"
)

// TestLowPowerFramesAgreeWithPowerFrames compares with the slow obvious twin.
func TestLowPowerFramesAgreeWithPowerFrames(t *testing.T) {
	const size, hz = 4096, 20
	for _, every := range []int{2, 4} {
		for _, at := range []float64{65, 440, 1000, 2093} {
			src := tone(at, 0.5, 2)
			var want, got [][]float32
			keep := func(to *[][]float32) func(int, []float32) {
				return func(_ int, p []float32) { *to = append(*to, append([]float32(nil), p...)) }
			}
			if err := PowerFrames(context.Background(), src, size, hz, 5, 10, keep(&want)); err != nil {
				t.Fatal(err)
			}
			if err := LowPowerFrames(context.Background(), src, size, every, hz, 5, 10, keep(&got)); err != nil {
				t.Fatal(err)
			}
			bin := int(math.Round(at * size / AnalysisRate))
			if bin >= LowBins(size, every) {
				t.Fatalf("%g Hz lies outside", at)
			}
			for i := range want {
				// 50 dB of ripple is 0.03 dB: 1 % of the power.
				if r := float64(got[i][bin] / want[i][bin]); math.Abs(r-1) > 0.01 {
					t.Errorf("every %d, %g Hz, frame %d: %.4f of the power", every, at, i, r)
				}
			}
		}
		// Just above twice the lowered Nyquist less the kept band: it must not fold in.
		high := float64(AnalysisRate) / float64(every) * (1 - lowerEdge/2) * 1.01
		err := LowPowerFrames(context.Background(), tone(high, 1, 2), size, every, hz, 5, 10, func(_ int, p []float32) {
			for k, v := range p[:LowBins(size, every)] {
				if v > 2e-5 {
					t.Fatalf("every %d: %.0f Hz folds into bin %d at %.1f dB, want -50 with 3 to spare", every, high, k, 10*math.Log10(float64(v)))
				}
			}
		})
		if err != nil {
			t.Fatal(err)
		}
	}
}
