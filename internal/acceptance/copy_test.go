package acceptance

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// A card is copied to two folders of one drive: proven, but on one device only,
// so the card must be kept. A copy that rots is named.
func TestCardIsCopiedAndProven(t *testing.T) {
	folder := t.TempDir()
	dir, cardDir, other := filepath.Join(folder, "film"), filepath.Join(folder, "CARD"), filepath.Join(folder, "backup")
	takeweave(t, "new", dir, "--song", practice(t, "day01", "song.flac")).want(t, 0)
	clip, err := os.ReadFile(practice(t, "day01", "C0059.MP4"))
	if err != nil {
		t.Fatal(err)
	}
	for name, body := range map[string][]byte{"DCIM/C0001.MP4": clip, "DCIM/empty.txt": nil, "odd name é.XML": []byte("<a/>")} {
		path := filepath.Join(cardDir, name)
		if err := os.MkdirAll(filepath.Dir(path), 0o777); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, body, 0o666); err != nil {
			t.Fatal(err)
		}
	}

	if r := takeweave(t, "copy", cardDir, dir).want(t, 2); !strings.Contains(r.errs, "--second") {
		t.Errorf("one copy: %s", r.errs)
	}
	var got struct {
		MayBeWiped bool   `json:"may_be_wiped"`
		Verdict    string `json:"verdict"`
		Page       string `json:"page"`
		Places     []struct {
			Folder string
			Proven int
		}
	}
	readJSON(t, takeweave(t, "copy", cardDir, dir, "--second", other, "--json").want(t, 3), &got)
	if got.MayBeWiped || !strings.Contains(got.Verdict, "Keep") {
		t.Errorf("two copies on one drive: %+v", got)
	}
	page, err := os.ReadFile(got.Page)
	if err != nil || !strings.Contains(string(page), "Keep this card") || strings.Contains(string(page), "may be wiped,") {
		t.Errorf("the receipt: %v", err)
	}
	for _, place := range []string{filepath.Join(dir, "clips", "CARD"), filepath.Join(other, "CARD")} {
		copied, err := os.ReadFile(filepath.Join(place, "DCIM", "C0001.MP4"))
		if err != nil || string(copied) != string(clip) {
			t.Errorf("%s: the copy is not the card's file: %v", place, err)
		}
		takeweave(t, "verify", place).want(t, 0)
	}

	rotten := filepath.Join(other, "CARD", "DCIM", "C0001.MP4")
	clip[len(clip)/2] ^= 1
	if err := os.WriteFile(rotten, clip, 0o666); err != nil {
		t.Fatal(err)
	}
	if r := takeweave(t, "verify", filepath.Dir(filepath.Dir(rotten))).want(t, 3); !strings.Contains(r.out, "changed: DCIM/C0001.MP4") {
		t.Errorf("the rotten copy is not named:\n%s", r.out)
	}
}
