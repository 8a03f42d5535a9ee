package card

import (
	"context"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"takeweave/internal/film"
	"takeweave/internal/interchange"
)

// scenarios are the histories of [ASCMHL]; see the README beside them.
var scenarios = []string{"scenario_01/travel_01", "scenario_02/file_server", "scenario_03/file_server"}

// scenario copies one of them into a folder of its own, with its card's name.
func scenario(t *testing.T, name string) string {
	t.Helper()
	dir := filepath.Join(t.TempDir(), "A002R2EC")
	if err := os.CopyFS(dir, os.DirFS(filepath.Join("..", "interchange", "testdata", "mhl", filepath.FromSlash(name), "A002R2EC"))); err != nil {
		t.Fatal(err)
	}
	return dir
}

func TestVerifyTheScenarios(t *testing.T) {
	for _, name := range scenarios {
		dir := scenario(t, name)
		checked, err := Verify(context.Background(), dir, nil)
		if err != nil || !checked.Good() || checked.Whole != 3 || checked.Bytes != 5+4+58 || len(checked.New) != 0 {
			t.Errorf("%s: %+v, %v", name, checked, err)
		}
		before := listAll(t, dir)
		change(t, filepath.Join(dir, "Clips", "A002C006_141024_R2EC.mov"), "abCd\n")
		change(t, filepath.Join(dir, "Clips", "later.mov"), "new")
		if err := os.Remove(filepath.Join(dir, "Sidecar.txt")); err != nil {
			t.Fatal(err)
		}
		checked, err = Verify(context.Background(), dir, nil)
		if err != nil || checked.Good() || checked.Whole != 1 ||
			!cmp.Equal(checked.Changed, []string{"Clips/A002C006_141024_R2EC.mov"}) || !cmp.Equal(checked.Missing, []string{"Sidecar.txt"}) || !cmp.Equal(checked.New, []string{"Clips/later.mov"}) {
			t.Errorf("%s, damaged: %+v, %v", name, checked, err)
		}
		if len(listAll(t, dir)) != len(before) {
			t.Errorf("%s: verifying wrote something", name)
		}
	}
}

// A list that was changed after it was written counts for nothing, and is told.
func TestVerifyADamagedList(t *testing.T) {
	dir := scenario(t, scenarios[0])
	list := filepath.Join(dir, "ascmhl", "0001_A002R2EC_2020-01-16_091500Z.mhl")
	text, err := os.ReadFile(list)
	if err != nil {
		t.Fatal(err)
	}
	change(t, list, strings.Replace(string(text), "0ea03b369a463d9d", "7680e5f98f4a80fd", 1))
	checked, err := Verify(context.Background(), dir, nil)
	if err != nil || checked.Good() || len(checked.Unreadable) != 1 || !strings.Contains(checked.Unreadable[0].What, "0001_A002R2EC") {
		t.Errorf("%+v, %v", checked, err)
	}
}

func TestVerifyWhereNothingWasCopied(t *testing.T) {
	if _, err := Verify(context.Background(), t.TempDir(), nil); film.CodeOf(err) != film.CodeNotFound || film.HintOf(err) == "" {
		t.Error(err)
	}
	if _, err := Verify(context.Background(), filepath.Join(t.TempDir(), "gone"), nil); film.CodeOf(err) != film.CodeNotFound {
		t.Error(err)
	}
}

