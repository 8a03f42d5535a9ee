package media

import (
	"bytes"
	"context"
	"fmt"
	"image/jpeg"
	"io"
	"math"
	"os"
	"path/filepath"
	"testing"

	"takeweave/internal/film"
)

// bars are colour bars of 75 % in R'G'B'.
var bars = [8][3]float64{{.75, .75, .75}, {.75, .75, 0}, {0, .75, .75}, {0, .75, 0}, {.75, 0, .75}, {.75, 0, 0}, {0, 0, .75}, {0, 0, 0}}

// levels codes R'G'B' as 8-bit Y'CbCr, with the luma weights of red and blue.
// Source: [BT601] and [BT709], items 3; full range as in [JFIF].
func levels(rgb [3]float64, red, blue float64, full bool) (y, cb, cr float64) {
	luma := red*rgb[0] + (1-red-blue)*rgb[1] + blue*rgb[2]
	b, r := (rgb[2]-luma)/(2*(1-blue)), (rgb[0]-luma)/(2*(1-red))
	if full {
		return 255 * luma, 128 + 255*b, 128 + 255*r
	}
	return 16 + 219*luma, 128 + 224*b, 128 + 224*r
}

// The worked values that the formula above is held against: 75 % bars in 8 bits.
// Source: [BT801] for BT.601, SMPTE RP 219 for BT.709; both written from memory.
func TestLevelsOfColourBars(t *testing.T) {
	for _, test := range []struct {
		bar, y, cb, cr int
		red, blue      float64
	}{
		{0, 180, 128, 128, 0.299, 0.114},
		{1, 162, 44, 142, 0.299, 0.114},
		{2, 131, 156, 44, 0.299, 0.114},
		{3, 112, 72, 58, 0.299, 0.114},
		{4, 84, 184, 198, 0.299, 0.114},
		{5, 65, 100, 212, 0.299, 0.114},
		{6, 35, 212, 114, 0.299, 0.114},
		{1, 168, 44, 136, 0.2126, 0.0722},
		{2, 145, 147, 44, 0.2126, 0.0722},
		{3, 133, 63, 52, 0.2126, 0.0722},
		{4, 63, 193, 204, 0.2126, 0.0722},
		{5, 51, 109, 212, 0.2126, 0.0722},
		{6, 28, 212, 120, 0.2126, 0.0722},
	} {
		y, cb, cr := levels(bars[test.bar], test.red, test.blue, false)
		for i, pair := range [3][2]float64{{y, float64(test.y)}, {cb, float64(test.cb)}, {cr, float64(test.cr)}} {
			if math.Abs(pair[0]-pair[1]) > 0.51 {
				t.Errorf("bar %d, component %d: %.2f, want %.0f", test.bar, i, pair[0], pair[1])
			}
		}
	}
}

const (
	barW = 32
	barH = 64
)

// barsClip makes a short clip of the bars without loss.
func barsClip(t *testing.T, red, blue float64, full bool, tags ...string) string {
	t.Helper()
	w, h := 8*barW, barH
	frame := make([]byte, w*h*3/2)
	for i, rgb := range bars {
		y, cb, cr := levels(rgb, red, blue, full)
		for row := range h {
			for x := i * barW; x < (i+1)*barW; x++ {
				frame[row*w+x] = byte(math.Round(y))
				if row < h/2 && x%2 == 0 {
					frame[w*h+row*w/2+x/2] = byte(math.Round(cb))
					frame[w*h*5/4+row*w/2+x/2] = byte(math.Round(cr))
				}
			}
		}
	}
	dir := t.TempDir()
	raw := filepath.Join(dir, "bars.yuv")
	if err := os.WriteFile(raw, bytes.Repeat(frame, 5), 0o600); err != nil {
		t.Fatal(err)
	}
	out := filepath.Join(dir, "bars.mp4")
	args := []string{"-f", "rawvideo", "-pix_fmt", "yuv420p", "-s", fmt.Sprintf("%dx%d", w, h), "-r", "25", "-i", raw, "-c:v", "libx264", "-qp", "0"}
	plain(t, append(append(args, tags...), out)...)
	return out
}

