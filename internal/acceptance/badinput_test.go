package acceptance

import (
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
)

// wantOneMessage fails the test unless a run failed with one clear message, the
// given words in it, and a hint.
func wantOneMessage(t *testing.T, r ran, code int, words string) {
	t.Helper()
	r.want(t, code)
	if n := strings.Count(r.errs, "takeweave: error:"); n != 1 {
		t.Errorf("%d error messages:\n%s", n, r.errs)
	}
	if !strings.Contains(r.errs, words) || !strings.Contains(r.errs, "takeweave: hint:") {
		t.Errorf("want %q and a hint, got:\n%s", words, r.errs)
	}
	if strings.Contains(r.errs, "goroutine") || strings.Contains(r.errs, "panic") {
		t.Errorf("it fell over:\n%s", r.errs)
	}
}

func TestNoEngineAtAll(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "film")
	r := takeweaveWith(t, []string{"PATH=" + t.TempDir(), "TAKEWEAVE_FFMPEG=", "TAKEWEAVE_ENGINE=native"}, "new", dir, "--song", practice(t, "day01", "song.flac"))
	wantOneMessage(t, r, 1, "FFmpeg")
	if _, err := os.Stat(dir); err == nil {
		t.Error("a film was begun all the same")
	}
}

func TestRecordsThatAreNone(t *testing.T) {
	silentPicture := filepath.Join(t.TempDir(), "silent.mp4")
	native(t, "ffmpeg", "-v", "error", "-f", "lavfi", "-i", "color=s=64x64:d=1", silentPicture)
	text := filepath.Join(t.TempDir(), "words.flac")
	save(t, text, "these are only words")
	for _, c := range []struct{ name, record, words string }{
		{"missing", filepath.Join(t.TempDir(), "gone.wav"), "cannot be read"},
		{"without sound", silentPicture, "no sound"},
		{"not sound at all", text, "words.flac"},
	} {
		t.Run(c.name, func(t *testing.T) {
			dir := filepath.Join(t.TempDir(), "film")
			wantOneMessage(t, takeweave(t, "new", dir, "--song", c.record), 1, c.words)
			if _, err := os.Stat(filepath.Join(dir, "film.db")); err == nil {
				t.Error("a film was begun all the same")
			}
			// The same command works once the record is right.
			takeweave(t, "new", dir, "--song", practice(t, "day01", "song.flac")).want(t, 0)
		})
	}
}

// newFilm begins a film of a practice day.
func newFilm(t *testing.T, day string) string {
	t.Helper()
	dir := filepath.Join(t.TempDir(), "film")
	takeweave(t, "new", dir, "--song", practice(t, day, "song.flac")).want(t, 0)
	return dir
}

func TestWrongFoldersAndWords(t *testing.T) {
	dir := newFilm(t, "day01")
	wantOneMessage(t, takeweave(t, "run", dir), 1, "no clips yet")
	wantOneMessage(t, takeweave(t, "run", dir, "--clips", t.TempDir()), 1, "no camera files")
	wantOneMessage(t, takeweave(t, "run", dir, "--clips", filepath.Join(t.TempDir(), "gone")), 1, "not a folder")
	wantOneMessage(t, takeweave(t, "run", t.TempDir()), 1, "no film")
	wantOneMessage(t, takeweave(t, "new", dir, "--song", practice(t, "day01", "song.flac")), 1, "already holds a film")
	for _, usage := range [][]string{{"run"}, {"new", "x"}, {"fly"}, {"run", dir, "--wings"}, {"export", dir, "--what", "everything"}, {"song", dir, "--engine", "steam"}, {"run", dir, "--rate", "fast"}} {
		wantOneMessage(t, takeweave(t, usage...), 2, "")
	}
}

