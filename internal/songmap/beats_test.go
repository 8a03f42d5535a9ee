package songmap

import (
	"math"
	"math/rand/v2"
	"testing"

	"takeweave/internal/dsp"
)

// Clicks and plucks at a steady tempo: the beats must lie on them once the fixed
// latency is taken off.
func TestLatency(t *testing.T) {
	for name, voice := range map[string]int{"clicks": hat, "plucks": plucked} {
		t.Run(name, func(t *testing.T) {
			x := make([]float32, 20*rate)
			s := synth{x, 0, map[[2]int][]float32{}}
			var want []float64
			for at := 0.5; at < 19; at += 0.6 {
				s.note(at, 57, voice, 0.3)
				want = append(want, at)
			}
			r := rand.New(rand.NewPCG(1, 2))
			for i := range x {
				x[i] += float32(1e-4 * r.NormFloat64())
			}
			got, _ := beatsOf(mapOf(t, x))
			var off []float64
			for _, b := range got {
				k := math.Round((b - 0.5) / 0.6)
				if k >= 0 && int(k) < len(want) {
					off = append(off, b-want[int(k)])
				}
			}
			if m := dsp.Median(off); math.Abs(m) > 0.006 {
				t.Errorf("beats lie %.1f ms after the %s", m*1000, name)
			}
			if f := fMeasure(want, got, 0.02); f < 0.95 {
				t.Errorf("F at 20 ms %.2f", f)
			}
		})
	}
}
