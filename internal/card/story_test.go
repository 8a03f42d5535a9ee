package card

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// TestTheRottenByte: eighteen passes, two drives. A byte of pass 12 rots on drive
// B, and pass 7 goes from the card. Both are named, the card must be kept, and
// pass 12 is put right from the card.
func TestTheRottenByte(t *testing.T) {
	sizes := make([]int, 18)
	for i := range sizes {
		sizes[i] = 40_000 + 1000*i
	}
	card, to := aCard(t, sizes...), drives(t, "a", "b")
	var logged []Logged
	for pass := 1; pass <= 18; pass++ {
		logged = append(logged, Logged{fmt.Sprintf("pass %d", pass), []string{"CLIPS/" + clipName(pass)}})
	}
	plan := Plan{From: card, To: to, Logged: logged, disk: onDrives{}}
	if r := mustCopy(t, plan); !r.MayBeWiped || len(r.Unlogged) > 0 {
		t.Fatalf("honest copies: %v, %+v", r.Why, r.Problems)
	}

	twelve := filepath.Join(to[1], "CLIPS", clipName(12))
	b := readFile(t, twelve)
	b[777] ^= 1
	change(t, twelve, string(b))
	if err := os.Remove(filepath.Join(card, "CLIPS", clipName(7))); err != nil {
		t.Fatal(err)
	}
	r := mustCopy(t, plan)
	if r.MayBeWiped || !named(r, clipName(12), to[1], "damaged") || !named(r, clipName(7), "", "pass 7 logged, no file") || len(r.Problems) != 2 {
		t.Errorf("%+v", r.Problems)
	}
	if !cmp.Equal(r.Lost, []string{"CLIPS/" + clipName(7)}) || !slices.ContainsFunc(r.Notes, func(n string) bool {
		return strings.Contains(n, clipName(7)) && strings.Contains(n, "2 devices are whole")
	}) {
		t.Errorf("lost %q, noted %q", r.Lost, r.Notes)
	}
	if !cmp.Equal(readFile(t, twelve), b) {
		t.Error("it was repaired without being asked to")
	}

	plan.Repair = true
	r = mustCopy(t, plan)
	if r.MayBeWiped || len(r.Problems) != 1 || !named(r, clipName(7), "", "pass 7 logged, no file") {
		t.Errorf("after the repair: %+v", r.Problems)
	}
	if !cmp.Equal(readFile(t, twelve), readFile(t, filepath.Join(card, "CLIPS", clipName(12)))) {
		t.Error("pass 12 was not put right")
	}
	if !cmp.Equal(readFile(t, filepath.Join(to[1], asideFolder, "1", "CLIPS", clipName(12))), b) {
		t.Error("the damaged pass 12 is gone")
	}
	if checked, err := Verify(context.Background(), to[1], nil); err != nil || !checked.Good() || checked.Whole != 18 {
		t.Errorf("%+v, %v", checked, err)
	}
}

// named reports whether a problem names a file, a place and what it is.
func named(r Receipt, file, place, what string) bool {
	return slices.ContainsFunc(r.Problems, func(p Problem) bool {
		return strings.HasSuffix(p.Path, file) && p.Place == place && strings.Contains(p.What, what)
	})
}

// What the card did between two copies into the same places.
func TestTheCardGoesOn(t *testing.T) {
	card, to := aCard(t, 5000, 6000, 7000), drives(t, "a", "b")
	plan := Plan{From: card, To: to, disk: onDrives{}}
	mustCopy(t, plan)
	change(t, filepath.Join(card, "CLIPS", "C0004.MP4"), "new")
	r := mustCopy(t, plan)
	if !r.MayBeWiped || !cmp.Equal(r.Grew, []string{"CLIPS/C0004.MP4"}) {
		t.Errorf("grew %q: %v, %+v", r.Grew, r.Why, r.Problems)
	}
	earlier := readFile(t, filepath.Join(to[0], "CLIPS", "C0002.MP4"))
	change(t, filepath.Join(card, "CLIPS", "C0002.MP4"), string(earlier)+"more")
	change(t, filepath.Join(card, "CLIPS", "C0003.MP4"), "less")
	r = mustCopy(t, plan)
	if r.MayBeWiped || !cmp.Equal(r.Changed, []string{"CLIPS/C0002.MP4", "CLIPS/C0003.MP4"}) ||
		!named(r, "C0002.MP4", to[0], "has grown on the card from 6000 to 6004 bytes") || !named(r, "C0003.MP4", to[1], "was changed on the card") {
		t.Errorf("changed %q: %+v", r.Changed, r.Problems)
	}
	if !cmp.Equal(readFile(t, filepath.Join(to[0], "CLIPS", "C0002.MP4")), earlier) {
		t.Error("the earlier copy was overwritten")
	}
}

func TestThreeDevicesForWhatCannotBeRepeated(t *testing.T) {
	card, to := aCard(t, 5000), drives(t, "a", "b", "c")
	if r := mustCopy(t, Plan{From: card, To: to[:2], CannotRepeat: true, disk: onDrives{}}); r.MayBeWiped {
		t.Error("two were enough")
	}
	if r := mustCopy(t, Plan{From: card, To: to, CannotRepeat: true, disk: onDrives{}}); !r.MayBeWiped {
		t.Errorf("three were not: %v", r.Why)
	}
}

func TestLogAndPlaying(t *testing.T) {
	card := aCard(t, 100, 200)
	change(t, filepath.Join(card, "CLIPS", "C0001.XML"), "beside the clip")
	var played []string
	r := mustCopy(t, Plan{
		From: card, To: drives(t, "a", "b"), disk: onDrives{},
		Logged: []Logged{{"pass 1", []string{"CLIPS/C0001.MP4"}}, {"pass 3", nil}},
		IsClip: func(p string) bool { return strings.HasSuffix(p, ".MP4") },
		Play: func(_ context.Context, file string) error {
			played = append(played, filepath.Base(filepath.Dir(filepath.Dir(file)))+" "+filepath.Base(file))
			if strings.HasSuffix(file, "C0002.MP4") {
				return errors.New("no picture")
			}
			return nil
		},
	})
	if !cmp.Equal(played, []string{"a C0001.MP4", "a C0002.MP4"}) || !cmp.Equal(r.Unlogged, []string{"CLIPS/C0002.MP4"}) {
		t.Errorf("played %q, without a pass %q", played, r.Unlogged)
	}
	if r.MayBeWiped || !named(r, "", "", "pass 3 logged, no file") || !named(r, "C0002.MP4", "", "does not play: no picture") || len(r.Problems) != 2 {
		t.Errorf("%+v", r.Problems)
	}
}
