package picture

import (
	"math"
	"math/cmplx"
	"testing"
)

// TestSurfaceAgainstThePlainSum compares the correlation of two tiles with its
// definition, summed in full.
func TestSurfaceAgainstThePlainSum(t *testing.T) {
	const w, h = 20, 12
	random := chance(2)
	tl := newTile(0, 0, w, h)
	var spectra [2][]complex128
	for k := range spectra {
		picture := make([]float64, w*h)
		for i := range picture {
			picture[i] = 100 * random()
		}
		tl.moved(picture, w)
		mean := 0.0
		for _, v := range picture {
			mean += v / (w * h)
		}
		spectra[k] = make([]complex128, w*h)
		for fy := range h {
			for fx := range w {
				var sum complex128
				for i, v := range picture {
					turn := float64(fx*(i%w))/w + float64(fy*(i/w))/h
					sum += complex((v-mean)*tl.window[i], 0) * cmplx.Rect(1, -2*math.Pi*turn)
				}
				spectra[k][fy*w+fx] = sum / complex(cmplx.Abs(sum), 0)
			}
		}
	}
	tl.correlate()
	want, used := make([]float64, w*h), 0.0
	for fy := range h {
		for fx := range w {
			f := math.Hypot(float64(min(fx, w-fx))/w, float64(min(fy, h-fy))/h)
			if f == 0 || f >= limit {
				continue
			}
			used++
			for i := range want {
				turn := float64(fx*(i%w))/w + float64(fy*(i/w))/h
				want[i] += real(spectra[1][fy*w+fx] * cmplx.Conj(spectra[0][fy*w+fx]) * cmplx.Rect(1, 2*math.Pi*turn))
			}
		}
	}
	for i, v := range want {
		if math.Abs(tl.surface[i]-v/used) > 1e-9 {
			t.Fatalf("place %d: %v, want %v", i, tl.surface[i], v/used)
		}
	}
}

func TestVertex(t *testing.T) {
	// The parabola 5 - (t-0.3)² at -1, 0 and 1.
	if got := vertex(5-1.69, 5-0.09, 5-0.49); math.Abs(got-0.3) > 1e-12 {
		t.Errorf("%v, want 0.3", got)
	}
	if got := vertex(1, 1, 1); got != 0 {
		t.Errorf("%v from a plain", got)
	}
}
