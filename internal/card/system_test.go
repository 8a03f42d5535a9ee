package card

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"testing"
	"time"

	"takeweave/internal/film"
)

// onDrives is the system's disk, with every folder whose name is one letter a
// drive of its own: the machine that tests has only one.
type onDrives struct{ systemDisk }

func (onDrives) Device(dir string) (string, error) {
	for ; dir != filepath.Dir(dir); dir = filepath.Dir(dir) {
		if name := filepath.Base(dir); len(name) == 1 {
			return "drive " + name, nil
		}
	}
	return "the card's drive", nil
}

// TestMain copies instead of testing when it was started to be killed.
func TestMain(m *testing.M) {
	if from := os.Getenv("TAKEWEAVE_CARD_FROM"); from != "" {
		_, err := Copy(context.Background(), Plan{From: from, To: filepath.SplitList(os.Getenv("TAKEWEAVE_CARD_TO")), disk: onDrives{}}, nil)
		if err != nil {
			_, _ = io.WriteString(os.Stderr, err.Error())
			os.Exit(1)
		}
		os.Exit(0)
	}
	os.Exit(m.Run())
}

// copying starts a process that copies.
func copying(t *testing.T, from string, to []string) (*exec.Cmd, *bytes.Buffer) {
	t.Helper()
	self, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	cmd := exec.Command(self)
	cmd.Env = append(os.Environ(), "TAKEWEAVE_CARD_FROM="+from, "TAKEWEAVE_CARD_TO="+strings.Join(to, string(filepath.ListSeparator)))
	var told bytes.Buffer
	cmd.Stderr = &told
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	return cmd, &told
}

// aCard is a card of clips with chance bytes.
func aCard(t *testing.T, sizes ...int) string {
	t.Helper()
	dir := filepath.Join(t.TempDir(), "card")
	chance := rand.New(rand.NewPCG(3, uint64(len(sizes))))
	for i, n := range sizes {
		b := make([]byte, n)
		for j := range b {
			b[j] = byte(chance.Uint32())
		}
		change(t, filepath.Join(dir, "CLIPS", clipName(i+1)), string(b))
	}
	return dir
}

func clipName(pass int) string { return fmt.Sprintf("C%04d.MP4", pass) }

func drives(t *testing.T, names ...string) []string {
	t.Helper()
	dir := t.TempDir()
	var all []string
	for _, n := range names {
		all = append(all, filepath.Join(dir, n))
	}
	return all
}

func TestCopyOnTheSystemsDisk(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Skip("its file systems refuse most of the odd names")
	}
	card := aCard(t, 0, 1, sector-1, sector, sector+1, bufferBytes-1, bufferBytes, bufferBytes+1, 2*bufferBytes+12345)
	when := time.Date(2030, 2, 3, 4, 5, 6, 0, time.UTC)
	for _, name := range append(slices.Clone(oddNames), strings.Repeat("n", 255)) {
		if name == "\xff\xfe" && runtime.GOOS == "darwin" {
			continue // not a name there
		}
		path := filepath.Join(card, name)
		change(t, path, name)
		if err := os.Chtimes(path, when, when); err != nil {
			t.Fatal(err)
		}
	}
	change(t, filepath.Join(card, ".Spotlight-V100", "index"), "of the computer")
	if err := os.MkdirAll(filepath.Join(card, "EMPTY", "TOO"), 0o777); err != nil {
		t.Fatal(err)
	}
	to := drives(t, "a", "b")
	var last, total int64
	receipt, err := Copy(context.Background(), Plan{From: card, To: to, disk: onDrives{}}, func(done, all int64, _ string) { last, total = done, all })
	if err != nil || !receipt.MayBeWiped {
		t.Fatalf("%v, %v, %+v", err, receipt.Why, receipt.Problems)
	}
	if last != total || total != 3*receipt.Bytes {
		t.Errorf("progress ended at %d of %d, the card has %d bytes", last, total, receipt.Bytes)
	}
	if !slices.Contains(receipt.LeftOut, ".Spotlight-V100/index") {
		t.Errorf("left out %q", receipt.LeftOut)
	}
	for _, dir := range to {
		for _, e := range listAll(t, card) {
			got, err := systemDisk{}.Stat(below(dir, e.path))
			if leftOut(e.path) {
				if err == nil {
					t.Errorf("%q was copied", e.path)
				}
				continue
			}
			if err != nil || got.kind != e.kind || !got.modified.Equal(e.modified) {
				t.Errorf("%q is %+v there, %v", e.path, got, err)
			}
			if e.kind == aFile && !bytes.Equal(readFile(t, below(dir, e.path)), readFile(t, below(card, e.path))) {
				t.Errorf("%q has other bytes", e.path)
			}
		}
		if _, err := os.Stat(filepath.Join(dir, partFolder)); !errors.Is(err, fs.ErrNotExist) {
			t.Errorf("%s was left", partFolder)
		}
	}
	// The same card again: nothing new, and it says so.
	if listing, err := Listing(card); err != nil || listing != receipt.Listing {
		t.Errorf("the listing %s, %v, want %s", listing, err, receipt.Listing)
	}
	again, err := Copy(context.Background(), Plan{From: card, To: to, Earlier: []Receipt{receipt}, disk: onDrives{}}, nil)
	if err != nil || again.SameCard == "" || len(again.Grew)+len(again.Lost)+len(again.Changed) > 0 || !again.MayBeWiped {
		t.Errorf("%v, %q, %+v", err, again.SameCard, again)
	}
}

