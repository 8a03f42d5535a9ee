package interchange

import (
	"crypto/md5"
	"encoding/hex"
	"os"
	"path"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"pgregory.net/rapid"

	"takeweave/internal/film"
)

func md5Digits(b []byte) string {
	sum := md5.Sum(b)
	return hex.EncodeToString(sum[:])
}

// The 15 bytes and the list of hashes are those of the reference
// implementation's own tests, as are their results. [ASCMHL]
func TestC4AndHashOfHashes(t *testing.T) {
	const want = "c456LycWwpMMS7VDZEKvYv2L1uJS6s4qAFnaJdnQiy5JVbBFZMA8aLDS6SPaJjLqxXH4qZdnbuktopMt9frtC2qL1R"
	if got := C4([]byte("media-hash-list")); got != want {
		t.Errorf("C4 %s, want %s", got, want)
	}
	if got, err := HashOfHashes([]string{"bb", "aa10", "aa01", "aa"}, MD5Hash, md5Digits); err != nil || got != "88abf5c156ff637c6380ae461fc50c3f" {
		t.Errorf("hash of hashes %s, %v", got, err)
	}
}

func TestC4Digits(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var sum [64]byte
		copy(sum[rapid.IntRange(0, 64).Draw(t, "zeros"):], rapid.SliceOfN(rapid.Byte(), 64, 64).Draw(t, "sum"))
		digits := C4Digits(sum)
		back, err := c4Sum(digits)
		if len(digits) != 90 || err != nil || !cmp.Equal(back, sum[:]) {
			t.Fatalf("%s comes back as %x, %v", digits, back, err)
		}
	})
	for _, bad := range []string{"", "c4", "c5" + strings.Repeat("1", 88), "c4" + strings.Repeat("0", 88), "c4" + strings.Repeat("z", 88)} {
		if _, err := c4Sum(bad); err == nil {
			t.Errorf("%q was read", bad)
		}
	}
}

// TestScenarioHistories reads the histories of [ASCMHL]: each list has the C4
// that its chain tells, and its files have the sizes it tells.
func TestScenarioHistories(t *testing.T) {
	for folder, generations := range map[string]int{"scenario_01/travel_01": 1, "scenario_02/file_server": 2, "scenario_03/file_server": 2} {
		root := filepath.Join("mhl", filepath.FromSlash(folder), "A002R2EC")
		chain, err := ReadChain(sample(t, filepath.Join(root, HistoryFolder, ChainName)), "chain")
		if err != nil || len(chain) != generations {
			t.Fatalf("%s: %d lists, %v", folder, len(chain), err)
		}
		for _, link := range chain {
			text := sample(t, filepath.Join(root, HistoryFolder, link.Path))
			if got := C4(text); got != link.C4 {
				t.Errorf("%s: C4 %s, the chain says %s", link.Path, got, link.C4)
			}
			l, err := ReadHashList(text, link.Path)
			if err != nil || len(l.Files) != 3 || len(l.Folders) != 1 || l.Root == nil {
				t.Fatalf("%s: %+v, %v", link.Path, l, err)
			}
			if number, ok := HashListNumber(link.Path); !ok || number != link.Number || HashListName(number, "A002R2EC", l.Made) != link.Path {
				t.Errorf("%s is not the name of list %d of %v", link.Path, link.Number, l.Made)
			}
			for _, f := range l.Files {
				body := sample(t, filepath.Join(root, filepath.FromSlash(f.Path)))
				if f.Size != int64(len(body)) {
					t.Errorf("%s has %d bytes, the list says %d", f.Path, len(body), f.Size)
				}
				for _, h := range f.Hashes {
					if h.Format == MD5Hash && h.Digits != md5Digits(body) {
						t.Errorf("%s has the MD5 %s, the list says %s", f.Path, md5Digits(body), h.Digits)
					}
				}
			}
		}
	}
}

