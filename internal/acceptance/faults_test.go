package acceptance

import (
	"bytes"
	"fmt"
	"image/jpeg"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"takeweave/internal/film"
	"takeweave/internal/job"
	"takeweave/internal/media"
	"takeweave/internal/store"
)

// movingPicture makes a clip of a practice pass's sound under a small drawn scene:
// light that turns, a body that sways and a hand that plays, with a camera's noise.
func movingPicture(t *testing.T, sound, out string, seed int) {
	t.Helper()
	if err := os.MkdirAll(filepath.Dir(out), 0o777); err != nil {
		t.Fatal(err)
	}
	const seconds = 8 // it begins anew then
	scene := filepath.Join(t.TempDir(), "scene.mp4")
	motion := float64(seed) / 7
	native(t, "ffmpeg", "-v", "error",
		"-f", "lavfi", "-i", fmt.Sprintf("gradients=s=320x180:r=25:d=%d:n=3:seed=%d:speed=0.01:c0=0x203040:c1=0x705040:c2=0x304020", seconds, seed),
		"-f", "lavfi", "-i", fmt.Sprintf("color=0x50382c:s=70x60:r=25:d=%d", seconds),
		"-f", "lavfi", "-i", fmt.Sprintf("color=0xC89070:s=44x30:r=25:d=%d", seconds),
		"-filter_complex", fmt.Sprintf("[0][1]overlay=x='120+16*sin(t*2.1+%g)':y='50+9*sin(t*1.7)'[a];[a][2]overlay=x='150+40*sin(t*6.5+%g)':y='90+30*cos(t*5.1)',noise=alls=3:allf=t,format=yuv420p", motion, 2*motion),
		"-c:v", "libx264", "-preset", "ultrafast", "-crf", "20", scene)
	native(t, "ffmpeg", "-v", "error", "-stream_loop", "-1", "-i", scene, "-i", sound, "-map", "0:v", "-map", "1:a", "-c", "copy", "-shortest", out)
}

// smallFilm makes a finished film of a practice day in small moving pictures, with
// whatever else is ordered.
func smallFilm(t *testing.T, day string, setups map[string]string, orders ...[]string) string {
	t.Helper()
	clips := t.TempDir()
	seed := len(orders)
	for _, file := range sortedKeys(setups) {
		seed++
		movingPicture(t, practice(t, filepath.Join(day, file)), filepath.Join(clips, setups[file], file), seed)
	}
	dir := newFilm(t, day)
	takeweave(t, "loudness", dir, "--for", "web").want(t, 0)
	for _, o := range orders {
		takeweave(t, append([]string{"order", dir}, o...)...).want(t, 0)
	}
	takeweave(t, "run", dir, "--clips", clips).want(t, 0, 3)
	return dir
}

func sortedKeys(m map[string]string) []string {
	var keys []string
	for k := range m {
		keys = append(keys, k)
	}
	slices.Sort(keys)
	return keys
}

// checked is what `takeweave check --json` prints.
type checked struct {
	Verdict struct {
		Checked  []string
		Findings []struct {
			Kind  string
			First int `json:"first_frame"`
			End   int `json:"end_frame"`
			Words string
		}
	}
	Where []string
}

// Ten films of two invented days, in all shapes, of the whole song and of parts:
// nothing is wrong with them, and nothing is found. Then one of them is spoilt in
// eight ways, each of which is found at its place, and nothing besides.
func TestFaultsAreFoundAndNothingElse(t *testing.T) {
	first := smallFilm(
		t, "day01", map[string]string{"C0059.MP4": "face", "C0062.MP4": "hands", "C0066.MP4": "wide"},
		[]string{"--shape", "9:16", "--part", "A1", "--seconds", "8"}, []string{"--shape", "1:1", "--part", "A2", "--seconds", "8"},
		[]string{"--shape", "4:5", "--part", "A2.2"}, []string{"--shape", "2.39:1", "--part", "A1.2"},
	)
	second := smallFilm(
		t, "day02", map[string]string{"C0052.MP4": "wide", "C0054.MP4": "hands", "C0055.MP4": "face"},
		[]string{"--shape", "9:16", "--part", "20-28"}, []string{"--shape", "1:1", "--part", "10-16"},
		[]string{"--shape", "4:5", "--part", "30-38"}, []string{"--shape", "2.39:1", "--part", "2-9"},
	)
	for _, dir := range []string{first, second} {
		files, err := filepath.Glob(filepath.Join(dir, "out", "checks*.json"))
		if err != nil || len(files) != 5 {
			t.Fatalf("%d films were checked: %v", len(files), err)
		}
		for _, file := range files {
			nothingFound(t, file)
		}
	}
	t.Run("planted", func(t *testing.T) { plantFaults(t, first) })
}

