package crop

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

func TestEased(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := rapid.Float64Range(0.1, 5).Draw(t, "reach")
		half := rapid.IntRange(0, 12).Draw(t, "half")
		x := []float64{50}
		for range rapid.IntRange(0, 80).Draw(t, "moments") {
			x = append(x, x[len(x)-1]+r*rapid.SampledFrom([]float64{-1, -1, 0, 0, 0.5, 1, 1}).Draw(t, "way"))
		}
		width := float64(2*half + 1)
		y := eased(x, half)
		for i := range y {
			if math.Abs(y[i]-x[i]) > r*width/4+1e-9 {
				t.Fatalf("%v from the path at %d", y[i]-x[i], i)
			}
			if i > 0 && math.Abs(y[i]-y[i-1]) > r+1e-9 {
				t.Fatalf("too fast at %d", i)
			}
			if i > 1 && math.Abs(y[i]-2*y[i-1]+y[i-2]) > 2*r/width+1e-9 {
				t.Fatalf("turns too hard at %d", i)
			}
		}
	})
}

func TestEasedKeepsStanding(t *testing.T) {
	for _, v := range eased([]float64{0.1, 0.1, 0.1, 0.1}, 2) {
		if v != 0.1 {
			t.Errorf("%v", v)
		}
	}
}
