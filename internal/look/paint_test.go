package look

import (
	"bytes"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
	"time"
)

// bakedLook is the look of the other tests, and one that leaves 0..1.
func bakedLooks(t testing.TB) map[string]Baked {
	t.Helper()
	l, a, b := aLook()
	full, err := NewChain(l, Trim{}, a, b)
	if err != nil {
		t.Fatal(err)
	}
	up, err := NewChain(Look{ExposureStops: 1.5, White: White{ShiftMired: 60}}, Trim{}, nil, nil)
	if err != nil {
		t.Fatal(err)
	}
	return map[string]Baked{"full": full.Bake(33), "beyond white": up.Bake(65), "none": {Table: IdentityTable(33)}}
}

// noise is pixels of all kinds, greys, corners and ties among them.
func noise(n int) []RGB {
	all := Colours(n, 5)
	for i := range all {
		switch i % 8 {
		case 0:
			all[i] = RGB{all[i][0], all[i][0], all[i][0]}
		case 1:
			for c, v := range all[i] {
				all[i][c] = math.Round(v)
			}
		case 2:
			all[i][1] = all[i][0]
		}
	}
	return all
}

// TestPaint compares with the plain tetrahedral interpolation. In 8 bits, values
// of 13 bits over at most 2 and fractions of 8 bits are off by less than a third
// of a code, beside the rounding to codes; in 16 bits both are of 16 bits over at
// most 2, which is a code for the value and two for the place.
func TestPaint(t *testing.T) {
	const off8, off16 = 0.5 + 0.34, 0.5 + 3
	pixels := noise(50_001)
	for name, b := range bakedLooks(t) {
		p := b.Painter()
		src8, src16 := make([]byte, 3*len(pixels)), make([]uint16, 3*len(pixels))
		for i, c := range pixels {
			for k, v := range c {
				src8[3*i+k], src16[3*i+k] = uint8(math.Round(255*v)), uint16(math.Round(65535*v))
			}
		}
		dst8, dst16 := make([]byte, len(src8)), make([]uint16, len(src16))
		p.Paint8(dst8, src8, 3)
		p.Paint16(dst16, src16, 2)
		worst8, worst16 := 0.0, 0.0
		for i := 0; i < len(src8); i += 3 {
			want8 := tetrahedral(b.Table, RGB{float64(src8[i]) / 255, float64(src8[i+1]) / 255, float64(src8[i+2]) / 255})
			want16 := tetrahedral(b.Table, RGB{float64(src16[i]) / 65535, float64(src16[i+1]) / 65535, float64(src16[i+2]) / 65535})
			for k := range 3 {
				worst8 = math.Max(worst8, math.Abs(float64(dst8[i+k])-255*clamp01(want8[k])))
				worst16 = math.Max(worst16, math.Abs(float64(dst16[i+k])-65535*clamp01(want16[k])))
			}
		}
		t.Logf("%s: worst %.2f of 255, %.2f of 65535", name, worst8, worst16)
		if worst8 > off8 || worst16 > off16 {
			t.Errorf("%s: off by %.2f of 255 and %.2f of 65535", name, worst8, worst16)
		}
		again := bytes.Clone(src8)
		p.Paint8(again, again, 1)
		if !bytes.Equal(again, dst8) {
			t.Errorf("%s: in place and by one goroutine it paints otherwise", name)
		}
	}
	same := make([]byte, 3*256)
	for i := range same {
		same[i] = byte(i / 3)
	}
	got := make([]byte, len(same))
	(Baked{Table: IdentityTable(33)}).Painter().Paint8(got, same, 1)
	if !bytes.Equal(got, same) {
		t.Error("a table that changes nothing changes greys")
	}
}

// frame is a full HD frame of soft shapes with a little grain, as pictures are.
func frame() []byte {
	const w, h = 1920, 1080
	pix := make([]byte, 0, 3*w*h)
	grain := Colours(4096, 9)
	for y := range h {
		for x := range w {
			g := grain[(x*31+y*17)%4096]
			u, v := float64(x)/w, float64(y)/h
			for c, wave := range [3]float64{3, 4, 5} {
				s := 0.45 + 0.35*math.Sin(wave*u*3+float64(c))*math.Cos(wave*v*2) + 0.02*(g[c]-0.5)
				pix = append(pix, uint8(255*clamp01(s)))
			}
		}
	}
	return pix
}

func BenchmarkPaint8(b *testing.B) {
	p, src := bakedLooks(b)["full"].Painter(), frame()
	dst := make([]byte, len(src))
	b.SetBytes(int64(len(src)))
	for b.Loop() {
		p.Paint8(dst, src, 1)
	}
}

func BenchmarkPaint16(b *testing.B) {
	p, small := bakedLooks(b)["full"].Painter(), frame()
	src := make([]uint16, len(small))
	for i, v := range small {
		src[i] = uint16(v) * 257
	}
	dst := make([]uint16, len(src))
	b.SetBytes(int64(2 * len(src)))
	for b.Loop() {
		p.Paint16(dst, src, 1)
	}
}

// BenchmarkFFmpeg times the lut3d filter of a native FFmpeg on the same frame, one
// thread, planar as it likes it best; the time of the same command without the
// filter must be taken off.
func BenchmarkFFmpeg(b *testing.B) {
	ffmpeg, err := exec.LookPath("ffmpeg")
	if err != nil {
		b.Skip("no FFmpeg")
	}
	dir := b.TempDir()
	var text bytes.Buffer
	t := bakedLooks(b)["full"].Table
	fmt.Fprintf(&text, "LUT_3D_SIZE %d\n", t.Size)
	for _, v := range t.Values {
		fmt.Fprintln(&text, v[0], v[1], v[2])
	}
	cube, raw := filepath.Join(dir, "look.cube"), filepath.Join(dir, "frame.rgb")
	if err := os.WriteFile(cube, text.Bytes(), 0o600); err != nil {
		b.Fatal(err)
	}
	if err := os.WriteFile(raw, frame(), 0o600); err != nil {
		b.Fatal(err)
	}
	const frames = 100
	for _, c := range []struct{ name, filter string }{
		{"without 8 bit", "format=gbrp,loop=99:1"},
		{"lut3d 8 bit", "format=gbrp,loop=99:1,lut3d=file=" + cube + ":interp=tetrahedral"},
		{"without 10 bit", "format=gbrp10,loop=99:1"},
		{"lut3d 10 bit", "format=gbrp10,loop=99:1,lut3d=file=" + cube + ":interp=tetrahedral"},
	} {
		b.Run(c.name, func(b *testing.B) {
			var busy time.Duration // processor time, which a busy machine disturbs least
			for b.Loop() {
				cmd := exec.Command(ffmpeg, "-v", "error", "-threads", "1", "-filter_threads", "1", "-f", "rawvideo",
					"-pix_fmt", "rgb24", "-s", "1920x1080", "-i", raw, "-vf", c.filter, "-f", "null", "-")
				if out, err := cmd.CombinedOutput(); err != nil {
					b.Fatalf("%v\n%s", err, out)
				}
				busy += cmd.ProcessState.UserTime()
			}
			b.ReportMetric(float64(busy.Milliseconds())/float64(b.N)/frames, "cpu-ms/frame")
		})
	}
}
