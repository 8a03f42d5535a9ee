package job

import (
	"fmt"
	"testing"

	"takeweave/internal/daylog"
)

// Six passes were logged by taps; the camera's clock is 67 minutes off. The third
// pass has no file, one file is in no log, and the second pass lies on another card
// that was copied before.
func TestPassesWithoutAFileAreNamed(t *testing.T) {
	const minute, cameraMS = 60_000, 67 * 60_000
	var entries []daylog.Entry
	var onCard, there []daylog.Clip
	for i, at := range []int64{600, 607, 615, 631, 640, 652} {
		n := i + 1
		e := daylog.Entry{ID: fmt.Sprint(n), Number: n, Setup: "wide", RollingMS: at * minute, CutMS: at*minute + 270_000, Verdict: daylog.Keep}
		entries = append(entries, e)
		c := daylog.Clip{File: fmt.Sprintf("C%04d.MP4", n), TimeMS: e.RollingMS + cameraMS - 2000, DurationS: 273}
		switch n {
		case 2:
			there = append(there, c)
		case 3:
		default:
			onCard = append(onCard, c)
		}
	}
	onCard = append(onCard, daylog.Clip{File: "C0009.MP4", TimeMS: 700*minute + cameraMS, DurationS: 11})

	named, missing := map[string]bool{}, ""
	for _, l := range loggedAmong(entries, onCard, there) {
		for _, f := range l.Files {
			named[f] = true
		}
		if len(l.Files) == 0 {
			missing += l.Pass + ";"
		}
	}
	if missing != "pass 3 (wide);" {
		t.Errorf("without a file: %q", missing)
	}
	for _, file := range []string{"C0001.MP4", "C0004.MP4", "C0005.MP4", "C0006.MP4"} {
		if !named[file] {
			t.Errorf("%s counts as not logged", file)
		}
	}
	if named["C0009.MP4"] {
		t.Error("a file that nobody logged counts as logged")
	}
}
