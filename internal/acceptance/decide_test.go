package acceptance

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// cutShots is what a cut shows, as compared before and after.
func cutShots(t *testing.T, dir, of string) []map[string]any {
	t.Helper()
	var c struct{ Shots []map[string]any }
	readJSON(t, takeweave(t, "export", dir, "--what", "cut", "--of", of).want(t, 0), &c)
	return c.Shots
}

func passAt(shots []map[string]any, frame float64) string {
	for _, s := range shots {
		if frame >= s["first_frame"].(float64) && frame < s["end_frame"].(float64) {
			return s["pass"].(string)
		}
	}
	return ""
}

func sameShots(a, b []map[string]any) bool {
	return slices.EqualFunc(a, b, func(x, y map[string]any) bool {
		return x["first_frame"] == y["first_frame"] && x["pass"] == y["pass"] && x["source_start_s"] == y["source_start_s"]
	})
}

// The person bends the cut: decisions hold, the rest heals, undo brings all back,
// and a cut that another program changed comes home.
func TestTheCutIsBentByDecisions(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "film")
	takeweave(t, "new", dir, "--song", practice(t, "day01", "song.flac")).want(t, 0)
	takeweave(t, "cut", dir, "--clips", practice(t, "day01")).want(t, 0, 3)
	before := cutShots(t, dir, "film")

	// A pass that is seen for some frames is never to be seen there again.
	victim := before[len(before)/2]
	name, at := victim["pass"].(string), victim["first_frame"].(float64)+2
	from, to := seconds(victim["first_frame"]), seconds(victim["end_frame"])
	r := takeweave(t, "pin", dir, "--never", name, "--in", from+"-"+to).want(t, 0)
	for _, words := range []string{"pin 1", "never in", "swapped"} {
		if !strings.Contains(r.out, words) {
			t.Errorf("the answer lacks %q:\n%s", words, r.out)
		}
	}
	pinned := cutShots(t, dir, "film")
	if got := passAt(pinned, at); got == name {
		t.Errorf("%s is still seen at frame %v", name, at)
	}
	why := takeweave(t, "why", dir, "--pass", name, "--at", from).want(t, 0)
	if !strings.Contains(why.out, "pin 1") {
		t.Errorf("why does not name the pin: %s", why.out)
	}

	// Two pins that contradict each other are refused, naming both.
	r = takeweave(t, "pin", dir, "--show", name, "--in", from+"-"+to).want(t, 1, 2)
	for _, words := range []string{"pin 1", "pin 2", "hint:"} {
		if !strings.Contains(r.errs, words) {
			t.Errorf("the conflict lacks %q:\n%s", words, r.errs)
		}
	}
	if !sameShots(pinned, cutShots(t, dir, "film")) {
		t.Error("a refused pin changed the cut")
	}

	// Undo and redo, over the end of the program.
	takeweave(t, "undo", dir).want(t, 0)
	if !sameShots(before, cutShots(t, dir, "film")) {
		t.Error("undo does not bring the cut back")
	}
	takeweave(t, "redo", dir).want(t, 0)
	if !sameShots(pinned, cutShots(t, dir, "film")) {
		t.Error("redo does not bring the pin back")
	}

	// Out and home again.
	timeline := filepath.Join(t.TempDir(), "cut.otio")
	save(t, timeline, takeweave(t, "export", dir, "--what", "otio").want(t, 0).out)
	if r := takeweave(t, "compare", dir, timeline).want(t, 0); !strings.Contains(r.out, "Nothing was changed") {
		t.Errorf("its own timeline came home changed:\n%s", r.out)
	}
	table := filepath.Join(t.TempDir(), "cut.csv")
	rows, err := csv.NewReader(strings.NewReader(takeweave(t, "export", dir, "--what", "csv").want(t, 0).out)).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	// Elsewhere, the cut between the second and the third shot was moved by 10 frames.
	col := func(name string) int { return slices.Index(rows[0], name) }
	moved := strconv.Itoa(atoi(t, rows[2][col("end_frame")]) + 10)
	rows[2][col("end_frame")], rows[3][col("first_frame")] = moved, moved
	rows[2][col("film_out")], rows[3][col("film_in")] = "", ""
	var changed bytes.Buffer
	if err := csv.NewWriter(&changed).WriteAll(rows); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(table, changed.Bytes(), 0o666); err != nil {
		t.Fatal(err)
	}
	if r := takeweave(t, "compare", dir, table).want(t, 0); strings.Contains(r.out, "Nothing was changed") {
		t.Errorf("the moved cut is not seen:\n%s", r.out)
	}
	takeweave(t, "compare", dir, table, "--pin").want(t, 0)
	at = float64(atoi(t, moved))
	if !slices.ContainsFunc(cutShots(t, dir, "film"), func(s map[string]any) bool { return s["first_frame"] == at }) {
		t.Errorf("no cut came home at frame %v", at)
	}

	// A film in another shape has its own cut, with a crop in every shot.
	takeweave(t, "order", dir, "--shape", "9:16").want(t, 0)
	for i, s := range cutShots(t, dir, "9x16") {
		c, ok := s["crop"].(map[string]any)
		if s["file"] != "" && (!ok || c["width"].(float64) != 202 || c["height"].(float64) != 360) { // 360·9/16 = 202.5
			t.Errorf("shot %d of 9:16 shows %v", i+1, s["crop"])
		}
	}
	takeweave(t, "order", dir, "--drop", "9x16").want(t, 0)
	if r := takeweave(t, "order", dir).want(t, 0); strings.Contains(r.out, "9x16") {
		t.Errorf("the order is still there:\n%s", r.out)
	}
}

// seconds returns a frame of a film at 25 frames a second as seconds.
func seconds(frame any) string { return fmt.Sprintf("%.3f", frame.(float64)/25) }

func atoi(t *testing.T, s string) int {
	t.Helper()
	n, err := strconv.Atoi(s)
	if err != nil {
		t.Fatal(err)
	}
	return n
}
