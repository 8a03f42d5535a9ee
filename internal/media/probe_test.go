package media

import (
	"context"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"

	"takeweave/internal/film"
)

// What the clips in testdata are, by testdata/README.md and by reading their
// boxes with ffprobe 5.1.
func TestProbeOfRealClips(t *testing.T) {
	const sixtieth = 1.0 / 60
	tests := []struct {
		file             string
		duration         float64
		w, h, rotation   int
		rate             film.Rate
		codec, sound     string
		soundRate, chans int
		check            func(Info) bool
	}{
		{"rotation-0.mov", 0.1, 568, 320, 0, film.Rate{Num: 30, Den: 1}, "h264", "", 0, 0, nil},
		{"rotation-90.mov", 0.1, 320, 568, 90, film.Rate{Num: 30, Den: 1}, "h264", "", 0, 0, nil},
		{"rotation-180.mov", 0.1, 568, 320, 180, film.Rate{Num: 30, Den: 1}, "h264", "", 0, 0, nil},
		{"rotation-270.mov", 0.1, 320, 568, 270, film.Rate{Num: 30, Den: 1}, "h264", "", 0, 0, nil},
		{"group-codec-h264-aac.mp4", 1.045, 640, 480, 0, film.Rate{Num: 30000, Den: 1001}, "h264", "aac", 44100, 2, nil},
		{"group-codec-hevc-aac.mp4", 1.045, 640, 480, 0, film.Rate{Num: 30000, Den: 1001}, "hevc", "aac", 44100, 2, nil},
		{"group-codec-vp8-opus.webm", 1.041, 640, 480, 0, film.Rate{Num: 30000, Den: 1001}, "vp8", "opus", 48000, 2, nil},
		{
			"editlist-positive-shift.mp4", 10.006, 1920, 1080, 0,
			film.Rate{Num: 30, Den: 1},
			"h264", "aac", 48000, 2,
			func(i Info) bool { return i.Picture.Start == 1 && i.Picture.End == 10 && i.Sound.Start == 0 },
		},
		{
			"phone-dolbyvision-hlg10-rot.mov", 0.107, 720, 1280, 90,
			film.Rate{Num: 30, Den: 1},
			"hevc", "aac", 44100, 2,
			func(i Info) bool { return i.Picture.HDR && i.Picture.Bits == 10 && i.Picture.Primaries == "bt2020" },
		},
		{
			"selfie-bt601.mov", 1.020, 640, 428, 0,
			film.Rate{Num: 300000, Den: 10201},
			"h264", "aac", 44100, 1,
			func(i Info) bool { return i.Picture.Matrix == "smpte170m" && i.Picture.Variable },
		},
		{
			"sound-shorter-than-picture.mp4", 1.2, 320, 240, 0,
			film.Rate{Num: 60, Den: 1},
			"h264", "aac", 44100, 1,
			func(i Info) bool {
				return i.Picture.FullRange && i.Sound.Duration < 0.8 && i.Picture.End > 1.2-sixtieth
			},
		},
	}
	eachEngine(t, func(t *testing.T, e *Engine) {
		for i, test := range tests {
			if e.Kind() == Embedded && i%4 != 0 {
				continue // each start costs it half a second
			}
			t.Run(test.file, func(t *testing.T) {
				got, err := e.Probe(context.Background(), filepath.Join("testdata", test.file))
				if err != nil {
					t.Fatal(err)
				}
				p := got.Picture
				if p.Width != test.w || p.Height != test.h || p.Rotation != test.rotation || p.Rate != test.rate || p.Codec != test.codec {
					t.Errorf("picture %+v, want %d x %d turned %d at %s, %s", *p, test.w, test.h, test.rotation, test.rate, test.codec)
				}
				if d := got.Duration - test.duration; d < -0.001 || d > 0.001 {
					t.Errorf("duration %.4f s, want %.3f s", got.Duration, test.duration)
				}
				var sound Sound
				if got.Sound != nil {
					sound = *got.Sound
				}
				if sound.Codec != test.sound || sound.Rate != test.soundRate || sound.Channels != test.chans {
					t.Errorf("sound %+v, want %q, %d Hz, %d channels", sound, test.sound, test.soundRate, test.chans)
				}
				if test.check != nil && !test.check(got) {
					t.Errorf("something is amiss in %+v, %+v", *p, sound)
				}
			})
		}
	})
}