// TestOurListFollowsTheirs copies a card that carries a history: ours is the next
// generation, holds their formats verified beside our own, and folder hashes.
func TestOurListFollowsTheirs(t *testing.T) {
	card := scenario(t, scenarios[2])
	to := []string{filepath.Join(t.TempDir(), "A002R2EC"), filepath.Join(t.TempDir(), "A002R2EC")}
	receipt := mustCopy(t, Plan{From: card, To: to})
	if len(receipt.Problems) > 0 {
		t.Fatalf("%+v", receipt.Problems)
	}
	for _, dir := range to {
		chain, err := interchange.ReadChain(readFile(t, filepath.Join(dir, "ascmhl", interchange.ChainName)), "chain")
		if err != nil || len(chain) != 3 {
			t.Fatalf("%d lists, %v", len(chain), err)
		}
		l, err := interchange.ReadHashList(readFile(t, filepath.Join(dir, "ascmhl", chain[2].Path)), "list")
		if err != nil || l.Process != interchange.Transfer || l.Root == nil || len(l.Folders) != 1 || len(l.Files) != 3 {
			t.Fatalf("%+v, %v", l, err)
		}
		for _, h := range l.Files[0].Hashes {
			want := map[interchange.HashFormat]string{md5Hash: "f5ac8127b3b6b85cdc13f237c6005d80", xxh64Hash: "0ea03b369a463d9d", xxh128Hash: "ad3e38cc4333ed1b742b20a1b224a05e"}[h.Format]
			if h.Action != interchange.HashVerified || h.Digits != want {
				t.Errorf("%s %s %s, want verified %s", l.Files[0].Path, h.Format, h.Digits, want)
			}
		}
		if checked, err := Verify(context.Background(), dir, nil); err != nil || !checked.Good() {
			t.Errorf("%+v, %v", checked, err)
		}
	}
	// The card is copied again: its history is the beginning of the copies'.
	if again := mustCopy(t, Plan{From: card, To: to}); len(again.Problems) > 0 || again.Places[0].Proven != len(again.Files) {
		t.Errorf("%+v", again)
	}
	// The card's own list finds what rotted on the card.
	change(t, filepath.Join(card, "Sidecar.txt"), strings.Repeat("x", 58))
	rotten := filepath.Join(t.TempDir(), "new")
	receipt = mustCopy(t, Plan{From: card, To: []string{rotten}})
	if !slices.ContainsFunc(receipt.Problems, func(p Problem) bool {
		return p.Path == "Sidecar.txt" && strings.Contains(p.What, "own hash list of 2020-01-")
	}) {
		t.Errorf("%+v", receipt.Problems)
	}
	// It is copied as it is, and no list of ours vouches for it.
	if got := readFile(t, filepath.Join(rotten, "Sidecar.txt")); string(got) != strings.Repeat("x", 58) {
		t.Errorf("%q was copied", got)
	}
	if checked, err := Verify(context.Background(), rotten, nil); err != nil || !cmp.Equal(checked.Changed, []string{"Sidecar.txt"}) || checked.Whole != 2 {
		t.Errorf("%+v, %v", checked, err)
	}
	if err := os.Remove(filepath.Join(card, "Sidecar.txt")); err != nil {
		t.Fatal(err)
	}
	receipt = mustCopy(t, Plan{From: card, To: []string{filepath.Join(t.TempDir(), "new")}})
	if !slices.ContainsFunc(receipt.Problems, func(p Problem) bool { return p.Path == "Sidecar.txt" && strings.Contains(p.What, "not on the card") }) {
		t.Errorf("%+v", receipt.Problems)
	}
}

// TestHashedFolders compares with the folder hashes of the first scenario, which
// are of XXH64 [ASCMHL].
func TestHashedFolders(t *testing.T) {
	l, err := interchange.ReadHashList(readFile(t, filepath.Join(scenario(t, scenarios[0]), "ascmhl", "0001_A002R2EC_2020-01-16_091500Z.mhl")), "list")
	if err != nil {
		t.Fatal(err)
	}
	root, below, err := interchange.HashFolders(l.Files, xxh64Hash, func(b []byte) string {
		h := new64()
		_, _ = h.Write(b)
		return digitsOf(xxh64Hash, h.Sum(nil))
	})
	if err != nil || root.Content.Digits != "8d02114c32e28cbe" || root.Structure.Digits != "f557f8ca8e5a88ef" ||
		below[0].Content.Digits != "4c226b42e27d7af3" || below[0].Structure.Digits != "906faa843d591a9f" {
		t.Errorf("%+v, %+v, %v", root, below, err)
	}
}

func mustCopy(t *testing.T, p Plan) Receipt {
	t.Helper()
	r, err := Copy(context.Background(), p, nil)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func readFile(t *testing.T, path string) []byte {
	t.Helper()
	b, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

func change(t *testing.T, path, text string) {
	t.Helper()
	if err := os.MkdirAll(filepath.Dir(path), 0o777); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(path, []byte(text), 0o666); err != nil {
		t.Fatal(err)
	}
}

func listAll(t *testing.T, dir string) []entry {
	t.Helper()
	all, err := systemDisk{}.List(dir)
	if err != nil {
		t.Fatal(err)
	}
	return all
}