// TestHashFolders compares with the folder hashes in the third scenario of [ASCMHL].
func TestHashFolders(t *testing.T) {
	l, err := ReadHashList(sample(t, filepath.Join("mhl", "scenario_03", "file_server", "A002R2EC", HistoryFolder, "0002_A002R2EC_2020-01-17_143000Z.mhl")), "")
	if err != nil {
		t.Fatal(err)
	}
	root, below, err := HashFolders(l.Files, MD5Hash, md5Digits)
	if err != nil || len(below) != 1 {
		t.Fatal(below, err)
	}
	for _, c := range []struct{ name, got, want string }{
		{"content of the root", root.Content.Digits, l.Root.Content.Digits},
		{"structure of the root", root.Structure.Digits, l.Root.Structure.Digits},
		{"the folder", below[0].Path, "Clips"},
		{"content of the folder", below[0].Content.Digits, l.Folders[0].Content.Digits},
		{"structure of the folder", below[0].Structure.Digits, l.Folders[0].Structure.Digits},
	} {
		if c.got != c.want {
			t.Errorf("%s: %s, want %s", c.name, c.got, c.want)
		}
	}
	if _, _, err := HashFolders(l.Files, XXH3Hash, md5Digits); err == nil {
		t.Error("files without the format were hashed")
	}
}

var aDay = time.Date(2031, 3, 9, 8, 7, 6, 0, time.UTC)

// Whatever names and hashes there are: what was written validates against the
// schema and comes back.
func TestHashListsComeBackAndValidate(t *testing.T) {
	schema := readMHLSchema(t)
	rapid.Check(t, func(t *rapid.T) {
		l := &HashList{Made: aDay, Host: "barn", Tool: "takeweave", ToolVersion: "1", Process: Transfer, Ignore: []string{".DS_Store", "ascmhl/"}}
		for range rapid.IntRange(0, 4).Draw(t, "files") {
			f := HashedFile{Path: aPath(t), Size: rapid.Int64Range(-1, 1<<40).Draw(t, "size"), Modified: aDay.Add(time.Minute)}
			for _, format := range HashFormats {
				if rapid.Bool().Draw(t, "has it") {
					f.Hashes = append(f.Hashes, HashValue{format, md5Digits([]byte(f.Path)), HashVerified, aDay})
				}
			}
			l.Files = append(l.Files, f)
		}
		h := HashValue{Format: XXH128Hash, Digits: "00"}
		if rapid.Bool().Draw(t, "folders") {
			l.Root = &HashedFolder{Content: h, Structure: h}
			l.Folders = []HashedFolder{{Path: aPath(t), Modified: aDay, Content: h, Structure: h}}
			l.References = []ChainLink{{Path: "b/ascmhl/0001_b.mhl", C4: C4(nil)}}
		}
		text := WriteHashList(l)
		if err := schema.check(text); err != nil {
			t.Fatalf("%v\n%s", err, text)
		}
		back, err := ReadHashList(text, "list")
		if diff := cmp.Diff(l, back, cmpopts.EquateEmpty()); err != nil || diff != "" {
			t.Fatalf("%v %s", err, diff)
		}
	})
}

// aPath draws a path that a list can hold, among them spaces and line ends.
func aPath(t *rapid.T) string {
	return rapid.StringOf(rapid.RuneFrom([]rune("ab/.\n\r\t <&>\"é\u0301\\🎸"))).Filter(func(p string) bool {
		return p != "" && insideOnly(p) && CanList(p)
	}).Draw(t, "path")
}

func TestChainsComeBackAndValidate(t *testing.T) {
	want := []ChainLink{{1, "0001_a b_2031-03-09_080706Z.mhl", C4([]byte("x"))}, {2, "0002_a&b_2031-03-09_080707Z.mhl", C4(nil)}}
	text := WriteChain(want)
	if err := readMHLSchema(t).check(text); err != nil {
		t.Error(err)
	}
	if got, err := ReadChain(text, "chain"); err != nil || !cmp.Equal(got, want) {
		t.Errorf("%v, %v", got, err)
	}
}