func TestProbeRefusesWithAReason(t *testing.T) {
	dir := t.TempDir()
	write := func(name string, content []byte) {
		if err := os.WriteFile(filepath.Join(dir, name), content, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	clip, err := os.ReadFile("testdata/group-codec-h264-aac.mp4")
	if err != nil {
		t.Fatal(err)
	}
	write("empty.mp4", nil)
	write("notes.txt", []byte(strings.Repeat("shot list for the net loft\n", 200)))
	write("letter.mp4", []byte(strings.Repeat("this is no film. ", 3000)))
	write("head only.mp4", clip[:40])
	plain(t, "-f", "lavfi", "-i", "testsrc=d=2:r=25:s=320x180", "-c:v", "libx264", filepath.Join(dir, "whole.mp4"))
	whole, err := os.ReadFile(filepath.Join(dir, "whole.mp4"))
	if err != nil {
		t.Fatal(err)
	}
	write("cut off.mp4", whole[:len(whole)/2]) // the table of contents lies at the end
	plain(t, "-f", "lavfi", "-i", "testsrc=s=320x180", "-frames:v", "1", filepath.Join(dir, "still.png"))
	if err := os.Mkdir(filepath.Join(dir, "folder.mp4"), 0o700); err != nil {
		t.Fatal(err)
	}
	eachEngine(t, func(t *testing.T, e *Engine) {
		for name, want := range map[string]struct {
			code  film.Code
			words string
		}{
			"empty.mp4":     {film.CodeUnreadable, "empty"},
			"notes.txt":     {film.CodeUnreadable, "not a film"},
			"letter.mp4":    {film.CodeUnreadable, "not a film"},
			"head only.mp4": {film.CodeUnreadable, ""},
			"cut off.mp4":   {film.CodeUnreadable, "cut off"},
			"still.png":     {film.CodeUnreadable, "not a film"},
			"folder.mp4":    {film.CodeUnreadable, "folder"},
			"nowhere.mp4":   {film.CodeNotFound, "not there"},
		} {
			if e.Kind() == Embedded && name != "cut off.mp4" && name != "notes.txt" {
				continue
			}
			_, err := e.Probe(context.Background(), filepath.Join(dir, name))
			if film.CodeOf(err) != want.code || err == nil || !strings.Contains(err.Error(), want.words) || film.HintOf(err) == "" {
				t.Errorf("%s: got %v (%s; hint %q), want code %s and the words %q", name, err, film.CodeOf(err), film.HintOf(err), want.code, want.words)
			}
		}
	})
}

// The start of the container is the clip's 0, whatever number it has there.
func TestProbeOfATransportStreamStartsAtZero(t *testing.T) {
	c := counterClips(t)["transport stream, start not 0"]
	eachEngine(t, func(t *testing.T, e *Engine) {
		info, err := e.Probe(context.Background(), c.path)
		if err != nil {
			t.Fatal(err)
		}
		if p := info.Picture; p.Start > 0.001 || p.End < 7.9 || p.End > 8.1 {
			t.Errorf("picture from %.3f to %.3f s, want 0 to 8", p.Start, p.End)
		}
	})
}

// A recording that was never finished says nothing of its length.
func TestProbeOfAnUnfinishedMatroska(t *testing.T) {
	path := filepath.Join(t.TempDir(), "unfinished.mkv")
	pipe := plain(t, "-f", "lavfi", "-i", "testsrc=d=3:r=25:s=160x90", "-f", "lavfi", "-i", "sine=d=3", "-c:v", "libx264", "-g", "25", "-f", "matroska", "-")
	if err := os.WriteFile(path, pipe, 0o600); err != nil {
		t.Fatal(err)
	}
	eachEngine(t, func(t *testing.T, e *Engine) {
		info, err := e.Probe(context.Background(), path)
		if err != nil {
			t.Fatal(err)
		}
		if info.Duration < 2.9 || info.Duration > 3.1 || info.Picture.End < 2.9 || info.Sound.Duration < 2.9 {
			t.Errorf("%.2f s, picture to %.2f s, sound %.2f s long, want 3 s", info.Duration, info.Picture.End, info.Sound.Duration)
		}
	})
}

// dataDir returns the folder of open clips that is too large for the
// repository.
func dataDir(t *testing.T) string {
	t.Helper()
	dir := os.Getenv("TAKEWEAVE_DATA")
	if dir == "" {
		dir = "../../../shared/data"
	}
	if _, err := os.Stat(dir); err != nil {
		t.Skip("the large set of open clips is not here; set TAKEWEAVE_DATA")
	}
	return dir
}

func TestEveryOpenClipIsUsedOrRefused(t *testing.T) {
	files, err := filepath.Glob(filepath.Join(dataDir(t), "video", "*"))
	if err != nil || len(files) == 0 {
		t.Fatalf("no clips: %v", err)
	}
	refused := map[string]bool{"mxf-timecode-truncated.mxf": true}
	native, embedded := engines[0], engines[1]
	for i, path := range files {
		t.Run(filepath.Base(path), func(t *testing.T) {
			t.Parallel()
			ctx := context.Background()
			info, err := native.Probe(ctx, path)
			if i%16 == 0 { // a start of the embedded engine costs half a second
				other, otherErr := embedded.Probe(ctx, path)
				if (err == nil) != (otherErr == nil) || !reflect.DeepEqual(info, other) {
					t.Errorf("the engines see different things: %+v %v and %+v %v", info, err, other, otherErr)
				}
			}
			if refused[filepath.Base(path)] {
				if film.CodeOf(err) != film.CodeUnreadable || film.HintOf(err) == "" {
					t.Errorf("got %v, want a refusal with a hint", err)
				}
				return
			}
			if err != nil {
				t.Fatal(err)
			}
			n := 0
			err = native.Frames(ctx, path, FramesOptions{From: film.PassTime(info.Picture.Start), Count: 3, Rate: rate25, Width: 64, Height: 36, Format: Gray},
				func(int, []byte) error { n++; return nil })
			if err != nil || n == 0 {
				t.Errorf("%d pictures, %v", n, err)
			}
		})
	}
}
