package acceptance

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
)

// The practice days go through whole, and the scorers that came with them, not
// our own code, say how well.
func TestPracticeDays(t *testing.T) {
	results := t.TempDir()
	cuts := t.TempDir()
	for _, day := range []string{"day01", "day02"} {
		dir := filepath.Join(t.TempDir(), "film of "+day)
		song := practice(t, day, "song.flac")
		takeweave(t, "new", dir, "--song", song).want(t, 0)
		r := takeweave(t, "run", dir, "--clips", practice(t, day)).want(t, 0, 3)
		for _, word := range []string{"Film:", "Report:", "lined up", "refused"} {
			if !strings.Contains(r.out, word) {
				t.Errorf("%s: the run does not say %q:\n%s", day, word, r.out)
			}
		}
		save(t, filepath.Join(results, day+".json"), takeweave(t, "export", dir, "--what", "lineup").want(t, 0).out)
		cut := takeweave(t, "export", dir, "--what", "cut").want(t, 0)
		save(t, filepath.Join(cuts, day+".json"), cut.out)
		checkCutCoversTheSong(t, cut, song)
		checkFilm(t, filepath.Join(dir, "out", "film.mp4"), song, cut)
		checkReport(t, filepath.Join(dir, "out", "report.html"))
		checkNothingIsDoneTwice(t, dir)
	}
	f := score(t, "score.py", results)
	for name, want := range map[string]float64{"aligned_found": 1, "rejected_right": 1, "within45": 0.85, "within90": 0.92} {
		if got := number(t, f, name); got < want {
			t.Errorf("%s is %v, want at least %v", name, got, want)
		}
	}
	if got := number(t, f, "false_accepts"); got != 0 {
		t.Errorf("%v passes of something else were accepted", got)
	}
	// Reach is the share of frames that could be right and are; wrong counts
	// frames that we call agreeing and the truth calls unclear, or off by more
	// than 90 ms. The limits guard what was reached, 0.96 and 0.04.
	out := score(t, "score_cut.py", cuts)
	var c struct {
		Reach, Wrong float64
		Uncovered    int `json:"frames_not_covered_once"`
	}
	_, line, _ := strings.Cut(out, "cut: ")
	if err := json.Unmarshal([]byte(line), &c); err != nil {
		t.Fatal(err)
	}
	if c.Uncovered != 0 || c.Wrong > 0.06 || c.Reach < 0.94 {
		t.Errorf("the cut: %+v", c)
	}
	t.Log(f)
	t.Log("cut:", line)
}

func save(t *testing.T, name, body string) {
	t.Helper()
	if err := os.WriteFile(name, []byte(body), 0o666); err != nil {
		t.Fatal(err)
	}
}

// score runs one of the scorers and returns its last line.
func score(t *testing.T, script, results string) string {
	t.Helper()
	python := ""
	for _, p := range []string{"python3", "/usr/bin/python3"} {
		if exec.Command(p, "-c", "import numpy").Run() == nil {
			python = p
			break
		}
	}
	if python == "" {
		t.Fatal("the scorers need python3 with numpy (make test installs it)")
	}
	lines := strings.Split(strings.TrimSpace(string(native(t, python, practice(t, script), "--truth", practice(t, "truth"), "--results", results))), "\n")
	return lines[len(lines)-1]
}

// number reads "name=value" from a scorer's summary.
func number(t *testing.T, summary, name string) float64 {
	t.Helper()
	for _, w := range strings.Fields(summary) {
		if v, ok := strings.CutPrefix(w, name+"="); ok {
			f, err := strconv.ParseFloat(v, 64)
			if err != nil {
				t.Fatalf("%s is %q", name, v)
			}
			return f
		}
	}
	t.Fatalf("no %s in %s", name, summary)
	return 0
}

type cutJSON struct {
	FPS    string `json:"fps"`
	Frames int    `json:"song_frames"`
	Shots  []struct {
		First int    `json:"first_frame"`
		End   int    `json:"end_frame"`
		File  string `json:"file"`
		Why   string `json:"why"`
	} `json:"shots"`
}

func (c cutJSON) rate() float64 {
	var n, d float64
	_, _ = fmt.Sscanf(c.FPS, "%g/%g", &n, &d)
	return n / d
}

func checkCutCoversTheSong(t *testing.T, r ran, song string) {
	t.Helper()
	var c cutJSON
	readJSON(t, r, &c)
	next := 0
	for _, s := range c.Shots {
		if s.First != next || s.End <= s.First || s.Why == "" {
			t.Errorf("shot %+v does not follow frame %d, or says nothing", s, next)
		}
		next = s.End
	}
	seconds, err := strconv.ParseFloat(strings.TrimSpace(string(native(t, "ffprobe", "-v", "error", "-show_entries", "format=duration", "-of", "csv=p=0", song))), 64)
	if err != nil {
		t.Fatal(err)
	}
	if next != c.Frames || math.Abs(float64(next)/c.rate()-seconds) > 1/c.rate() {
		t.Errorf("the shots end at frame %d of %d, the record lasts %v s", next, c.Frames, seconds)
	}
}

