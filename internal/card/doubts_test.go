package card

import (
	"context"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"takeweave/internal/interchange"
)

// A reading that ends too early hashes like a shorter file: the person's own
// longer one is not taken for the card's.
func TestALongerFileIsNotTheCards(t *testing.T) {
	d := newFakeDisk()
	d.put("/card/C0001.MP4", nil, aDay)
	d.put("/a/film/C0001.MP4", []byte("the person's own"), aDay)
	d.chance, d.faults.earlyEnd = rand.New(rand.NewPCG(1, 1)), 1
	r, err := Copy(context.Background(), Plan{From: "/card", To: []string{"/a/film", "/b/film"}, disk: d}, nil)
	if err != nil || r.Files[0].Proven[0] || r.MayBeWiped {
		t.Errorf("%v, %+v", err, r)
	}
}

// What appears on the card while it is copied keeps it.
func TestACardThatChangesUnderTheCopy(t *testing.T) {
	card, to := aCard(t, 100), drives(t, "a", "b")
	r := mustCopy(t, Plan{From: card, To: to, disk: onDrives{}, Play: func(context.Context, string) error {
		change(t, filepath.Join(card, "CLIPS", "C0002.MP4"), "one more pass")
		return nil
	}})
	if r.MayBeWiped || !named(r, "", "", "changed or went away") {
		t.Errorf("%+v", r)
	}
	if r := mustCopy(t, Plan{From: card, To: to, disk: onDrives{}}); !r.MayBeWiped {
		t.Errorf("copied again: %+v", r.Problems)
	}
}

// Only originals and verified hashes count [ASCMHL].
func TestFailedHashesCountForNothing(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "card")
	change(t, filepath.Join(dir, "C0001.MP4"), "abc")
	value := func(digits string, action interchange.HashAction) []interchange.HashedFile {
		return []interchange.HashedFile{{Path: "C0001.MP4", Size: 3, Hashes: []interchange.HashValue{{Format: md5Hash, Digits: digits, Action: action}}}}
	}
	var chain []interchange.ChainLink
	for i, files := range [][]interchange.HashedFile{
		value(strings.Repeat("0", 32), interchange.HashFailed),
		value("900150983cd24fb0d6963f7d28e17f72", interchange.HashOriginal), // of "abc", RFC 1321
	} {
		text := interchange.WriteHashList(&interchange.HashList{Made: aDay, Process: interchange.InPlace, Files: files})
		name := interchange.HashListName(i+1, "card", aDay)
		change(t, filepath.Join(dir, interchange.HistoryFolder, name), string(text))
		chain = append(chain, interchange.ChainLink{Number: i + 1, Path: name, C4: interchange.C4(text)})
	}
	change(t, filepath.Join(dir, chainPath), string(interchange.WriteChain(chain)))
	if checked, err := Verify(context.Background(), dir, nil); err != nil || !checked.Good() {
		t.Errorf("%+v, %v", checked, err)
	}
}

// A list that was written, but not yet chained when the computer died, is taken
// into the chain.
func TestAnUnchainedListIsTakenIn(t *testing.T) {
	card, to := aCard(t, 100), drives(t, "a")
	plan := Plan{From: card, To: to, disk: onDrives{}}
	mustCopy(t, plan)
	chain := readFile(t, filepath.Join(to[0], chainPath))
	mustCopy(t, plan)
	change(t, filepath.Join(to[0], chainPath), string(chain)) // as if it had died before the second was chained
	mustCopy(t, plan)
	all, err := interchange.ReadChain(readFile(t, filepath.Join(to[0], chainPath)), "chain")
	if err != nil || len(all) != 3 {
		t.Errorf("%v, %v", all, err)
	}
	lists, err := os.ReadDir(filepath.Join(to[0], interchange.HistoryFolder))
	if err != nil || len(lists) != 4 {
		t.Errorf("%d files, %v", len(lists), err)
	}
}