// nothingFound fails the test when the check of a film, as written beside it,
// found something or hardly checked anything.
func nothingFound(t *testing.T, file string) {
	t.Helper()
	raw, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	var c checked
	readJSON(t, ran{out: string(raw)}, &c)
	for i, f := range c.Verdict.Findings {
		t.Errorf("a clean film, %s: %s at %s: %s", filepath.Base(file), f.Kind, c.Where[i], f.Words)
	}
	// Without lyrics there are no captions, a part has no loudness of its own, and
	// its lines may be too short for the sync of each.
	if len(c.Verdict.Checked) < 11 {
		t.Errorf("%s: only %v were checked", filepath.Base(file), c.Verdict.Checked)
	}
}

// songLine returns the name and span of a line.
func songLine(t *testing.T, dir string, index int) (string, film.SongSpan) {
	t.Helper()
	var s film.Song
	readJSON(t, takeweave(t, "export", dir, "--what", "song").want(t, 0), &s)
	return s.LineName(index), s.Lines[index].Span
}

func plantFaults(t *testing.T, dir string) {
	line, span := songLine(t, dir, 1)
	path := filepath.Join(dir, "out", "film.mp4")
	clean, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	calm, shot := longestShot(t, dir, span)
	n := calm + 10 // frames stay clear of the shot's ends
	captions := filepath.Join(dir, "out", "captions.vtt")
	vtt := func(text string) {
		at := func(frame int) string { return fmt.Sprintf("00:%06.3f", float64(frame)/25) }
		text = fmt.Sprintf("WEBVTT\n\n%s --> %s\n%s\n", at(n), at(n+50), text)
		if err := os.WriteFile(captions, []byte(text), 0o666); err != nil {
			t.Fatal(err)
		}
	}
	vtt("The tide is in, the lamps are lit") // 33 characters in 2 s
	picture := func(filter string) func() {
		return func() { spoil(t, clean, path, "-vf", filter, "-c:a", "copy") }
	}
	for _, c := range []struct {
		name       string
		plant      func()
		kind       string
		first, end int
	}{
		{"a black frame", picture(fmt.Sprintf("drawbox=color=black:t=fill:enable='eq(n,%d)'", n)), "black", n, n + 1},
		{"a frame twice", picture(fmt.Sprintf("select='not(eq(n,%d))',fps=25", n)), "repeated", n, n + 1},
		{"a freeze of 5 frames", picture(fmt.Sprintf("select='not(between(n,%d,%d))',fps=25", n+1, n+4)), "frozen", n, n + 5},
		{"5 flashes in a second", picture(fmt.Sprintf("drawbox=color=0xC0C0C0@0.5:t=fill:enable='between(n,%d,%d)*lt(mod(n-%d,5),2)'", n, n+24, n)), "flashing", n, n + 23},
		{"a peak", func() {
			spoil(t, clean, path, "-c:v", "copy", "-c:a", "aac", "-b:a", "256k", "-af", fmt.Sprintf("volume=14dB:enable='between(t,%g,%g)'", float64(n)/25, float64(n)/25+0.02))
		}, "true-peak", n, n + 1},
		{"the wrong matrix", func() { spoil(t, clean, path, "-c", "copy", "-bsf:v", "h264_metadata=matrix_coefficients=6") }, "tags", 0, 1},
		{"a caption of 23 characters a second", func() { vtt("The tide is in, the lamps\nare lit, we sail home") }, "captions", n, n + 50},
		{"a shot that slipped by 80 ms", func() { slip(t, dir, shot, 0.080) }, "sync", calm, calm + 1},
	} {
		t.Run(c.name, func(t *testing.T) {
			c.plant()
			defer func() {
				vtt("The tide is in, the lamps are lit")
				if err := os.WriteFile(path, clean, 0o666); err != nil {
					t.Fatal(err)
				}
			}()
			var got checked
			readJSON(t, takeweave(t, "check", dir, "--json").want(t, 3), &got)
			if len(got.Verdict.Findings) == 0 {
				t.Fatal("not found")
			}
			for i, f := range got.Verdict.Findings {
				t.Logf("%s at %s, frames %d to %d: %s", f.Kind, got.Where[i], f.First, f.End, f.Words)
				if f.Kind != c.kind {
					t.Errorf("told besides: %s", f.Kind)
				}
				slack := 2 // a peak may ring in the packets of sound around it
				if c.kind == "flashing" {
					slack = 12 // what moves besides adds to a second before and after
				}
				if c.kind != "tags" && (f.First > c.first+slack || f.First < c.first-slack || f.End < c.end-slack || !strings.HasPrefix(got.Where[i], line+"/")) {
					t.Errorf("told of frames %d to %d at %s, want %d to %d in %s", f.First, f.End, got.Where[i], c.first, c.end, line)
				}
			}
		})
	}
	checkStills(t, dir)
}

