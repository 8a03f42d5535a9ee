package media

import (
	"context"
	"fmt"
	"math"
	"path/filepath"
	"strings"
	"testing"
)

// Check values of the transfer functions.
// Source: [BT2100]: HLG 1/12 of scene light is signal 0.5; PQ 100 cd/m2 is
// signal 0.5081 and 10000 is 1. [BT2408], Table 1: 203 cd/m2 of diffuse white is
// 75 % in HLG and 58 % in PQ.
func TestToneCurves(t *testing.T) {
	near := func(name string, got, want, tolerance float64) {
		t.Helper()
		if math.Abs(got-want) > tolerance {
			t.Errorf("%s: %.5f, want %.5f", name, got, want)
		}
	}
	near("HLG 0.5", hlgScene(0.5), 1.0/12, 1e-6)
	near("HLG 0.672358", hlgScene(0.672358), 0.18, 1e-6)
	near("HLG 1", hlgScene(1), 1, 1e-5)
	near("PQ 0.5081", pqNits(0.5081), 100, 0.05)
	near("PQ 1", pqNits(1), 10000, 1e-6)
	near("HLG 75 % is diffuse white", hlgLight([3]float64{.75, .75, .75})[0], 1, 0.01)
	near("PQ 58 % is diffuse white", pqNits(0.58)/diffuseWhiteNits, 1, 0.02)
	for _, transfer := range []string{"arib-std-b67", "smpte2084", "bt709"} {
		before := -1.0
		for i := range 101 {
			v := float64(i) / 100
			out := toneMap(transfer, [3]float64{v, v, v})
			near(transfer+" keeps grey grey", math.Max(math.Abs(out[0]-out[1]), math.Abs(out[1]-out[2])), 0, 1e-4)
			if out[1] < before-1e-9 || out[1] > 1 || out[1] < 0 {
				t.Errorf("%s: %g gives %g after %g", transfer, v, out[1], before)
			}
			before = out[1]
		}
	}
	// A BT.709 red expressed in BT.2020 comes back as red. Source: [BT2087].
	red := [3]float64{math.Pow(0.6274, 1/displayGamma), math.Pow(0.0691, 1/displayGamma), math.Pow(0.0164, 1/displayGamma)}
	out := toneMap("bt2020-10", red)
	near("red", out[0], 1, 0.002)
	near("green of red", out[1], 0, 0.05)
	near("blue of red", out[2], 0, 0.05)
}

// A grey HLG ramp through the whole chain lands where the curve says.
func TestShotOfHLG(t *testing.T) {
	dir := t.TempDir()
	source := filepath.Join(dir, "hlg.mp4")
	plain(t, "-f", "lavfi", "-i", "color=s=320x64:r=25:d=0.4,format=yuv420p10le,geq=lum='64+876*floor(X/40)/8':cb=512:cr=512",
		"-c:v", "libx264", "-qp", "0", "-colorspace", "bt2020nc", "-color_primaries", "bt2020", "-color_trc", "arib-std-b67", "-color_range", "tv", source)
	const tolerance = 2 // 8-bit steps: one of the table's interpolation, one of rounding
	eachEngine(t, func(t *testing.T, e *Engine) {
		info := probeOf(t, source)
		if !info.Picture.HDR {
			t.Fatalf("not seen as HDR: %+v", *info.Picture)
		}
		out := filepath.Join(t.TempDir(), "shot.mp4")
		if err := e.Shot(context.Background(), ShotSpec{
			Source: source, Info: info, Frames: 3, Rate: rate25, Width: 320, Height: 64, Out: out,
			Encoder: EncoderSettings{CRF: 1, Preset: "ultrafast"},
		}, nil); err != nil {
			t.Fatal(err)
		}
		pix := plain(t, "-i", out, "-frames:v", "1", "-f", "rawvideo", "-pix_fmt", "yuv420p", "-")
		for i := range 8 {
			v := float64(i) / 8
			want := 16 + 219*toneMap("arib-std-b67", [3]float64{v, v, v})[1]
			if got := float64(pix[32*320+40*i+20]); math.Abs(got-want) > tolerance {
				t.Errorf("HLG %.3f gives %.0f, want %.1f", v, got, want)
			}
		}
	})
}

// The reference levels of HLG and PQ through a whole shot. Both say the same
// light, so both must give the same picture.
//
// Source: [BT2408], Table 1: the 18 % grey card is 26 cd/m2, signal 38 % in both;
// diffuse white is 203 cd/m2, 75 % in HLG and 58 % in PQ. Written from memory.
// What the shot makes of the light is our own mapping, as ToneNote says it.
func TestShotOfReferenceLevels(t *testing.T) {
	for _, c := range []struct {
		transfer string
		signal   [3]float64 // black, grey card, diffuse white
	}{
		{"arib-std-b67", [3]float64{0, 0.38, 0.75}},
		{"smpte2084", [3]float64{0, 0.38, 0.58}},
	} {
		t.Run(c.transfer, func(t *testing.T) {
			dir := t.TempDir()
			source := filepath.Join(dir, "hdr.mp4")
			code := func(v float64) int { return int(math.Round(64 + 876*v)) }
			plain(t, "-f", "lavfi", "-i", fmt.Sprintf("color=s=240x64:r=25:d=0.4,format=yuv420p10le,geq=lum='if(lt(X,80),%d,if(lt(X,160),%d,%d))':cb=512:cr=512", code(c.signal[0]), code(c.signal[1]), code(c.signal[2])),
				"-c:v", "libx264", "-qp", "0", "-colorspace", "bt2020nc", "-color_primaries", "bt2020", "-color_trc", c.transfer, "-color_range", "tv", source)
			info := probeOf(t, source)
			if !info.Picture.ToneMapped() || !strings.Contains(info.Picture.ToneNote(), "203 cd/m²") {
				t.Errorf("said of it: %q", info.Picture.ToneNote())
			}
			out := filepath.Join(dir, "shot.mp4")
			if err := engines[0].Shot(context.Background(), ShotSpec{
				Source: source, Info: info, Frames: 3, Rate: rate25, Width: 240, Height: 64, Out: out,
				Encoder: EncoderSettings{CRF: 1, Preset: "ultrafast"},
			}, nil); err != nil {
				t.Fatal(err)
			}
			pix := plain(t, "-i", out, "-frames:v", "1", "-f", "rawvideo", "-pix_fmt", "yuv420p", "-")
			// A gamma 2.4 display gives back 26/203 of white unchanged, and 85 % for white.
			grey := 16 + 219*math.Pow(26.0/203, 1/2.4)
			white := 16 + 219*math.Pow(0.853, 1/2.4)
			const tolerance = 2.5 // 8-bit steps: percentages without a decimal are 1.4 steps of grey
			for i, want := range []float64{16, grey, white} {
				if got := float64(pix[32*240+80*i+40]); math.Abs(got-want) > tolerance {
					t.Errorf("signal %g gives %.0f, want %.1f", c.signal[i], got, want)
				}
			}
		})
	}
	for _, name := range []string{"rotation-0.mov", "phone-dolbyvision-hlg10-rot.mov"} {
		p := probeOf(t, filepath.Join("testdata", name)).Picture
		if p.ToneMapped() != (p.ToneNote() != "") || p.ToneMapped() != p.HDR {
			t.Errorf("%s: tone-mapped %v, %q", name, p.ToneMapped(), p.ToneNote())
		}
	}
}