// Clips that are cut short, silent, empty or foreign are answered one by one,
// and the rest goes on.
func TestBadClipsDoNotStopTheRest(t *testing.T) {
	clips := links(t, "day01", "C0065.MP4")
	whole, err := os.ReadFile(practice(t, "day01", "C0066.MP4"))
	if err != nil {
		t.Fatal(err)
	}
	save(t, filepath.Join(clips, "cut-short.MP4"), string(whole[:len(whole)/3])) // the index at the end is gone
	native(t, "ffmpeg", "-v", "error", "-i", practice(t, "day01", "C0066.MP4"), "-c", "copy", filepath.Join(clips, "whole.MTS"))
	stream, err := os.ReadFile(filepath.Join(clips, "whole.MTS"))
	if err != nil {
		t.Fatal(err)
	}
	save(t, filepath.Join(clips, "pulled-card.MTS"), string(stream[:len(stream)*2/3])) // what can be read is used
	if err := os.Remove(filepath.Join(clips, "whole.MTS")); err != nil {
		t.Fatal(err)
	}
	native(t, "ffmpeg", "-v", "error", "-i", practice(t, "day01", "C0066.MP4"), "-an", "-c", "copy", filepath.Join(clips, "no-sound.MP4"))
	save(t, filepath.Join(clips, "empty.MOV"), "")
	save(t, filepath.Join(clips, "letter.AVI"), "dear diary")
	save(t, filepath.Join(clips, "C0065M01.XML"), "<NonRealTimeMeta/>") // a camera's own side file is passed over

	dir := newFilm(t, "day01")
	takeweave(t, "run", dir, "--clips", clips).want(t, 3)
	var l struct {
		Passes []struct{ File, Status, Reason string }
	}
	readJSON(t, takeweave(t, "export", dir, "--what", "lineup").want(t, 0, 3), &l)
	status := map[string]string{}
	for _, p := range l.Passes {
		status[p.File] = p.Status
		if p.Reason == "" {
			t.Errorf("%s: no reason", p.File)
		}
	}
	for file, want := range map[string]string{"C0065.MP4": "aligned", "pulled-card.MTS": "aligned", "cut-short.MP4": "refused", "no-sound.MP4": "silent", "empty.MOV": "refused", "letter.AVI": "refused"} {
		if status[file] != want {
			t.Errorf("%s is %q, want %q", file, status[file], want)
		}
	}
	if len(status) != 6 {
		t.Errorf("passes: %v", status)
	}
}

// An interrupt in any step ends with nothing half-written, and the same command
// then goes on to the end.
func TestInterruptInEachStep(t *testing.T) {
	clips := links(t, "day02", "C0056.MP4", "C0058.MP4")
	dir := newFilm(t, "day02")
	for _, stage := range []string{"song", "take in", "lineup", "agree", "film", "check", "report"} {
		r := interrupted(t, stage, "run", dir, "--clips", clips)
		if r.code == 0 || r.code == 3 {
			continue // it was quicker than the interrupt
		}
		if r.code != 130 {
			t.Errorf("%s: exit code %d\n%s", stage, r.code, r.errs)
		}
		for _, p := range unfinished(t, dir) {
			// Whole: finished before the check or the report began.
			if name := filepath.Base(p); (stage == "check" || stage == "report") && name == "film.mp4" || stage == "report" && name == "checks.json" {
				continue
			}
			t.Errorf("%s: left %s", stage, p)
		}
	}
	takeweave(t, "run", dir, "--clips", clips).want(t, 0, 3)
	if _, err := os.Stat(filepath.Join(dir, "out", "report.html")); err != nil {
		t.Error(err)
	}
}

// A full disk during the render is said in plain words; the same command
// finishes the film once there is room.
func TestFullDiskDuringRender(t *testing.T) {
	if runtime.GOOS != "linux" || os.Geteuid() != 0 {
		t.Skip("a small file system can only be mounted by root on Linux")
	}
	clips := links(t, "day02", "C0056.MP4", "C0058.MP4")
	dir := newFilm(t, "day02")
	takeweave(t, "cut", dir, "--clips", clips).want(t, 0, 3)
	small := filepath.Join(dir, "cache", "shots")
	if err := os.MkdirAll(small, 0o777); err != nil {
		t.Fatal(err)
	}
	if out, err := exec.Command("mount", "-t", "tmpfs", "-o", "size=300k", "tmpfs", small).CombinedOutput(); err != nil {
		t.Skipf("a small file system cannot be mounted here: %v %s", err, out)
	}
	mounted := true
	unmount := func() {
		if mounted {
			mounted = false
			if out, err := exec.Command("umount", small).CombinedOutput(); err != nil {
				t.Errorf("umount: %v %s", err, out)
			}
		}
	}
	defer unmount()
	wantOneMessage(t, takeweave(t, "handover", dir), 1, "full")
	if left := unfinished(t, dir); len(left) > 0 {
		t.Errorf("left: %v", left)
	}
	unmount()
	takeweave(t, "handover", dir).want(t, 0, 3)
}

func TestTwoWindows(t *testing.T) {
	dir := newFilm(t, "day01")
	first := exec.Command(program, "run", dir, "--clips", practice(t, "day01"), "--json")
	pipe, err := first.StderrPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := first.Start(); err != nil {
		t.Fatal(err)
	}
	var e json.RawMessage
	if err := json.NewDecoder(pipe).Decode(&e); err != nil { // it has begun
		t.Fatal(err)
	}
	wantOneMessage(t, takeweave(t, "song", dir), 1, "another window")
	if err := first.Process.Kill(); err != nil {
		t.Fatal(err)
	}
	_ = first.Wait()
	takeweave(t, "song", dir).want(t, 0) // a killed window leaves no lock behind
}
