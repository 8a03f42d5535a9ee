package acceptance

import (
	"path/filepath"
	"testing"
)

// The invented film day carries a spark at every pluck, so the finished film's
// sync can be read from its pictures alone. The limits are the promise that the
// product makes: half a frame at the median, and ITU-R BT.1359-1's 45 ms at 95
// of 100 plucks.
func TestDemoIsInSyncByItsPictures(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "demo film")
	r := takeweave(t, "demo", dir, "--json").want(t, 0, 3)
	var got struct {
		Film    string
		Figures struct {
			Shots    int
			Agreeing float64 `json:"agreeing_share"`
			Holes    int
		}
		Sparks struct {
			Plucks, Seen int
			MedianMS     float64 `json:"median_ms"`
			P95MS        float64 `json:"p95_ms"`
		}
	}
	readJSON(t, r, &got)
	if got.Sparks.MedianMS > 20 || got.Sparks.P95MS > 45 {
		t.Errorf("hands and record part by %.1f ms (median), %.1f ms (95 of 100)", got.Sparks.MedianMS, got.Sparks.P95MS)
	}
	if got.Sparks.Plucks < 60 || got.Sparks.Seen < got.Sparks.Plucks*9/10 {
		t.Errorf("%d of %d plucks seen: too few to say anything", got.Sparks.Seen, got.Sparks.Plucks)
	}
	if got.Figures.Shots < 8 || got.Figures.Holes != 0 || got.Figures.Agreeing < 0.9 {
		t.Errorf("the cut: %+v", got.Figures)
	}
	checkSoundIsTheRecord(t, filepath.Join(dir, "slow-ferry-home", "out", "film.mp4"), filepath.Join(dir, "day", "song.wav"))
	t.Logf("%+v", got)
	released(t, filepath.Join(dir, "slow-ferry-home"))
}
