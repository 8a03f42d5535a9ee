package media

import (
	"math"
	"path/filepath"
	"testing"

	"takeweave/internal/film"
)

// The luma of the clip is 16 + x/4 + y/8 of the upright picture, so the mean of a
// crop tells where it lies. Truth is the crop's own arithmetic.
func TestShotShowsItsCrop(t *testing.T) {
	const w, h = 640, 360
	luma := func(x, y float64) float64 { return 16 + x/4 + y/8 }
	upright := filepath.Join(t.TempDir(), "upright.mp4")
	plain(t, "-f", "lavfi", "-i", "nullsrc=s=640x360:r=25:d=2,geq=lum='16+X/4+Y/8':cb=128:cr=128", "-pix_fmt", "yuv420p", "-c:v", "libx264", "-qp", "4", "-preset", "ultrafast", "-color_range", "tv", "-colorspace", "bt709", "-color_primaries", "bt709", "-color_trc", "bt709", upright)
	// The same picture stored with pixels twice as wide as high.
	wide := filepath.Join(t.TempDir(), "wide.mp4")
	plain(t, "-i", upright, "-vf", "scale=320:360,setsar=2", "-c:v", "libx264", "-qp", "4", "-preset", "ultrafast", wide)
	moving := &film.Crop{PictureW: w, PictureH: h, W: 200, H: 200, Keys: []film.CropKey{{Frame: 5, X: 20, Y: 10}, {Frame: 15, X: 220, Y: 60}, {Frame: 25, X: 420, Y: 160}}}
	still := &film.Crop{PictureW: w, PictureH: h, W: 202, H: 360, Keys: []film.CropKey{{X: 302}}}
	eachEngine(t, func(t *testing.T, e *Engine) {
		for name, c := range map[string]struct {
			path       string
			crop       *film.Crop
			outW, outH int
		}{"moving": {upright, moving, 100, 100}, "still": {upright, still, 202, 360}, "moving, pixels not square": {wide, moving, 200, 200}} {
			t.Run(name, func(t *testing.T) {
				out := filepath.Join(t.TempDir(), "shot.mp4")
				const frames = 30
				err := e.Shot(t.Context(), ShotSpec{Source: c.path, Info: probeOf(t, c.path), Speed: 1, Frames: frames, Rate: rate25, Width: c.outW, Height: c.outH, Out: out, Crop: c.crop, Encoder: EncoderSettings{Preset: "ultrafast", CRF: 6}}, nil)
				if err != nil {
					t.Fatal(err)
				}
				raw := plain(t, "-i", out, "-f", "rawvideo", "-pix_fmt", "yuv420p", "-")
				size := c.outW * c.outH * 3 / 2
				if len(raw) != frames*size {
					t.Fatalf("%d bytes", len(raw))
				}
				for f := range frames {
					var sum float64
					for _, v := range raw[f*size : f*size+c.outW*c.outH] {
						sum += float64(v)
					}
					got := sum / float64(c.outW*c.outH)
					x, y := c.crop.At(film.Frames(f))
					want := luma(x+float64(c.crop.W)/2, y+float64(c.crop.H)/2)
					// Whole stored pixels, up to 2 wide here, and half a level of coding.
					if math.Abs(got-want) > 1./4+0.5/8+0.6 {
						t.Errorf("frame %d: luma %.2f, want %.2f", f, got, want)
					}
				}
			})
		}
	})
}
