package media

import (
	"context"
	"errors"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
	"time"
)

// envKilled names the film that the process of TestKilledShot renders.
const envKilled = "MEDIA_TEST_KILLED_SHOT"

// A program killed in the middle of a shot leaves no file that looks finished,
// and the same shot rendered again is whole.
func TestKilledShot(t *testing.T) {
	c := counterClips(t)["25"]
	shot := ShotSpec{
		Source: c.path, Info: probeOf(t, c.path), Frames: 150, Rate: rate25, Width: 1920, Height: 1080,
		Out: os.Getenv(envKilled), Encoder: EncoderSettings{Preset: "veryslow", CRF: 1},
	}
	if shot.Out != "" { // the process that is killed
		if err := engines[0].Shot(context.Background(), shot, nil); err != nil {
			t.Fatal(err)
		}
		return
	}
	dir := t.TempDir()
	shot.Out = filepath.Join(dir, "shot.mp4")
	cmd := exec.Command(os.Args[0], "-test.run=^TestKilledShot$")
	cmd.Env = append(os.Environ(), envKilled+"="+shot.Out)
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	begun := func() bool { _, err := os.Stat(shot.Out + ".part"); return err == nil }
	for tries := 0; !begun(); tries++ {
		if tries == 6000 { // a minute
			t.Fatal("it never began")
		}
		time.Sleep(10 * time.Millisecond)
	}
	if err := cmd.Process.Kill(); err != nil {
		t.Fatal(err)
	}
	if cmd.Wait() == nil {
		t.Fatal("it ended before it was killed")
	}
	if _, err := os.Stat(shot.Out); !errors.Is(err, fs.ErrNotExist) {
		t.Errorf("the shot looks finished: %v", err)
	}
	shot.Frames, shot.Width, shot.Height, shot.Encoder = 30, counterW, counterH, quick
	if err := engines[0].Shot(context.Background(), shot, nil); err != nil {
		t.Fatal(err)
	}
	got := shownNumbers(t, shot.Out, counterW, counterH)
	for k, n := range got {
		if n != k {
			t.Errorf("frame %d shows %d", k, n)
		}
	}
	if len(got) != 30 {
		t.Errorf("%d frames, want 30", len(got))
	}
	if left, err := filepath.Glob(filepath.Join(dir, "*.part*")); err != nil || len(left) > 0 {
		t.Errorf("left behind: %q %v", left, err)
	}
}