func TestBrokenHashListsAreRefused(t *testing.T) {
	good := string(WriteHashList(&HashList{Made: aDay, Process: InPlace, Files: []HashedFile{{Path: "in/side", Size: 3, Hashes: []HashValue{{MD5Hash, "00", HashOriginal, aDay}}}}}))
	for _, c := range [][2]string{
		{"in/side", "../out"},
		{"in/side", "in/../../out"},
		{"in/side", "/out"},
		{"in/side", ""},
		{`size="3"`, `size="-3"`},
		{`size="3"`, `size="x"`},
		{"original", "maybe"},
		{`version="2.0"`, `version="3.0"`},
		{"2031-03-09T08:07:06", "soon"},
		{"</hashlist>", ""},
		{"urn:ASC:MHL:v2.0", "urn:other"},
	} {
		bad := strings.ReplaceAll(good, c[0], c[1])
		if bad == good {
			t.Fatalf("%q does not occur", c[0])
		}
		if _, err := ReadHashList([]byte(bad), "x.mhl"); film.CodeOf(err) != film.CodeUnreadable || film.HintOf(err) == "" {
			t.Errorf("%q in place of %q: %v", c[1], c[0], err)
		}
	}
	chain := string(WriteChain([]ChainLink{{1, "0001_a.mhl", C4(nil)}}))
	for _, c := range [][2]string{{`"1"`, `"2"`}, {"0001_a.mhl", "../a.mhl"}, {"hashlist", "list"}} {
		if all, err := ReadChain([]byte(strings.ReplaceAll(chain, c[0], c[1])), "chain"); err == nil && len(all) > 0 {
			t.Errorf("%q in place of %q was read", c[1], c[0])
		}
	}
}

func TestHashListNumber(t *testing.T) {
	for name, want := range map[string]int{
		"0001_a_2031-03-09_080706Z.mhl": 1, "12345_a.mhl": 12345, "001_a.mhl": 0, "0000_a.mhl": 0, "0001.mhl": 0, "0001_a.xml": 0, ChainName: 0, "-001_a.mhl": 0,
	} {
		if got, ok := HashListNumber(name); ok != (want > 0) || ok && got != want {
			t.Errorf("%s: %d, %v, want %d", name, got, ok, want)
		}
	}
	if CanList("a\x01") || CanList("\xff") || !CanList("ü\n") {
		t.Error("XML holds other characters")
	}
}

func FuzzReadHashList(f *testing.F) {
	for _, p := range []string{"scenario_03/file_server/A002R2EC/ascmhl/0002_A002R2EC_2020-01-17_143000Z.mhl", "xsd/examples/0001_TEST01_2019-10-11_155603.mhl"} {
		text, err := os.ReadFile(filepath.Join("testdata", "mhl", filepath.FromSlash(p)))
		if err != nil {
			f.Fatal(err)
		}
		f.Add(text)
	}
	// A root without hashes once stopped the writer.
	f.Add([]byte(`<hashlist version="2.0" xmlns="urn:ASC:MHL:v2.0"><processinfo><roothash></roothash></processinfo></hashlist>`))
	f.Fuzz(func(t *testing.T, text []byte) {
		l, err := ReadHashList(text, "list")
		if err != nil {
			return
		}
		for _, file := range l.Files {
			if path.IsAbs(file.Path) || strings.HasPrefix(path.Clean(file.Path), "..") {
				t.Fatalf("%q leads out of the folder", file.Path)
			}
		}
		again, err := ReadHashList(WriteHashList(l), "again")
		if err != nil || !cmp.Equal(l.Files, again.Files, cmpopts.EquateEmpty()) {
			t.Fatalf("it does not come back: %v", err)
		}
	})
}
