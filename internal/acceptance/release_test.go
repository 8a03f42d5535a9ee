package acceptance

import (
	"bytes"
	"crypto/sha256"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// released goes from a finished film to its second version.
func released(t *testing.T, dir string) {
	film := filepath.Join(dir, "out", "film.mp4")
	sung := firstCaption(t, filepath.Join(dir, "out", "captions.vtt"))
	plain := grey(t, film, sung)

	if r := takeweave(t, "release", dir).want(t, 1); !strings.Contains(r.errs, "permission open: recording") {
		t.Errorf("a release without permissions: %s", r.errs)
	}
	if entries, _ := filepath.Glob(filepath.Join(dir, "out", "v*")); len(entries) > 0 {
		t.Errorf("a refused release left %v", entries)
	}
	takeweave(t, "facts", dir, "--artist", "Nell Harrowgate", "--title", "Slow Ferry Home", "--writer", "Nell Harrowgate", "--permit", "room=yes, Tam Orrock, 2026-03-02").want(t, 0)
	takeweave(t, "order", dir, "--letters", "captions").want(t, 0)

	var first, again, second struct {
		Version int
		Folder  string
		Files   []string
		Changes []string
	}
	readJSON(t, takeweave(t, "release", dir, "--because", "for the artist to look at", "--json").want(t, 0), &first)
	name := "nell-harrowgate_slow-ferry-home_16x9_v1"
	for _, file := range []string{name + ".mp4", name + ".vtt", name + "_report.html", name + "_checks.json", "publish.txt", "changes.txt"} {
		if _, err := os.Stat(filepath.Join(dir, "out", "v1", file)); err != nil {
			t.Errorf("version 1 lacks %s; it has %v", file, first.Files)
		}
	}
	text, err := os.ReadFile(filepath.Join(dir, "out", "v1", "publish.txt"))
	if err != nil || !bytes.Contains(text, []byte("Slow Ferry Home – Nell Harrowgate")) {
		t.Errorf("the text to publish: %s, %v", text, err)
	}

	// The words stand in the lower third, and nothing else changed in the picture.
	written := grey(t, film, sung)
	third := len(plain) / 3
	if n := changed(plain[:third], written[:third]); n > third/100 {
		t.Errorf("%d of %d pixels of the upper third changed with the captions", n, third)
	}
	if n := changed(plain[2*third:], written[2*third:]); n < third/20 {
		t.Errorf("only %d of %d pixels of the lower third changed with the captions", n, third)
	}

	readJSON(t, takeweave(t, "release", dir, "--because", "again", "--json").want(t, 0), &again)
	if again.Version != 1 {
		t.Errorf("nothing changed, but there is version %d", again.Version)
	}

	before, shots := checksum(t, filepath.Join(dir, "out", "v1", name+".mp4")), countIn(t, filepath.Join(dir, "cache", "shots"))
	cut := cutShots(t, dir, "film")
	victim := cut[len(cut)/2]
	takeweave(t, "pin", dir, "--never", victim["pass"].(string), "--in", seconds(victim["first_frame"])+"-"+seconds(victim["end_frame"])).want(t, 0)
	readJSON(t, takeweave(t, "release", dir, "--because", "the second look", "--json").want(t, 0), &second)
	if second.Version != 2 || len(second.Changes) == 0 || !strings.Contains(second.Changes[0], "swapped") {
		t.Errorf("version %d says it changed %q", second.Version, second.Changes)
	}
	if checksum(t, filepath.Join(dir, "out", "v1", name+".mp4")) != before {
		t.Error("making version 2 changed the film of version 1")
	}
	now := cutShots(t, dir, "film")
	changedShots := len(now) - sameOf(cut, now)
	if made := countIn(t, filepath.Join(dir, "cache", "shots")) - shots; made > changedShots {
		t.Errorf("%d shots changed, but %d were rendered", changedShots, made)
	}
}

// firstCaption returns a moment of the first caption, in seconds.
func firstCaption(t *testing.T, path string) float64 {
	t.Helper()
	text, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	var min, sec float64
	_, cue, _ := strings.Cut(string(text), "\n\n")
	if _, err := fmt.Sscanf(cue, "00:%f:%f -->", &min, &sec); err != nil {
		t.Fatalf("%s: %v", path, err)
	}
	return 60*min + sec + 0.5
}

// grey returns a frame's brightness, 320 x 180.
func grey(t *testing.T, film string, at float64) []byte {
	t.Helper()
	out, err := exec.Command("ffmpeg", "-v", "error", "-ss", fmt.Sprint(at), "-i", film, "-frames:v", "1", "-vf", "scale=320:180", "-pix_fmt", "gray", "-f", "rawvideo", "-").Output()
	if err != nil || len(out) != 320*180 {
		t.Fatalf("no frame at %g s of %s: %d bytes, %v", at, film, len(out), err)
	}
	return out
}

// changed counts the pixels that differ by more than coding does.
func changed(a, b []byte) (n int) {
	for i := range a {
		if d := int(a[i]) - int(b[i]); d > 24 || d < -24 {
			n++
		}
	}
	return n
}

// sameOf counts the shots of b that a has too.
func sameOf(a, b []map[string]any) (n int) {
	for _, s := range b {
		if sameShots([]map[string]any{s}, only(a, s)) {
			n++
		}
	}
	return n
}

// only returns the shot of a that begins as s does, if any.
func only(a []map[string]any, s map[string]any) []map[string]any {
	for _, o := range a {
		if o["first_frame"] == s["first_frame"] && o["end_frame"] == s["end_frame"] {
			return []map[string]any{o}
		}
	}
	return nil
}

func checksum(t *testing.T, path string) [sha256.Size]byte {
	t.Helper()
	body, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return sha256.Sum256(body)
}

func countIn(t *testing.T, folder string) int {
	t.Helper()
	entries, err := os.ReadDir(folder)
	if err != nil {
		t.Fatal(err)
	}
	return len(entries)
}