func TestShotConvertsToBT709(t *testing.T) {
	tests := []struct {
		name      string
		red, blue float64
		full      bool
		tags      []string
	}{
		{"BT.709", 0.2126, 0.0722, false, []string{"-colorspace", "bt709", "-color_range", "tv"}},
		{"BT.601", 0.299, 0.114, false, []string{"-colorspace", "smpte170m", "-color_range", "tv"}},
		{"small and not said: BT.601", 0.299, 0.114, false, nil},
		{"BT.601 full", 0.299, 0.114, true, []string{"-colorspace", "bt470bg", "-color_range", "pc"}},
		{"BT.709 full", 0.2126, 0.0722, true, []string{"-colorspace", "bt709", "-color_range", "pc"}},
		{"BT.2020 matrix", 0.2627, 0.0593, false, []string{"-colorspace", "bt2020nc", "-color_range", "tv"}},
	}
	const tolerance = 2.5 // 8-bit steps: rounding to 8 bits and back through R'G'B', and fine coding
	eachEngine(t, func(t *testing.T, e *Engine) {
		for _, test := range tests {
			if e.Kind() == Embedded && test.name != "BT.601 full" {
				continue // each start costs it half a second
			}
			t.Run(test.name, func(t *testing.T) {
				source := barsClip(t, test.red, test.blue, test.full, test.tags...)
				out := filepath.Join(t.TempDir(), "shot.mp4")
				err := e.Shot(context.Background(), ShotSpec{
					Source: source, Info: probeOf(t, source), Frames: 3, Rate: rate25,
					Width: 8 * barW, Height: barH, Out: out, Encoder: EncoderSettings{CRF: 1, Preset: "ultrafast"},
				}, nil)
				if err != nil {
					t.Fatal(err)
				}
				pix := plain(t, "-i", out, "-frames:v", "1", "-f", "rawvideo", "-pix_fmt", "yuv420p", "-")
				for i, rgb := range bars {
					y, cb, cr := levels(rgb, 0.2126, 0.0722, false)
					x, w, h := i*barW+barW/2, 8*barW, barH
					got := [3]float64{float64(pix[h/2*w+x]), float64(pix[w*h+h/4*w/2+x/2]), float64(pix[w*h*5/4+h/4*w/2+x/2])}
					for k, want := range [3]float64{y, cb, cr} {
						if math.Abs(got[k]-want) > tolerance {
							t.Errorf("bar %d: %.0f, want %.1f %.1f %.1f", i, got, y, cb, cr)
							break
						}
					}
				}
				checkTags(t, out)
			})
		}
	})
}

func TestFit(t *testing.T) {
	for _, test := range []struct {
		sw, sh, w, h int
		crop         string
		scaledW      int
		scaledH      int
		padded       bool
	}{
		{1920, 1080, 1280, 720, "", 1280, 720, false},
		{1440, 1080, 1920, 1080, "", 1440, 1080, true},                      // 4:3 into 16:9: a quarter would be lost
		{1080, 1920, 1920, 1080, "", 608, 1080, true},                       // upright
		{1920, 1200, 1920, 1080, "crop=iw:ih*0.900000,", 1920, 1080, false}, // 16:10: a tenth is lost
		{2048, 1080, 1920, 1080, "crop=iw*0.937500:ih,", 1920, 1080, false},
		{1920, 800, 1920, 1080, "", 1920, 800, true}, // a quarter
		{1920, 1088, 1920, 1080, "crop=iw:ih*0.992647,", 1920, 1080, false},
	} {
		crop, w, h, pad := fit(test.sw, test.sh, test.w, test.h)
		if crop != test.crop || w != test.scaledW || h != test.scaledH || (pad != "") != test.padded {
			t.Errorf("%d x %d into %d x %d: crop %q, %d x %d, pad %q", test.sw, test.sh, test.w, test.h, crop, w, h, pad)
		}
	}
}

