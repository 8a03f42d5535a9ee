package dsp

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"
)

// Published offsets: 442 Hz is +7.851 cents of A4 = 440 Hz, 432 Hz is -31.767
// (from the definition of the cent). A chord moved by as much must be heard so.
func TestTuningOfAChord(t *testing.T) {
	for _, want := range []float64{0, 7.851, -31.767, 35} {
		x := make([]float32, 6*AnalysisRate)
		for _, midi := range []float64{45, 52, 57, 61, 64, 69} {
			hz := MIDIHz(midi) * math.Exp2(want/1200)
			for i := range x {
				x[i] += float32(0.1 * math.Sin(2*math.Pi*hz*float64(i)/AnalysisRate))
			}
		}
		got, err := Tuning(context.Background(), Slice{Hz: AnalysisRate, Samples: x})
		if err != nil || math.Abs(got-want) > 2 { // cents
			t.Errorf("got %.2f cents, %v, want %.2f", got, err, want)
		}
	}
}

func TestNoiseHasNoTuning(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	x := make([]float32, 6*AnalysisRate)
	for i := range x {
		x[i] = float32(0.1 * rng.NormFloat64())
	}
	if got, err := Tuning(context.Background(), Slice{Hz: AnalysisRate, Samples: x}); got != 0 || err != nil {
		t.Errorf("got %v, %v", got, err)
	}
}
