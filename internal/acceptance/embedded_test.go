package acceptance

import (
	"path/filepath"
	"strings"
	"testing"
)

// Where no FFmpeg is installed the embedded one does the whole job. The film is
// small and the clips are few, because it encodes several times slower.
func TestWholeJobOnTheEmbeddedEngine(t *testing.T) {
	clips := links(t, "day01", "C0059.MP4", "C0064.MP4", "C0065.MP4")
	dir := filepath.Join(t.TempDir(), "film")
	song := practice(t, "day01", "song.flac")
	nothing := []string{"PATH=" + t.TempDir(), "TAKEWEAVE_FFMPEG=", "TAKEWEAVE_ENGINE="}
	takeweaveWith(t, nothing, "new", dir, "--song", song, "--size", "320x180").want(t, 0)
	r := takeweaveWith(t, nothing, "run", dir, "--clips", clips).want(t, 0, 3)
	if !strings.Contains(r.errs, "built") && !strings.Contains(r.errs, "embedded") {
		t.Errorf("the run does not say which engine it uses:\n%s", r.errs)
	}
	cut := takeweaveWith(t, nothing, "export", dir, "--what", "cut").want(t, 0)
	checkCutCoversTheSong(t, cut, song)
	checkFilm(t, filepath.Join(dir, "out", "film.mp4"), song, cut)
}
