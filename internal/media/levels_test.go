package media

import (
	"context"
	"encoding/binary"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"testing"
)

// levelsClip codes one colour without loss in 8 or 10 bits, at full or limited
// range. Source: [BT709], items 3.5 and 3.6: 10-bit levels are four times those
// of 8 bits; at full range white is 255 and 1023.
func levelsClip(t *testing.T, rgb [3]float64, bits int, full bool) string {
	t.Helper()
	const size = 64
	y, cb, cr := levels(rgb, 0.2126, 0.0722, full)
	scale := 1.0
	switch {
	case bits == 10 && full:
		scale = 1023.0 / 255
		cb, cr = (cb-128)+512/scale, (cr-128)+512/scale
	case bits == 10:
		scale = 4
	}
	var raw []byte
	add := func(v float64, n int) {
		code := uint16(math.Round(min(v*scale, math.Exp2(float64(bits))-1)))
		for range n {
			if bits == 8 {
				raw = append(raw, byte(code))
			} else {
				raw = binary.LittleEndian.AppendUint16(raw, code)
			}
		}
	}
	for range 5 {
		add(y, size*size)
		add(cb, size*size/4)
		add(cr, size*size/4)
	}
	path := filepath.Join(t.TempDir(), "colour.yuv")
	if err := os.WriteFile(path, raw, 0o600); err != nil {
		t.Fatal(err)
	}
	format, marked := map[int]string{8: "yuv420p", 10: "yuv420p10le"}[bits], map[bool]string{false: "tv", true: "pc"}[full]
	out := path + ".mp4"
	plain(t, "-f", "rawvideo", "-pix_fmt", format, "-s", fmt.Sprintf("%dx%d", size, size), "-r", "25", "-i", path, "-c:v", "libx264", "-qp", "0",
		"-colorspace", "bt709", "-color_primaries", "bt709", "-color_trc", "bt709", "-color_range", marked, out)
	return out
}

// The same colour in 8 and 10 bits, at full and limited range, is the same
// picture, ungraded and graded (by a table that changes nothing).
func TestBitsAndRangeDoNotChangeThePicture(t *testing.T) {
	table := filepath.Join(t.TempDir(), "same.cube")
	if err := os.WriteFile(table, []byte("LUT_3D_SIZE 2\n0 0 0\n1 0 0\n0 1 0\n1 1 0\n0 0 1\n1 0 1\n0 1 1\n1 1 1\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	const size = 64
	const tolerance = 1.0 // 8-bit steps, of the mean: rounding of the source and of the film
	for _, rgb := range [][3]float64{{0, 0, 0}, {1, 1, 1}, {0.18, 0.18, 0.18}, {0.75, 0.2, 0.1}, {0.1, 0.3, 0.8}} {
		y, cb, cr := levels(rgb, 0.2126, 0.0722, false)
		for _, bits := range []int{8, 10} {
			for _, full := range []bool{false, true} {
				source := levelsClip(t, rgb, bits, full)
				info := probeOf(t, source)
				if info.Picture.Bits != bits || info.Picture.FullRange != full || info.Picture.ToneMapped() {
					t.Errorf("%d bits, full range %v, is seen as %+v", bits, full, *info.Picture)
				}
				for _, table := range []string{"", table} {
					out := filepath.Join(t.TempDir(), "shot.mp4")
					if err := engines[0].Shot(context.Background(), ShotSpec{
						Source: source, Info: info, Frames: 2, Rate: rate25, Width: size, Height: size, Out: out,
						Grade: Grade{Table: table}, Encoder: EncoderSettings{CRF: 1, Preset: "ultrafast"},
					}, nil); err != nil {
						t.Fatal(err)
					}
					pix := plain(t, "-i", out, "-frames:v", "1", "-f", "rawvideo", "-pix_fmt", "yuv420p", "-")
					got := [3]float64{mean(pix[:size*size]), mean(pix[size*size : size*size*5/4]), mean(pix[size*size*5/4:])}
					for i, want := range [3]float64{y, cb, cr} {
						if math.Abs(got[i]-want) > tolerance {
							t.Errorf("%v in %d bits, full range %v, table %v: %.2f, want %.2f %.2f %.2f", rgb, bits, full, table != "", got, y, cb, cr)
							break
						}
					}
				}
			}
		}
	}
}

func mean(pix []byte) float64 {
	sum := 0.0
	for _, v := range pix {
		sum += float64(v)
	}
	return sum / float64(len(pix))
}
