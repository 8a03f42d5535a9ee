package media

import (
	"context"
	"image"
	"image/color"
	"image/png"
	"math"
	"os"
	"path/filepath"
	"testing"

	"takeweave/internal/film"
)

// title draws three upright fields of 20 x 40: white, white at half alpha, red.
func title(t testing.TB) string {
	t.Helper()
	pic := image.NewNRGBA(image.Rect(0, 0, 60, 40))
	for y := range 40 {
		for x := range 60 {
			pic.SetNRGBA(x, y, []color.NRGBA{{255, 255, 255, 255}, {255, 255, 255, 128}, {255, 0, 0, 255}}[x/20])
		}
	}
	path := filepath.Join(t.TempDir(), "it's a title.png")
	file, err := os.Create(path)
	if err != nil {
		t.Fatal(err)
	}
	if err := png.Encode(file, pic); err != nil {
		t.Fatal(err)
	}
	if err := file.Close(); err != nil {
		t.Fatal(err)
	}
	return path
}

// Truth is the arithmetic of alpha on known levels: white is 235, red by [BT709].
func TestOverlayLiesOnTheShot(t *testing.T) {
	const w, h, frames = 160, 90, 16
	grey := filepath.Join(t.TempDir(), "grey.mp4")
	plain(t, "-f", "lavfi", "-i", "nullsrc=s=160x90:r=25:d=2,geq=lum=126:cb=128:cr=128", "-pix_fmt", "yuv420p", "-c:v", "libx264", "-qp", "0",
		"-color_range", "tv", "-colorspace", "bt709", "-color_primaries", "bt709", "-color_trc", "bt709", grey)
	picture := title(t)
	red := [3]float64{}
	red[0], red[1], red[2] = levels([3]float64{1, 0, 0}, 0.2126, 0.0722, false)

	hard := Overlay{Picture: picture, X: 40, Y: 20, From: 3, To: 13}
	soft := hard
	soft.FadeIn, soft.FadeOut = 3, 4
	steady := [frames]float64{0, 0, 0, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 0, 0, 0}
	fading := [frames]float64{0, 0, 0, .25, .5, .75, 1, 1, 1, .8, .6, .4, .2, 0, 0, 0}
	across := Overlay{Picture: picture, X: 40, Y: 20, From: -5, To: 30, FadeIn: 10, FadeOut: 20}
	var goingOn [frames]float64
	for k := range goingOn {
		goingOn[k] = min(1, float64(k+6)/11) * min(1, 1-float64(k-9)/21)
	}
	for name, c := range map[string]struct {
		source  string
		grade   Grade
		over    []Overlay
		codec   Codec
		rate    film.Rate
		opacity [frames]float64
		both    bool // on the embedded engine too: each start costs it half a second
	}{
		"on a shot":                          {source: grey, over: []Overlay{hard}, rate: rate25, opacity: steady},
		"fading":                             {source: grey, over: []Overlay{soft}, rate: film.Rate{Num: 30000, Den: 1001}, both: true, opacity: fading},
		"from the shot before into the next": {source: grey, over: []Overlay{across}, rate: rate25, opacity: goingOn},
		"on black":                           {over: []Overlay{soft}, rate: rate25, both: true, opacity: fading},
		"on the letterbox":                   {source: grey, grade: Grade{BarsTop: 44}, over: []Overlay{hard}, rate: rate25, opacity: steady},
		"out of the shot":                    {source: grey, over: []Overlay{{Picture: picture, X: 40, Y: 20, From: 16, To: 20}, {Picture: picture, X: 40, Y: 20, From: -9, To: 0}}, rate: rate25},
		"HEVC, 10 bits":                      {source: grey, over: []Overlay{soft}, codec: HEVC, rate: rate25, opacity: fading},
		"ProRes":                             {source: grey, over: []Overlay{soft}, codec: ProRes, rate: rate25, opacity: fading},
	} {
		for _, e := range engines {
			if e.Kind() == Embedded && !c.both {
				continue
			}
			t.Run(name+", "+string(e.Kind()), func(t *testing.T) {
				t.Parallel()
				below := 126.0
				spec := ShotSpec{
					Source: c.source, Frames: frames, Rate: c.rate, Width: w, Height: h, Grade: c.grade, Overlays: c.over,
					Out: filepath.Join(t.TempDir(), "shot"+c.codec.Ext()), Encoder: EncoderSettings{Codec: c.codec, Bits: 10, Preset: "ultrafast", CRF: 1},
				}
				if c.source != "" {
					spec.Info = probeOf(t, c.source)
				}
				if c.source == "" || c.grade.BarsTop > 0 {
					below = 16
				}
				if err := e.Shot(context.Background(), spec, nil); err != nil {
					t.Fatal(err)
				}
				checkGrid(t, spec.Out, c.rate, frames)
				raw := plain(t, "-i", spec.Out, "-f", "rawvideo", "-pix_fmt", "yuv420p", "-")
				for k := range frames {
					pix := raw[k*w*h*3/2:][:w*h*3/2]
					at := func(x, y int) [3]float64 {
						return [3]float64{float64(pix[y*w+x]), float64(pix[w*h+y/2*w/2+x/2]), float64(pix[w*h*5/4+y/2*w/2+x/2])}
					}
					over := func(colour [3]float64, alpha float64) (out [3]float64) {
						for i, v := range [3]float64{below, 128, 128} {
							out[i] = v + alpha*(colour[i]-v)
						}
						return out
					}
					o := c.opacity[k]
					for _, field := range []struct {
						name string
						x    int
						want [3]float64
					}{
						{"left of it", 34, over([3]float64{}, 0)},
						{"white", 50, over([3]float64{235, 128, 128}, o)},
						{"half white", 70, over([3]float64{235, 128, 128}, o*128/255)},
						{"red", 90, over(red, o)},
						{"right of it", 106, over([3]float64{}, 0)},
					} {
						got := at(field.x, 40)
						for i := range got {
							if math.Abs(got[i]-field.want[i]) > 2.5 { // rounding of alpha, of the picture, and the coding
								t.Errorf("frame %d, %s: %.0f, want %.1f", k, field.name, got, field.want)
								break
							}
						}
					}
				}
			})
		}
	}
}

func TestOverlayThatIsNotThere(t *testing.T) {
	dir := t.TempDir()
	err := engines[0].Shot(context.Background(), ShotSpec{
		Frames: 5, Rate: rate25, Width: 64, Height: 64, Out: filepath.Join(dir, "shot.mp4"),
		Overlays: []Overlay{{Picture: filepath.Join(dir, "none.png"), To: 5}},
	}, nil)
	if film.CodeOf(err) != film.CodeNotFound {
		t.Errorf("got %v, want code %s", err, film.CodeNotFound)
	}
	mustBeEmpty(t, dir)
}
