package acceptance

import (
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// A day as it comes off the cards: one pass that the camera split in two files,
// one file with two performances, and a recorder that ran beside the camera. All
// is made from practice clips, so that what must come out is known.
func TestPassesAreToldApart(t *testing.T) {
	day := t.TempDir()
	for _, setup := range []string{"face", "wide", "hands", "recorder"} {
		if err := os.MkdirAll(filepath.Join(day, setup), 0o777); err != nil {
			t.Fatal(err)
		}
	}
	clip := func(name string) string { return practice(t, filepath.Join("day01", name)) }
	encode := []string{"-c:v", "libx264", "-preset", "ultrafast", "-c:a", "aac", "-b:a", "128k"}
	ffmpeg := func(args ...string) { native(t, "ffmpeg", append([]string{"-v", "error", "-y"}, args...)...) }

	const split = 31.2 // seconds, a whole number of frames
	ffmpeg(append([]string{"-i", clip("C0066.MP4"), "-t", "31.2"}, append(encode, filepath.Join(day, "face", "C0101.MP4"))...)...)
	ffmpeg(append([]string{"-i", clip("C0066.MP4"), "-ss", "31.2"}, append(encode, filepath.Join(day, "face", "C0102.MP4"))...)...)
	ffmpeg(append([]string{
		"-i", clip("C0062.MP4"), "-i", clip("C0064.MP4"), "-i", clip("C0066.MP4"),
		"-filter_complex", "[0:a]volume=15dB[loud];[0:v][loud][1:v][1:a][2:v][2:a]concat=n=3:v=1:a=1[v][a]", "-map", "[v]", "-map", "[a]",
	}, append(encode, filepath.Join(day, "wide", "C0103.MP4"))...)...)
	ffmpeg("-i", clip("C0060.MP4"), "-c", "copy", filepath.Join(day, "hands", "C0104.MP4"))
	// The recorder began 3.7 s before the camera, heard another side of the room,
	// and its clock runs 48002/48000 times as fast as it says.
	ffmpeg("-i", clip("C0060.MP4"), "-af", "adelay=3700:all=1,aecho=0.8:0.6:17|31:0.3|0.2,highpass=f=150,asetrate=48002,aresample=48000", filepath.Join(day, "recorder", "REC0007.WAV"))
	const offset, ppm = 3.7 * 48000.0 / 48002.0, (48000.0/48002.0 - 1) * 1e6

	dir := filepath.Join(t.TempDir(), "film")
	takeweave(t, "new", dir, "--song", clip("song.flac")).want(t, 0)
	listed := takeweave(t, "lineup", dir, "--clips", day).want(t, 0, 3)
	for _, words := range []string{"goes on in face/C0102.MP4", "performance 1 of 2", "wide/C0103.MP4#2", "the same playing as hands/C0104.MP4"} {
		if !strings.Contains(listed.out, words) {
			t.Errorf("the list lacks %q:\n%s", words, listed.out)
		}
	}

	var e struct {
		Passes []struct {
			File   string
			Names  []string
			Status string
			Map    any
			Apart  *struct {
				At    float64 `json:"at_s"`
				Error float64 `json:"at_error_ms"`
				Drift float64 `json:"drift_ppm"`
			} `json:"recorded_apart"`
		}
	}
	readJSON(t, takeweave(t, "export", dir, "--what", "lineup").want(t, 0), &e)
	found := map[string]int{}
	for i, p := range e.Passes {
		found[p.File] = i
	}
	if p := e.Passes[found["face/C0102.MP4"]]; p.Status != "aligned" || p.Names[0] != "face/C0101.MP4" {
		t.Errorf("the second half of the split pass: %+v", p)
	}
	if p := e.Passes[found["wide/C0103.MP4"]]; len(p.Names) != 2 {
		t.Errorf("the file with two performances: %+v", p.Names)
	}
	apart := e.Passes[found["hands/C0104.MP4"]].Apart
	if apart == nil {
		t.Fatal("the recorder was not tied to its pass")
	}
	// A millisecond and 3 ppm over a minute: the echo moves the first arrival.
	if math.Abs(apart.At-offset) > 0.001 || math.Abs(apart.Drift-ppm) > 3 {
		t.Errorf("the recorder: %+v, want %.4f s and %.1f ppm", *apart, offset, ppm)
	}

	var c struct {
		Frames int `json:"song_frames"`
		Shots  []struct {
			First  int     `json:"first_frame"`
			End    int     `json:"end_frame"`
			Pass   string  `json:"pass"`
			File   string  `json:"file"`
			Source float64 `json:"source_start_s"`
			Speed  float64 `json:"speed"`
		} `json:"shots"`
	}
	readJSON(t, takeweave(t, "export", dir, "--what", "cut").want(t, 0), &c)
	next := 0
	for _, s := range c.Shots {
		if s.First != next {
			t.Errorf("shot %+v does not follow frame %d", s, next)
		}
		next = s.End
		end := s.Source + float64(s.End-s.First)/25*s.Speed
		if s.File == "face/C0101.MP4" && end > split+0.02 {
			t.Errorf("shot %+v goes on after the file ends", s)
		}
		if strings.HasSuffix(s.File, ".WAV") {
			t.Errorf("shot %+v has no picture", s)
		}
	}
	if next != c.Frames {
		t.Errorf("the shots end at frame %d of %d", next, c.Frames)
	}
}