// A clip with a bright top half, stored turned in all four ways and with
// oblong pixels, must come out upright and of the right shape.
func TestPicturesAreUprightAndSquare(t *testing.T) {
	dir := t.TempDir()
	eachEngine(t, func(t *testing.T, e *Engine) {
		ctx := context.Background()
		for rotation, turn := range map[int]string{0: "null", 90: "transpose=cclock", 180: "hflip,vflip", 270: "transpose=clock"} {
			if e.Kind() == Embedded && rotation != 90 {
				continue // each start costs it half a second
			}
			// Upright it is 160 x 120 with a bright top.
			stored := plain(t, "-f", "lavfi", "-i", "color=s=160x120:r=25:d=0.04,format=yuv420p,geq=lum='if(lt(Y,60),200,50)':cb=128:cr=128,"+turn, "-f", "rawvideo", "-")
			w, h := 160, 120
			if rotation%180 == 90 {
				w, h = 120, 160
			}
			path := filepath.Join(dir, fmt.Sprint(e.Kind(), rotation, ".mp4"))
			n := 0
			if err := e.Encode(ctx, EncodeSpec{Out: path, Width: w, Height: h, Rate: rate25, Format: YUV420P, Rotation: rotation, Encoder: quick}, func(pix []byte) error {
				if n++; n > 10 {
					return io.EOF
				}
				copy(pix, stored)
				return nil
			}); err != nil {
				t.Fatal(err)
			}
			info := probeOf(t, path)
			if p := info.Picture; p.Width != 160 || p.Height != 120 || p.Rotation != rotation {
				t.Errorf("turned by %d: %+v", rotation, *p)
			}
			var top, bottom byte
			if err := e.Frames(ctx, path, FramesOptions{From: 0.1, Count: 1, Width: 80, Height: 60, Format: Gray}, func(_ int, pix []byte) error {
				top, bottom = pix[10*80+40], pix[50*80+40]
				return nil
			}); err != nil {
				t.Fatal(err)
			}
			if top < 150 || bottom > 100 {
				t.Errorf("turned by %d: top %d, bottom %d", rotation, top, bottom)
			}
			still, err := e.Still(ctx, path, 0.1, 96)
			if err != nil {
				t.Fatal(err)
			}
			picture, err := jpeg.Decode(bytes.NewReader(still))
			if err != nil {
				t.Fatal(err)
			}
			if b := picture.Bounds(); b.Dx() != 96 || b.Dy() != 72 {
				t.Errorf("turned by %d: a still of %v, want 96 x 72", rotation, b)
			}
			if r, _, _, _ := picture.At(48, 10).RGBA(); r>>8 < 150 {
				t.Errorf("turned by %d: the still is not upright", rotation)
			}
		}
	})
	oblong := filepath.Join(dir, "oblong.mkv")
	plain(t, "-f", "lavfi", "-i", "testsrc=s=720x576:r=25:d=0.2,setsar=16/15", "-c:v", "libx264", oblong)
	if p := probeOf(t, oblong).Picture; p.Width != 768 || p.Height != 576 {
		t.Errorf("720 x 576 with pixels of 16:15 is seen as %d x %d, want 768 x 576", p.Width, p.Height)
	}
}

