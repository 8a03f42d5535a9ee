package media

import (
	"math"
	"testing"
)

func TestWhereThePictureLies(t *testing.T) {
	for _, c := range []struct {
		name         string
		sw, sh, w, h int
		x, y, ww, hh float64
	}{
		{"the same shape", 3840, 2160, 1920, 1080, 0, 0, 1, 1},
		{"a little wider: the sides are cut away", 2048, 1080, 1920, 1080, -1.0 / 30, 0, 16.0 / 15, 1},
		{"a little narrower: top and bottom are cut away", 1800, 1080, 1920, 1080, 0, -1.0 / 30, 1, 16.0 / 15},
		{"much narrower: black beside it", 1080, 1920, 1920, 1080, (1 - 0.31640625) / 2, 0, 0.31640625, 1},
		{"much wider: black above and below", 2520, 1080, 1920, 1080, 0, 5.0 / 42, 1, 16.0 / 21},
	} {
		t.Run(c.name, func(t *testing.T) {
			x, y, w, h := Lies(c.sw, c.sh, c.w, c.h)
			for i, d := range []float64{x - c.x, y - c.y, w - c.ww, h - c.hh} {
				if math.Abs(d) > 1e-9 {
					t.Errorf("value %d is off by %g: got %g %g %g %g", i, d, x, y, w, h)
				}
			}
		})
	}
}