// TestTheSameDeviceTwice: what the system itself says of one drive.
func TestTheSameDeviceTwice(t *testing.T) {
	receipt := mustCopy(t, Plan{From: aCard(t, 100), To: drives(t, "a", "b")})
	if receipt.MayBeWiped || receipt.Places[0].Device != receipt.Places[1].Device || receipt.Places[0].Device == "" || !receipt.Places[0].OnCard {
		t.Errorf("%+v", receipt)
	}
}

func TestKilledCopiesGoOn(t *testing.T) {
	card := aCard(t, 0, 300_000, 1_000_000, 70, 2_000_000, 5_000_000, 1_500_000, 12, 800_000)
	chance := rand.New(rand.NewPCG(1, 2))
	killed, ended, amid := 0, 0, 0
	for killed < 36 {
		to := drives(t, "a", "b")
		for range 4 {
			cmd, _ := copying(t, card, to)
			time.Sleep(time.Duration(5+chance.IntN(90)) * time.Millisecond)
			_ = cmd.Process.Kill() // it may have ended
			if cmd.Wait() == nil {
				ended++
			} else {
				killed++
			}
			if n := onlyWhole(t, card, to); n > 0 && n < 18 {
				amid++
			}
		}
		receipt, err := Copy(context.Background(), Plan{From: card, To: to, disk: onDrives{}}, nil)
		if err != nil || !receipt.MayBeWiped {
			t.Fatalf("%v, %v, %+v", err, receipt.Why, receipt.Problems)
		}
		onlyWhole(t, card, to)
		for _, dir := range to {
			if checked, err := Verify(context.Background(), dir, nil); err != nil || !checked.Good() || checked.Whole != len(receipt.Files) {
				t.Errorf("%+v, %v", checked, err)
			}
		}
	}
	t.Logf("%d killed, %d had ended, %d times some of the copies had their names", killed, ended, amid)
	if amid == 0 {
		t.Error("none was killed amid its copying")
	}
}

// onlyWhole checks that whatever has its name is whole, and counts it.
func onlyWhole(t *testing.T, card string, to []string) (n int) {
	t.Helper()
	for _, dir := range to {
		for _, e := range listAll(t, card) {
			got, err := os.ReadFile(below(dir, e.path))
			if e.kind != aFile || err != nil {
				continue
			}
			if n++; !bytes.Equal(got, readFile(t, below(card, e.path))) {
				t.Errorf("%q has its name and is not whole", e.path)
			}
		}
	}
	return n
}

func TestTwoCopiesAtOnce(t *testing.T) {
	to := drives(t, "a", "b")
	if err := os.MkdirAll(filepath.Join(to[1], partFolder), 0o777); err != nil {
		t.Fatal(err)
	}
	release, err := systemDisk{}.Lock(filepath.Join(to[1], partFolder))
	if err != nil {
		t.Fatal(err)
	}
	card := aCard(t, 10_000)
	cmd, told := copying(t, card, to)
	if cmd.Wait() == nil || !strings.Contains(told.String(), "another copy") {
		t.Errorf("another process copied all the same: %s", told)
	}
	if receipt, err := Copy(context.Background(), Plan{From: card, To: to, disk: onDrives{}}, nil); film.CodeOf(err) != film.CodeExists || receipt.MayBeWiped {
		t.Errorf("this process copied all the same: %v", err)
	}
	release()
	if receipt, err := Copy(context.Background(), Plan{From: card, To: to, disk: onDrives{}}, nil); err != nil || !receipt.MayBeWiped {
		t.Errorf("%v, %+v", err, receipt.Why)
	}
}

