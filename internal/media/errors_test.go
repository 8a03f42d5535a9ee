package media

import (
	"context"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"testing"

	"takeweave/internal/film"
)

// A full disk: the part file is a link to the device on which every write
// fails for want of space.
func TestFullDisk(t *testing.T) {
	if _, err := os.Stat("/dev/full"); err != nil {
		t.Skip("this system has no /dev/full")
	}
	c := counterClips(t)["25"]
	info := probeOf(t, c.path)
	eachEngine(t, func(t *testing.T, e *Engine) {
		dir := t.TempDir()
		segment := filepath.Join(dir, "segment.mp4")
		shot := ShotSpec{Source: c.path, Info: info, Frames: 10, Rate: rate25, Width: counterW, Height: counterH, Out: segment, Encoder: quick}
		if err := e.Shot(context.Background(), shot, nil); err != nil {
			t.Fatal(err)
		}
		full := filepath.Join(dir, "full.mp4")
		for name, work := range map[string]func() error{
			"Shot": func() error {
				shot.Out = full
				return e.Shot(context.Background(), shot, nil)
			},
			"Join": func() error {
				return e.Join(context.Background(), JoinSpec{Segments: []string{segment}, Frames: []film.Frames{10}, Rate: rate25, Out: full})
			},
		} {
			if err := os.Symlink("/dev/full", full+".part"); err != nil {
				t.Fatal(err)
			}
			err := work()
			if film.CodeOf(err) != film.CodeNoSpace || film.HintOf(err) == "" {
				t.Errorf("%s: got %v (%s), want code %s and a hint", name, err, film.CodeOf(err), film.CodeNoSpace)
			}
			for _, left := range []string{full, full + ".part"} {
				if _, err := os.Lstat(left); !errors.Is(err, fs.ErrNotExist) {
					t.Errorf("%s: %s is left behind", name, filepath.Base(left))
				}
			}
		}
	})
}

func TestOutputFolderMissing(t *testing.T) {
	err := engines[0].Join(context.Background(), JoinSpec{
		Segments: []string{"testdata/rotation-0.mov"}, Frames: []film.Frames{3}, Rate: rate25,
		Out: filepath.Join(t.TempDir(), "nowhere", "film.mp4"),
	})
	if film.HintOf(err) == "" {
		t.Errorf("got %v, want an error with a hint", err)
	}
}

func TestFailureLeavesTheOldFileAlone(t *testing.T) {
	dir := t.TempDir()
	out := filepath.Join(dir, "film.mp4")
	if err := os.WriteFile(out, []byte("the old film"), 0o600); err != nil {
		t.Fatal(err)
	}
	// Three frames are promised as four.
	err := engines[0].Join(context.Background(), JoinSpec{Segments: []string{"testdata/rotation-0.mov"}, Frames: []film.Frames{4}, Rate: rate25, Out: out})
	if err == nil {
		t.Error("a film with a frame too few is no error")
	}
	if got, _ := os.ReadFile(out); string(got) != "the old film" {
		t.Errorf("the old film became %d bytes", len(got))
	}
	if left, _ := filepath.Glob(filepath.Join(dir, "*")); len(left) != 1 {
		t.Errorf("left behind: %q", left)
	}
}
