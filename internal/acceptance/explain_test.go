package acceptance

import (
	"math"
	"path/filepath"
	"strings"
	"testing"
)

// The file for checking by ear lays the pass beside the record. This pass is
// made of the record itself, 3.2 s late, so the lag between the ears can be
// measured by correlation, whatever our own line-up says.
func TestExplainWritesAFileForTheEar(t *testing.T) {
	dir, clips := newFilm(t, "day01"), t.TempDir()
	native(t, "ffmpeg", "-v", "error", "-f", "lavfi", "-i", "color=s=160x90:r=25:d=53", "-i", practice(t, "day01", "song.flac"),
		"-af", "adelay=3200:all=1", "-c:a", "aac", "-b:a", "128k", "-shortest", filepath.Join(clips, "C0059.MP4"))
	r := takeweave(t, "--json", "lineup", dir, "--clips", clips, "--explain", "C0059").want(t, 0)
	var e struct {
		Stretches []struct{ Agrees bool }
		Listen    string
	}
	readJSON(t, r, &e)
	if len(e.Stretches) == 0 || !e.Stretches[0].Agrees || !strings.HasSuffix(e.Listen, "listen-C0059.wav") {
		t.Fatalf("got %+v", e)
	}
	const rate = 22050
	raw := native(t, "ffmpeg", "-v", "error", "-i", e.Listen, "-f", "s16le", "-ac", "2", "-ar", "22050", "-")
	ear := [2][]float64{}
	for i := 0; i+3 < len(raw); i += 4 {
		for c := range ear {
			ear[c] = append(ear[c], float64(int16(uint16(raw[i+2*c])|uint16(raw[i+2*c+1])<<8)))
		}
	}
	for _, from := range []int{10 * rate, 25 * rate, 38 * rate} {
		best, at := 0.0, 0
		for lag := -rate / 10; lag <= rate/10; lag++ {
			var s float64
			for i := from; i < from+2*rate; i++ {
				s += ear[0][i] * ear[1][i+lag]
			}
			if s = math.Abs(s); s > best {
				best, at = s, lag
			}
		}
		if ms := 1000 * float64(at) / rate; math.Abs(ms) > 1 {
			t.Errorf("at %d s the pass lies %.1f ms beside the record", from/rate, ms)
		}
	}
}