// TestALargeFile copies a file with more bytes than 32 bits count; the normal
// run takes a small one. TAKEWEAVE_CARD_LARGE=1 takes 5 GB, most of it a hole.
func TestALargeFile(t *testing.T) {
	size := int64(40 << 20)
	if os.Getenv("TAKEWEAVE_CARD_LARGE") != "" {
		size = 5_000_000_000
	}
	card := aCard(t, 10)
	f, err := os.Create(filepath.Join(card, "large.mov"))
	if err != nil {
		t.Fatal(err)
	}
	for _, at := range []int64{0, size / 2, size - 5} {
		if _, err := f.WriteAt([]byte("bytes"), at); err != nil {
			t.Fatal(err)
		}
	}
	if err := f.Close(); err != nil {
		t.Fatal(err)
	}
	receipt, err := Copy(context.Background(), Plan{From: card, To: drives(t, "a", "b"), disk: onDrives{}}, nil)
	if err != nil || !receipt.MayBeWiped || receipt.Bytes != size+10 {
		t.Errorf("%v, %v, %+v", err, receipt.Why, receipt.Problems)
	}
}

func TestALinkKeepsTheCard(t *testing.T) {
	card := aCard(t, 10)
	if err := os.Symlink("CLIPS", filepath.Join(card, "link")); err != nil {
		t.Skip("no links here:", err)
	}
	receipt, err := Copy(context.Background(), Plan{From: card, To: drives(t, "a", "b"), disk: onDrives{}}, nil)
	if err != nil || receipt.MayBeWiped || len(receipt.Problems) != 1 || receipt.Problems[0].Path != "link" {
		t.Errorf("%v, %+v", err, receipt)
	}
}

// A folder of one place that is really another's would prove the same bytes
// twice.
func TestALinkedFolderIsNoCopy(t *testing.T) {
	card, to := aCard(t, 10), drives(t, "a", "b")
	mustCopy(t, Plan{From: card, To: to[:1], disk: onDrives{}})
	if err := os.MkdirAll(to[1], 0o777); err != nil {
		t.Fatal(err)
	}
	if err := os.Symlink(filepath.Join(to[0], "CLIPS"), filepath.Join(to[1], "CLIPS")); err != nil {
		t.Skip("no links here:", err)
	}
	if r := mustCopy(t, Plan{From: card, To: to, disk: onDrives{}}); r.MayBeWiped || !named(r, "CLIPS", to[1], "not on the drive") {
		t.Errorf("%+v", r)
	}
	inside := filepath.Join(t.TempDir(), "elsewhere")
	if err := os.Symlink(card, inside); err != nil {
		t.Fatal(err)
	}
	if _, err := Copy(context.Background(), Plan{From: card, To: []string{filepath.Join(inside, "copy")}}, nil); film.CodeOf(err) != film.CodeUsage {
		t.Errorf("a copy onto the card: %v", err)
	}
}

func TestForeseeableMistakesAreRefused(t *testing.T) {
	card := aCard(t, 10)
	for _, p := range []Plan{
		{From: card},
		{From: card, To: []string{card}},
		{From: card, To: []string{filepath.Join(card, "copy")}},
		{From: card, To: []string{filepath.Dir(card)}},
		{From: card, To: []string{card + "-a", card + "-a"}},
	} {
		if _, err := Copy(context.Background(), p, nil); film.CodeOf(err) != film.CodeUsage || film.HintOf(err) == "" {
			t.Errorf("%q to %q: %v", p.From, p.To, err)
		}
	}
	if _, err := Copy(context.Background(), Plan{From: card + "-gone", To: drives(t, "a", "b")}, nil); film.CodeOf(err) != film.CodeNotFound {
		t.Error(err)
	}
}

func TestTooLittleRoomIsToldBefore(t *testing.T) {
	d := newFakeDisk()
	d.put("/card/C0001.MP4", make([]byte, 6000), aDay)
	plan := Plan{From: "/card", To: []string{"/a/film", "/a/again"}, disk: d}
	d.room = 11_999 // both places are on the same drive
	if _, err := Copy(context.Background(), plan, nil); film.CodeOf(err) != film.CodeNoSpace || d.files["/a/film/C0001.MP4"] != nil {
		t.Errorf("%v", err)
	}
	d.room = 12_000
	if r, err := Copy(context.Background(), plan, nil); err != nil || r.Places[1].Proven != 1 {
		t.Errorf("%v, %+v", err, r)
	}
	d.room = 0 // nothing is missing any more
	if _, err := Copy(context.Background(), plan, nil); err != nil {
		t.Error(err)
	}
}

// An empty folder is where a card is not.
func TestAnEmptyCardIsNoCard(t *testing.T) {
	receipt, err := Copy(context.Background(), Plan{From: t.TempDir(), To: drives(t, "a", "b"), disk: onDrives{}}, nil)
	if err != nil || receipt.MayBeWiped {
		t.Errorf("%v, %+v", err, receipt)
	}
}
