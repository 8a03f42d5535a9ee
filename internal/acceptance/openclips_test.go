package acceptance

import (
	"os"
	"path/filepath"
	"testing"
)

// Real clips of many cameras and containers, broken ones among them: each gets
// an answer with a reason, and none stops the others. The large set lies beside
// a full checkout (TAKEWEAVE_DATA names another place); a fresh clone has the
// small one of internal/media/testdata.
func TestEveryOpenClipGetsAnAnswer(t *testing.T) {
	folder := filepath.Join(os.Getenv("TAKEWEAVE_DATA"), "video")
	if os.Getenv("TAKEWEAVE_DATA") == "" {
		folder = filepath.Join("..", "..", "..", "shared", "data", "video")
	}
	if _, err := os.Stat(folder); err != nil {
		folder = filepath.Join("..", "media", "testdata")
	}
	files, err := os.ReadDir(folder)
	if err != nil {
		t.Fatal(err)
	}
	clips := 0
	for _, f := range files {
		if f.Name() != "README.md" && !f.IsDir() {
			clips++
		}
	}
	dir := newFilm(t, "day01")
	takeweave(t, "lineup", dir, "--clips", folder).want(t, 0, 3)
	var l struct {
		Passes []struct{ File, Status, Reason string }
	}
	readJSON(t, takeweave(t, "export", dir, "--what", "lineup").want(t, 0, 3), &l)
	if len(l.Passes) != clips || clips == 0 {
		t.Errorf("%d answers for %d clips", len(l.Passes), clips)
	}
	for _, p := range l.Passes {
		// None of them holds the practice day's song.
		if p.Status != "refused" && p.Status != "silent" || p.Reason == "" {
			t.Errorf("%s: %q, %q", p.File, p.Status, p.Reason)
		}
		t.Logf("%-40s %-8s %s", p.File, p.Status, p.Reason)
	}
}
