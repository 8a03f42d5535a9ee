package dsp

import (
	"context"
	"math"
	"testing"

	"gonum.org/v1/gonum/dsp/fourier"
)

// The reference is gonum's double-precision transform of each frame alone.
func TestBatchAgainstGonum(t *testing.T) { onBothPaths(t, testBatchAgainstGonum) }

func testBatchAgainstGonum(t *testing.T) {
	for _, n := range []int{8, 16, 32, 64, 512, 1024, 2048, 8192} {
		x := noise(n+1000, uint64(n))
		b := newBatch(Hann(n))
		for l := range b.at {
			b.at[l] = (l * 377) % 1001 // frames overlap and lie in no order
		}
		b.run(x)
		for l, from := range b.at {
			frame := make([]float64, n)
			var energy float64
			for i, g := range b.window {
				frame[i] = float64(g) * float64(x[from+i])
				energy += frame[i] * frame[i]
			}
			limit := fftTolerance * math.Sqrt(energy) * math.Log2(float64(n))
			for k, w := range fourier.NewFFT(n).Coefficients(nil, frame) {
				p := real(w)*real(w) + imag(w)*imag(w)
				if d := math.Abs(float64(b.power[k*lanes+l]) - p); d > 2*limit*math.Sqrt(p)+limit*limit {
					t.Fatalf("n %d frame %d bin %d: power %g want %g", n, l, k, b.power[k*lanes+l], p)
				}
			}
		}
	}
}

// Frames come out the same whatever the number asked for at once, where the
// sound begins and ends, and when a hop is longer than what is read at a time.
func TestLanesAndBlocksDoNotShow(t *testing.T) { onBothPaths(t, testLanesAndBlocksDoNotShow) }

func testLanesAndBlocksDoNotShow(t *testing.T) {
	src := Slice{AnalysisRate, noise(8*AnalysisRate, 5)}
	all := func(hz float64, first, count int) [][]float32 {
		var out [][]float32
		err := LowPowerFrames(context.Background(), src, 1024, 2, hz, first, count, func(i int, p []float32) {
			if i != len(out) {
				t.Fatalf("frame %d came as number %d", i, len(out))
			}
			out = append(out, append([]float32(nil), p...))
		})
		if err != nil || len(out) != count {
			t.Fatalf("%d frames, %v, want %d", len(out), err, count)
		}
		return out
	}
	for _, hz := range []float64{0.25, 1, 100} {
		first, count := -3, int(8*hz)+6
		whole := all(hz, first, count)
		for i, want := range whole {
			got := all(hz, first+i, 1)[0]
			for k := range want {
				if got[k] != want[k] {
					t.Fatalf("%g Hz frame %d bin %d: %g alone, %g among others", hz, i, k, got[k], want[k])
				}
			}
		}
	}
}

// The two paths round differently, no more: 2e-5 of the strongest value is less
// than half a thousandth of a decibel, far below what any result depends on.
func TestFeaturesDoNotDependOnThePath(t *testing.T) {
	src := Slice{AnalysisRate, noise(5*AnalysisRate, 9)}
	for i := range src.Samples {
		src.Samples[i] = 0.1*src.Samples[i] + float32(math.Sin(float64(i)*0.06)+math.Sin(float64(i)*0.2))
	}
	features := func() []*Series {
		ctx := context.Background()
		notes, err1 := Semitones(ctx, src, 4096, 50, 0, 5, 7)
		bands, err2 := Bands(ctx, src, 12, 1024, 200, 0, 5)
		pitch, err3 := PitchFlux(ctx, src, 0, 5, 7, 0.01)
		rise, err4 := BandFlux(ctx, src, 12, 0, 5, 0.001)
		for _, err := range []error{err1, err2, err3, err4} {
			if err != nil {
				t.Fatal(err)
			}
		}
		return []*Series{notes, bands, pitch, rise}
	}
	got := features()
	var want []*Series
	plainly(func() { want = features() })
	for f := range want {
		var top float64
		for _, v := range want[f].Data {
			top = max(top, math.Abs(float64(v)))
		}
		for i, v := range want[f].Data {
			if d := math.Abs(float64(got[f].Data[i] - v)); d > 2e-5*top {
				t.Fatalf("feature %d value %d: %g and %g, strongest %g", f, i, got[f].Data[i], v, top)
			}
		}
	}
}

func TestNothingIsAllocatedPerFrame(t *testing.T) {
	src := Slice{AnalysisRate, noise(20*AnalysisRate, 2)}
	allocations := func(seconds float64) float64 {
		return testing.AllocsPerRun(3, func() {
			if _, err := PitchFlux(context.Background(), src, 0, seconds, 0, 0.01); err != nil {
				t.Fatal(err)
			}
		})
	}
	// One slice grows with the number of seconds (the window of the floors).
	if short, long := allocations(2), allocations(19); long > short+8 {
		t.Errorf("%g allocations for 400 frames, %g for 3800", short, long)
	}
}
