package look

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"testing"

	"takeweave/internal/interchange"
)

// throughFFmpeg runs raw pixels through a filter of a native FFmpeg.
func throughFFmpeg(t *testing.T, format string, w, h int, pix []byte, filter string) []byte {
	t.Helper()
	ffmpeg, err := exec.LookPath("ffmpeg")
	if err != nil {
		t.Skip("no FFmpeg")
	}
	cmd := exec.Command(ffmpeg, "-v", "error", "-f", "rawvideo", "-pix_fmt", format, "-s", fmt.Sprintf("%dx%d", w, h),
		"-i", "-", "-vf", filter, "-f", "rawvideo", "-pix_fmt", format, "-")
	cmd.Stdin = bytes.NewReader(pix)
	var complaint bytes.Buffer
	cmd.Stderr = &complaint
	out, err := cmd.Output()
	if err != nil || len(out) != len(pix) {
		t.Fatalf("%d bytes, %v\n%s", len(out), err, complaint.Bytes())
	}
	return out
}

// TestFFmpegAgrees: the baked table, written as cube text, does in FFmpeg's lut3d
// filter what it does here. FFmpeg rounds down where we round, and works in single
// precision.
func TestFFmpegAgrees(t *testing.T) {
	const w, h, tolerance = 200, 100, 4
	pixels := noise(w * h)
	src := make([]uint16, 0, 3*w*h)
	var raw []byte
	for _, c := range pixels {
		for _, v := range c {
			code := uint16(math.Round(65535 * v))
			src, raw = append(src, code), binary.LittleEndian.AppendUint16(raw, code)
		}
	}
	for name, b := range bakedLooks(t) {
		text, err := interchange.WriteCube(b.LUT(name))
		if err != nil {
			t.Fatal(err)
		}
		cube := filepath.Join(t.TempDir(), "look.cube")
		if err := os.WriteFile(cube, text, 0o600); err != nil {
			t.Fatal(err)
		}
		theirs := throughFFmpeg(t, "rgb48le", w, h, raw, "lut3d=file="+cube+":interp=tetrahedral")
		ours := make([]uint16, len(src))
		b.Painter().Paint16(ours, src, 1)
		worst := 0
		for i, v := range ours {
			d := int(v) - int(binary.LittleEndian.Uint16(theirs[2*i:]))
			worst = max(worst, d, -d)
		}
		t.Logf("%s: at most %d codes of 65535 apart", name, worst)
		if worst > tolerance {
			t.Errorf("%s: %d codes of 65535 apart", name, worst)
		}
	}
}

// TestFFmpegDarkensAlike: FFmpeg's vignette filter follows the same law when it
// is given the angle. It works in steps of a 255th and takes whole pixels as
// places.
func TestFFmpegDarkensAlike(t *testing.T) {
	const w, h, tolerance = 320, 180, 2
	white := bytes.Repeat([]byte{255}, 3*w*h)
	e := Edge{Stops: 1.2}
	theirs := throughFFmpeg(t, "rgb24", w, h, white, fmt.Sprintf("vignette=angle=%.9f:dither=0", e.Angle()))
	mask := e.Mask(w, h)
	for y := range h {
		for x := range w {
			ours := float64(mask.Gray16At(x, y).Y) / 257
			if d := math.Abs(ours - float64(theirs[3*(y*w+x)])); d > tolerance {
				t.Fatalf("pixel %d, %d: %.1f here, %d there", x, y, ours, theirs[3*(y*w+x)])
			}
		}
	}
}
