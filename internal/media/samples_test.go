package media

import (
	"bytes"
	"context"
	"errors"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"takeweave/internal/film"
)

func samplesOf(t *testing.T, e *Engine, path string, rate int) ([]float32, error) {
	t.Helper()
	var all []float32
	err := e.Samples(context.Background(), path, rate, func(s []float32) error {
		all = append(all, s...)
		return nil
	})
	return all, err
}

// loudest returns the index of the strongest sample.
func loudest(samples []float32) int {
	best := 0
	for i, v := range samples {
		if math.Abs(float64(v)) > math.Abs(float64(samples[best])) {
			best = i
		}
	}
	return best
}

// A click 2 s after the start of the picture, in containers and codecs with all
// kinds of starts, must be at its place on the clip clock.
func TestSamplesAreOnTheClipClock(t *testing.T) {
	const rate = 22050
	dir := t.TempDir()
	click := make([]float32, 3*48000)
	click[2*48000] = 0.9
	raw := filepath.Join(dir, "click.f32")
	if err := writeFloats(raw, click); err != nil {
		t.Fatal(err)
	}
	sound := []string{"-f", "f32le", "-ar", "48000", "-ac", "1", "-i", raw}
	picture := []string{"-f", "lavfi", "-i", "testsrc=d=3:r=25:s=160x90"}
	tests := []struct {
		name, file string
		late       float64 // sound after the container's start, in seconds
		args       []string
	}{
		{"aac priming", "a.mp4", 0, []string{"-c:a", "aac"}},
		{"aac late", "b.mp4", 0.4, []string{"-c:a", "aac"}},
		{"pcm", "c.mov", 0, []string{"-c:a", "pcm_s16le"}},
		{"pcm late", "d.mkv", 0.4, []string{"-c:a", "pcm_s16le"}},
		{"transport stream", "e.mts", 0, []string{"-c:a", "aac", "-output_ts_offset", "12.5"}},
		{"transport stream late", "f.mts", 0.4, []string{"-c:a", "ac3"}},
		{"avi", "g.avi", 0, []string{"-c:a", "pcm_s16le"}},
	}
	for _, test := range tests {
		args := append([]string{}, picture...)
		if test.late > 0 {
			args = append(args, "-itsoffset", "0.4")
		}
		args = append(args, sound...)
		args = append(args, "-c:v", "mpeg4", "-bf", "0")
		plain(t, append(append(args, test.args...), filepath.Join(dir, test.file))...)
	}
	eachEngine(t, func(t *testing.T, e *Engine) {
		for i, test := range tests {
			if e.Kind() == Embedded && i%3 != 1 {
				continue // each start costs it half a second
			}
			got, err := samplesOf(t, e, filepath.Join(dir, test.file), rate)
			if err != nil {
				t.Errorf("%s: %v", test.name, err)
				continue
			}
			info := probeOf(t, filepath.Join(dir, test.file))
			want := info.Picture.Start + 2 + test.late // the priming of AAC can come before the picture
			const tolerance = 0.001                    // Matroska stores times to a millisecond
			if at := float64(loudest(got)) / rate; math.Abs(at-want) > tolerance {
				t.Errorf("%s: the click is at %.4f s, want %.4f s", test.name, at, want)
			}
		}
	})
}

// A gap in the sound of a file stays a gap.
func TestSamplesFillGaps(t *testing.T) {
	const rate = 22050
	path := filepath.Join(t.TempDir(), "gap.mkv")
	plain(t, "-f", "lavfi", "-i", "sine=d=6:r=48000", "-af", "aselect='not(between(t,2,3.5))',volume=0.5", "-c:a", "pcm_s16le", path)
	eachEngine(t, func(t *testing.T, e *Engine) {
		got, err := samplesOf(t, e, path, rate)
		if err != nil {
			t.Fatal(err)
		}
		if d := math.Abs(float64(len(got))/rate - 6); d > 0.05 {
			t.Fatalf("%.3f s, want 6 s", float64(len(got))/rate)
		}
		if at := loudest(got[int(2.2*rate):int(3.3*rate)]); got[int(2.2*rate)+at] != 0 {
			t.Errorf("sound in the gap")
		}
		if v := got[loudest(got[:2*rate])]; v == 0 {
			t.Errorf("no sound before the gap")
		}
	})
}

func TestSamplesOfATruncatedFileGoOn(t *testing.T) {
	const rate = 8000
	dir := t.TempDir()
	whole := filepath.Join(dir, "whole.mp4")
	plain(t, "-f", "lavfi", "-i", "testsrc=d=8:r=25:s=320x180", "-f", "lavfi", "-i", "sine=d=8", "-c:v", "libx264", "-c:a", "aac", "-movflags", "+faststart", whole)
	content, err := os.ReadFile(whole)
	if err != nil {
		t.Fatal(err)
	}
	half := filepath.Join(dir, "half.mp4")
	if err := os.WriteFile(half, content[:len(content)*6/10], 0o600); err != nil {
		t.Fatal(err)
	}
	eachEngine(t, func(t *testing.T, e *Engine) {
		got, err := samplesOf(t, e, half, rate)
		if !errors.Is(err, ErrCutShort) || film.CodeOf(err) != film.CodeUnreadable || film.HintOf(err) == "" {
			t.Errorf("got %v, want ErrCutShort", err)
		}
		if s := float64(len(got)) / rate; s < 3 || s > 6.5 {
			t.Errorf("%.2f s could be read of a file cut at six tenths of 8 s", s)
		}
	})
}

func TestSamplesWithoutSound(t *testing.T) {
	eachEngine(t, func(t *testing.T, e *Engine) {
		_, err := samplesOf(t, e, "testdata/rotation-0.mov", 8000)
		if film.CodeOf(err) != film.CodeNoSound {
			t.Errorf("got %v, want code %s", err, film.CodeNoSound)
		}
	})
}

func TestSamplesStopWhenTheSinkSaysSo(t *testing.T) {
	enough := errors.New("enough")
	eachEngine(t, func(t *testing.T, e *Engine) {
		n := 0
		err := e.Samples(context.Background(), "testdata/group-codec-h264-aac.mp4", 48000, func([]float32) error { n++; return enough })
		if !errors.Is(err, enough) || n != 1 {
			t.Errorf("%d calls and %v, want one and the sink's error", n, err)
		}
	})
}

// A plain decode and resampling of a sound that starts at 0 is what Samples
// gives, on both engines.
func TestSamplesAgreeWithThePlainDecoder(t *testing.T) {
	want := monoOf(t, "testdata/group-codec-h264-aac.mp4", 22050)
	eachEngine(t, func(t *testing.T, e *Engine) {
		got, err := samplesOf(t, e, "testdata/group-codec-h264-aac.mp4", 22050)
		if err != nil {
			t.Fatal(err)
		}
		if d := len(got) - len(want); d < -2 || d > 2 {
			t.Fatalf("%d samples, want %d", len(got), len(want))
		}
		const tolerance = 1e-4 // two builds of the decoder round differently
		for i := range min(len(got), len(want)) {
			if d := math.Abs(float64(got[i] - want[i])); d > tolerance {
				t.Fatalf("sample %d is %g, want %g", i, got[i], want[i])
			}
		}
	})
}

func TestTailKeepsTheLastWords(t *testing.T) {
	var log tail
	log.Write([]byte(strings.Repeat("x", 3*tailBytes)))
	log.Write([]byte("the end"))
	if s := log.String(); len(s) != tailBytes || !bytes.HasSuffix([]byte(s), []byte("the end")) {
		t.Errorf("%d bytes that end in %q", len(s), s[len(s)-10:])
	}
}