// The same second in three codecs looks and sounds the same: the real decoders
// against each other.
func TestCodecsAgreeOnTheSameSecond(t *testing.T) {
	const w, h = 80, 60
	at := func(e *Engine, file string) (pix []byte) {
		err := e.Frames(context.Background(), filepath.Join("testdata", file), FramesOptions{From: 0.4, Count: 1, Rate: rate25, Width: w, Height: h, Format: RGB24},
			func(_ int, p []byte) error { pix = bytes.Clone(p); return nil })
		if err != nil || len(pix) != 3*w*h {
			t.Fatalf("%s: %d bytes, %v", file, len(pix), err)
		}
		return pix
	}
	want := at(engines[0], "group-codec-h264-aac.mp4")
	const tolerance = 4.0 // mean 8-bit steps that coarse coding may change
	for _, e := range engines {
		for _, file := range []string{"group-codec-h264-aac.mp4", "group-codec-hevc-aac.mp4", "group-codec-vp8-opus.webm"} {
			sum := 0.0
			for i, v := range at(e, file) {
				sum += math.Abs(float64(v) - float64(want[i]))
			}
			if mean := sum / float64(len(want)); mean > tolerance {
				t.Errorf("%s, %s: on average %.1f steps from the H.264 picture", e.Kind(), file, mean)
			}
		}
	}
}

func TestFramesAtAGivenRate(t *testing.T) {
	c := counterClips(t)["variable"]
	numbers := shownNumbers(t, c.path, counterW, counterH)
	eachEngine(t, func(t *testing.T, e *Engine) {
		var got []int
		take := func(i int, pix []byte) error {
			if i != len(got) {
				t.Errorf("picture %d comes as number %d", len(got), i)
			}
			got = append(got, readCounter(pix, 80, 45))
			return nil
		}
		o := FramesOptions{From: 2.345, Count: 20, Rate: film.Rate{Num: 10, Den: 1}, Width: 80, Height: 45, Format: Gray}
		if err := e.Frames(context.Background(), c.path, o, take); err != nil {
			t.Fatal(err)
		}
		if len(got) != 20 {
			t.Errorf("%d pictures, want 20", len(got))
		}
		checkNearest(t, c, numbers, got, 2.345, 1, o.Rate)

		got = nil // and all pictures as they come
		if err := e.Frames(context.Background(), c.path, FramesOptions{From: 7, Width: 80, Height: 45, Format: Gray}, take); err != nil {
			t.Fatal(err)
		}
		var want []int
		for i, v := range c.times {
			if v >= 7-0.0005 {
				want = append(want, numbers[i])
			}
		}
		if fmt.Sprint(got) != fmt.Sprint(want) {
			t.Errorf("from 7 s on: %v, want %v", got, want)
		}
	})
}

func TestStillBeyondTheEnd(t *testing.T) {
	_, err := engines[0].Still(context.Background(), "testdata/group-codec-h264-aac.mp4", 30, 100)
	if film.CodeOf(err) != film.CodeUnreadable {
		t.Errorf("got %v, want code %s", err, film.CodeUnreadable)
	}
}

// Every eighth column is bright; a pixel of an averaged picture of a quarter of the
// width is the mean of four columns, one of them bright or none.
func TestFramesAveraged(t *testing.T) {
	const w, h = 80, 45
	clip := filepath.Join(t.TempDir(), "columns.mp4")
	plain(t, "-f", "lavfi", "-i", "nullsrc=s=320x180:r=25:d=0.2,geq=lum='if(eq(mod(X,8),0),216,16)':cb=128:cr=128", "-pix_fmt", "yuv420p",
		"-c:v", "libx264", "-qp", "0", "-color_range", "tv", "-colorspace", "bt709", clip)
	eachEngine(t, func(t *testing.T, e *Engine) {
		frames := 0
		err := e.Frames(t.Context(), clip, FramesOptions{Width: w, Height: h, Format: YUV444P, Averaged: true}, func(_ int, pix []byte) error {
			frames++
			for i, got := range pix {
				want := 128.0
				if i < w*h {
					want = []float64{16 + 200/4, 16}[i%2]
				}
				if math.Abs(float64(got)-want) > 1 { // rounding
					t.Fatalf("byte %d is %d, want %g", i, got, want)
				}
			}
			return nil
		})
		if err != nil || frames != 5 {
			t.Errorf("%d frames, %v", frames, err)
		}
	})
}