// longestShot returns the longest shot that lies within a span and shows lips or
// hands close up: its first frame and its place in the cut.
func longestShot(t *testing.T, dir string, span film.SongSpan) (first, index int) {
	t.Helper()
	var c struct {
		Shots []struct {
			First int `json:"first_frame"`
			End   int `json:"end_frame"`
			File  string
		}
	}
	readJSON(t, takeweave(t, "export", dir, "--what", "cut").want(t, 0), &c)
	most := 0
	for i, s := range c.Shots {
		inside := s.First >= int(float64(span.From)*25) && s.End <= int(float64(span.To)*25)+1
		if inside && !strings.HasPrefix(s.File, "wide") && s.End-s.First > most {
			most, first, index = s.End-s.First, s.First, i
		}
	}
	if most < 75 {
		t.Fatalf("no long close shot in %v: %+v", span, c.Shots)
	}
	return first, index
}

// spoil writes the clean film anew with other arguments for FFmpeg.
func spoil(t *testing.T, clean []byte, path string, args ...string) {
	t.Helper()
	source := filepath.Join(t.TempDir(), "clean.mp4")
	if err := os.WriteFile(source, clean, 0o666); err != nil {
		t.Fatal(err)
	}
	all := []string{"-v", "error", "-y", "-i", source, "-preset", "veryfast", "-crf", "18", "-color_primaries", "bt709", "-color_trc", "bt709", "-colorspace", "bt709", "-color_range", "tv"}
	native(t, "ffmpeg", append(append(all, args...), path)...)
}

// slip makes the film one in which a shot shows its pass later than the cut
// wanted, until the test ends.
func slip(t *testing.T, dir string, shot int, seconds float64) {
	t.Helper()
	s, err := store.Open(t.Context(), dir)
	if err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	var c film.Cut
	const step, order = "shown", "film"
	key, err := s.Result(t.Context(), step, order, &c)
	if err != nil || len(c.Shots) <= shot {
		t.Fatalf("the film shows %d shots: %v", len(c.Shots), err)
	}
	c.Shots[shot].SourceStart -= film.PassTime(seconds)
	if err := s.PutResult(t.Context(), step, order, key, c); err != nil {
		t.Fatal(err)
	}
}

// checkStills looks at the picture of a finding.
func checkStills(t *testing.T, dir string) {
	t.Helper()
	e, err := media.Find(t.Context(), media.Options{Prefer: "native"})
	if err != nil {
		t.Fatal(err)
	}
	s, err := store.Open(t.Context(), dir)
	if err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	c, err := job.New(s, e, job.NewProgress(func(job.Event) {})).Check(t.Context(), "film")
	if err != nil {
		t.Fatal(err)
	}
	if len(c.Stills) == 0 || len(c.Stills) != len(c.Verdict.Findings) {
		t.Fatalf("%d pictures for %d findings", len(c.Stills), len(c.Verdict.Findings))
	}
	if _, err := jpeg.Decode(bytes.NewReader(c.Stills[0])); err != nil {
		t.Error(err)
	}
}

// TestCheckSpeed says how long the check of a film of 1920 x 1080 takes beside
// FFmpeg decoding it alone; it judges nothing, for that the machines of the tests
// are too uneven.
func TestCheckSpeed(t *testing.T) {
	if os.Getenv("TAKEWEAVE_SOAK") == "" {
		t.Skip("TAKEWEAVE_SOAK=1 measures")
	}
	dir := smallFilm(t, "day01", map[string]string{"C0059.MP4": "face", "C0062.MP4": "hands", "C0066.MP4": "wide"})
	path := filepath.Join(dir, "out", "film.mp4")
	small, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	spoil(t, small, path, "-c:a", "copy", "-preset", "superfast", "-vf", "scale=1920:1080,noise=alls=4:allf=t")
	timed := func(name string, args ...string) (cpu, wall float64) {
		cmd := exec.Command(name, args...)
		began := time.Now()
		if r := finish(t, cmd); r.code != 0 && r.code != 3 {
			t.Fatalf("%s: %s", name, r.errs)
		}
		return (cmd.ProcessState.UserTime() + cmd.ProcessState.SystemTime()).Seconds(), time.Since(began).Seconds()
	}
	for range 3 {
		decodeCPU, decodeWall := timed("ffmpeg", "-v", "error", "-i", path, "-f", "null", "-")
		checkCPU, checkWall := timed(program, "check", dir)
		t.Logf("check against decoding: %.2f of the processor time (%.1f s to %.1f s), %.2f of the time (%.1f s to %.1f s)",
			checkCPU/decodeCPU, checkCPU, decodeCPU, checkWall/decodeWall, checkWall, decodeWall)
	}
}