// checkFilm checks the finished file with FFmpeg's own tools: its streams and
// tags, its length to the frame, and its sound against the record to the sample.
func checkFilm(t *testing.T, path, song string, cut ran) {
	t.Helper()
	var c cutJSON
	readJSON(t, cut, &c)
	var probe struct {
		Streams []map[string]any
	}
	if err := json.Unmarshal(native(t, "ffprobe", "-v", "error", "-count_packets", "-show_streams", "-of", "json", path), &probe); err != nil {
		t.Fatal(err)
	}
	if len(probe.Streams) != 2 {
		t.Fatalf("%d streams", len(probe.Streams))
	}
	want := []map[string]any{
		{"codec_name": "h264", "pix_fmt": "yuv420p", "color_space": "bt709", "color_transfer": "bt709", "color_primaries": "bt709", "color_range": "tv", "sample_aspect_ratio": "1:1", "r_frame_rate": c.FPS, "nb_read_packets": strconv.Itoa(c.Frames), "start_time": "0.000000"},
		{"codec_name": "aac", "start_time": "0.000000"},
	}
	for i, w := range want {
		for k, v := range w {
			if got := probe.Streams[i][k]; got != v {
				t.Errorf("stream %d: %s is %v, want %v", i, k, got, v)
			}
		}
	}
	head := make([]byte, 1<<16)
	f, err := os.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	n, _ := f.Read(head)
	if moov := strings.Index(string(head[:n]), "moov"); moov < 0 || moov > strings.Index(string(head[:n])+"mdat", "mdat") {
		t.Error("the index does not come first (fast start)")
	}
	checkSoundIsTheRecord(t, path, song)
}

// checkSoundIsTheRecord decodes both with FFmpeg and finds the lag of the film's
// sound at the start, in the middle and at the end.
func checkSoundIsTheRecord(t *testing.T, path, song string) {
	t.Helper()
	const rate = 44100
	decode := func(name string) []float64 {
		raw := native(t, "ffmpeg", "-v", "error", "-i", name, "-map", "0:a:0", "-ac", "1", "-ar", strconv.Itoa(rate), "-f", "s16le", "-")
		v := make([]float64, len(raw)/2)
		for i := range v {
			v[i] = float64(int16(uint16(raw[2*i]) | uint16(raw[2*i+1])<<8))
		}
		return v
	}
	a, b := decode(song), decode(path)
	// An AAC frame is 1024 samples; the last one may be padded.
	if len(b) < len(a)-1 || len(b) > len(a)+2*1024 {
		t.Errorf("the film's sound has %d samples, the record %d", len(b), len(a))
	}
	window := 2 * rate
	for _, from := range []int{rate, len(a)/2 - window/2, len(a) - window - 3*rate} {
		best, at := -1.0, 0
		for lag := -400; lag <= 400; lag++ {
			var ab, aa, bb float64
			for i := from; i < from+window; i += 1 {
				x, y := a[i], b[i+lag]
				ab += x * y
				aa += x * x
				bb += y * y
			}
			if r := ab / math.Sqrt(aa*bb+1e-9); r > best {
				best, at = r, lag
			}
		}
		if at < -1 || at > 1 || best < 0.98 {
			t.Errorf("at %.1f s the film's sound lags by %d samples (correlation %.3f)", float64(from)/rate, at, best)
		}
	}
}

func checkReport(t *testing.T, path string) {
	t.Helper()
	b, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	page := string(b)
	for _, word := range []string{"data:image/jpeg;base64,", "C0059.MP4", "refused", "ITU-R BT.1359-1"} {
		if !strings.Contains(page, word) {
			t.Errorf("the report lacks %q", word)
		}
	}
	for _, outside := range []string{"http://", "https://", "<script", "<link"} {
		if strings.Contains(page, outside) {
			t.Errorf("the report is not self-contained: %q", outside)
		}
	}
}

func checkNothingIsDoneTwice(t *testing.T, dir string) {
	t.Helper()
	film := filepath.Join(dir, "out", "film.mp4")
	before, err := os.Stat(film)
	if err != nil {
		t.Fatal(err)
	}
	for _, step := range []string{"song", "lineup", "agree", "cut", "handover"} {
		r := takeweave(t, step, dir).want(t, 0, 3)
		if !strings.Contains(r.out, "Nothing to do again") {
			t.Errorf("%s did something again:\n%s", step, r.out)
		}
	}
	after, err := os.Stat(film)
	if err != nil || !after.ModTime().Equal(before.ModTime()) {
		t.Errorf("the film was made again: %v", err)
	}
}
