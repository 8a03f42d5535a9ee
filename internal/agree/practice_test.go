package agree

import (
	"bytes"
	"context"
	"encoding/binary"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"testing"

	"takeweave/internal/film"
	"takeweave/internal/lineup"
)

// practiceTruth is what is used of a practice day's truth file.
type practiceTruth struct {
	Passes []struct {
		File      string       `json:"file"`
		Status    string       `json:"status"`
		SongNotes [][3]float64 `json:"song_notes"` // from, to, label: 1 the same notes, 0 not, -1 unclear
	} `json:"passes"`
}

// decode returns a file's sound by way of ffmpeg.
func decode(t *testing.T, ffmpeg, path string) *lineup.Recording {
	t.Helper()
	raw, err := exec.Command(ffmpeg, "-v", "error", "-i", path, "-vn", "-ac", "1", "-ar", fmt.Sprint(rate), "-f", "f32le", "-").Output()
	if err != nil {
		t.Fatalf("%s: %v", path, err)
	}
	x := make([]float32, len(raw)/4)
	if err := binary.Read(bytes.NewReader(raw), binary.LittleEndian, x); err != nil {
		t.Fatal(err)
	}
	return listen(t, x)
}

// TestReliabilityOnPracticeDays prints how far the scores on the practice days
// can be trusted, on the grid of their scorer; it runs only with TAKEWEAVE_SOAK=1.
func TestReliabilityOnPracticeDays(t *testing.T) {
	if os.Getenv("TAKEWEAVE_SOAK") == "" {
		t.Skip("set TAKEWEAVE_SOAK=1 to judge the practice days")
	}
	ffmpeg, err := exec.LookPath("ffmpeg")
	if err != nil {
		t.Skip("needs ffmpeg to read the clips: install it")
	}
	const grid = 0.25
	dir := filepath.Join("..", "..", "testdata", "practice")
	var all []judgedMoment
	for _, day := range []string{"day01", "day02"} {
		var truth practiceTruth
		b, err := os.ReadFile(filepath.Join(dir, "truth", day+".json"))
		if err != nil {
			t.Fatal(err)
		}
		if err := json.Unmarshal(b, &truth); err != nil {
			t.Fatal(err)
		}
		song := decode(t, ffmpeg, filepath.Join(dir, day, "song.flac"))
		for _, p := range truth.Passes {
			if p.Status != "aligned" {
				continue
			}
			pass := decode(t, ffmpeg, filepath.Join(dir, day, p.File))
			lu, err := lineup.Align(context.Background(), song, pass, nil)
			if err != nil {
				t.Fatal(err)
			}
			as, err := Judge(context.Background(), song, pass, lu, film.Setup{}, nil)
			if err != nil {
				t.Fatal(err)
			}
			last := p.SongNotes[len(p.SongNotes)-1][1]
			for at := p.SongNotes[0][0] + grid/2; at < last; at += grid {
				m := judgedMoment{why: film.WhyNotCovered, y: 0.5}
				for _, l := range p.SongNotes {
					if at >= l[0]-1e-9 && at < l[1]-1e-9 && l[2] >= 0 {
						m.y = l[2]
					}
				}
				for i := range as { // of places played twice the better copy
					if s, why, _ := as[i].At(film.SongTime(at)); why != film.WhyNotCovered && (m.why == film.WhyNotCovered || s > m.score) {
						m.score, m.why = s, why
					}
				}
				all = append(all, m)
			}
		}
	}
	q := qualityOf(all)
	fmt.Printf("PRACTICE DAYS\n%s\n", reliability(all))
	if q.ece > 0.08 || math.IsNaN(q.auc) || q.auc < 0.95 {
		t.Errorf("%+v, want calibration error 0.08 and area 0.95", q)
	}
}
