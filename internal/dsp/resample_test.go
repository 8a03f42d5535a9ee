package dsp

import (
	"math"
	"testing"
)

// A sine read at other places is the sine at those places.
func TestResampledSine(t *testing.T) {
	const hz, seconds, at, step = AnalysisRate, 1, 100.3, 1.00008
	for _, tone := range []float64{100, 1000, 5000, 7500} {
		x := make([]float32, hz*seconds)
		for i := range x {
			x[i] = float32(math.Sin(2 * math.Pi * tone * float64(i) / hz))
		}
		got, err := Resampled(Slice{hz, x}, at, step, 20000)
		if err != nil {
			t.Fatal(err)
		}
		for i, v := range got {
			want := math.Sin(2 * math.Pi * tone * (at + step*float64(i)) / hz)
			// Half of the 512 places between samples is off by 2*pi*0.34/1024.
			if math.Abs(float64(v)-want) > 0.004 {
				t.Fatalf("%v Hz: sample %d is %.4f, want %.4f", tone, i, v, want)
			}
		}
	}
}

func TestResampledOutside(t *testing.T) {
	got, err := Resampled(Slice{AnalysisRate, []float32{1, 1, 1}}, -50, 1, 100)
	if err != nil {
		t.Fatal(err)
	}
	for i, v := range got {
		want := float32(0)
		if i >= 50 && i < 53 {
			want = 1
		}
		if math.Abs(float64(v-want)) > 1e-6 {
			t.Errorf("sample %d is %v, want %v", i, v, want)
		}
	}
}
