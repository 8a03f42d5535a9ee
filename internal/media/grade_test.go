package media

import (
	"math"
	"os"
	"path/filepath"
	"testing"
)

// A grey clip through a table, edges and bars; truth is their own arithmetic.
func TestShotIsGraded(t *testing.T) {
	const w, h = 640, 360
	clip := filepath.Join(t.TempDir(), "grey.mp4")
	// Y' 126 of 16..235 is the encoded grey (126-16)/219.
	plain(t, "-f", "lavfi", "-i", "nullsrc=s=640x360:r=25:d=1,geq=lum=126:cb=128:cr=128", "-pix_fmt", "yuv420p", "-c:v", "libx264", "-qp", "0", "-preset", "ultrafast", "-color_range", "tv", "-colorspace", "bt709", "-color_primaries", "bt709", "-color_trc", "bt709", clip)
	const grey = (126 - 16) / 219.0
	table := filepath.Join(t.TempDir(), "it's a table.cube") // a name that needs quoting
	// Red to a half, green unchanged, blue turned over.
	cube := "LUT_3D_SIZE 2\n"
	for b := range 2 {
		for g := range 2 {
			for r := range 2 {
				cube += [2]string{"0 ", "0.5 "}[r] + [2]string{"0 ", "1 "}[g] + [2]string{"1\n", "0\n"}[b]
			}
		}
	}
	if err := os.WriteFile(table, []byte(cube), 0o666); err != nil {
		t.Fatal(err)
	}
	eachEngine(t, func(t *testing.T, e *Engine) {
		frame := func(g Grade) []byte {
			t.Helper()
			out := filepath.Join(t.TempDir(), "shot.mp4")
			err := e.Shot(t.Context(), ShotSpec{Source: clip, Info: probeOf(t, clip), Speed: 1, Frames: 2, Rate: rate25, Width: w, Height: h, Out: out, Grade: g, Encoder: EncoderSettings{Preset: "ultrafast", CRF: 4}}, nil)
			if err != nil {
				t.Fatal(err)
			}
			raw := plain(t, "-i", out, "-frames:v", "1", "-vf", "scale=in_color_matrix=bt709:in_range=tv,format=rgb24", "-f", "rawvideo", "-")
			if len(raw) != 3*w*h {
				t.Fatalf("%d bytes", len(raw))
			}
			return raw
		}
		at := func(pix []byte, x, y int) [3]float64 {
			i := 3 * (y*w + x)
			return [3]float64{float64(pix[i]) / 255, float64(pix[i+1]) / 255, float64(pix[i+2]) / 255}
		}
		near := func(what string, got, want [3]float64) {
			t.Helper()
			for k := range got {
				if math.Abs(got[k]-want[k]) > 4.0/255 { // two codings in 8 bits
					t.Errorf("%s: %.3f, want %.3f", what, got, want)
					return
				}
			}
		}
		near("table", at(frame(Grade{Table: table}), w/2, h/2), [3]float64{grey / 2, grey, 1 - grey})

		const angle, centreX, centreY = 0.6, 0.2, -0.1
		edged := frame(Grade{EdgeAngle: angle, EdgeX: centreX, EdgeY: centreY})
		both := frame(Grade{Table: table, EdgeAngle: angle, EdgeX: centreX, EdgeY: centreY})
		for _, y := range []int{0, 90, 160, 280, h - 1} {
			for _, x := range []int{0, 100, 320, 500, w - 1} {
				away := math.Hypot(float64(x)+0.5-w/2*(1+centreX), float64(y)+0.5-h/2*(1+centreY)) / math.Hypot(w/2, h/2)
				k := math.Pow(math.Cos(angle*away), 4)
				near("edges", at(edged, x, y), [3]float64{grey * k, grey * k, grey * k})
				near("table and edges", at(both, x, y), [3]float64{grey / 2 * k, grey * k, (1 - grey) * k})
			}
		}

		barred := frame(Grade{BarsTop: 40})
		near("bar", at(barred, w/2, 20), [3]float64{})
		near("lower bar", at(barred, w/2, h-20), [3]float64{})
		near("between the bars", at(barred, w/2, 60), [3]float64{grey, grey, grey})
	})
}
