package card

import (
	"bytes"
	"encoding/json"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// someReceipt holds everything that a page can tell.
func someReceipt() Receipt {
	return Receipt{
		Made: aDay, Card: "/media/<card>", Bytes: 12_500_000_000,
		Places: []Place{
			{Folder: "/a", Device: "drive 1", Proven: 2, ProvenBytes: 12_500_000_000, List: "0001_a.mhl"},
			{Folder: "/b", Device: "drive 1", Proven: 1, ProvenBytes: 9_999, FromMemory: true},
			{Folder: "/c", Device: "drive 3", Proven: 1, OnCard: true},
		},
		Files: []File{
			{Path: "C0001.MP4", Bytes: 12_499_990_001, Hash: "aa", Proven: []bool{true, false, false}},
			{Path: "line\nend & <b>.txt", Bytes: 9_999, Hash: "bb", Proven: []bool{true, true, true}},
		},
		Grew: []string{"C0002.MP4"}, Lost: []string{"C0000.MP4"}, Changed: []string{"C0003.MP4"}, Unlogged: []string{"C0009.MP4"}, LeftOut: []string{".Trashes"},
		Problems: []Problem{{Path: "C0001.MP4", Place: "/b", What: "was written there, but does not read back the same", Hint: "try another cable"}},
		Notes:    []string{"a note"},
	}
}

func TestThePageSaysWhatTheReceiptSays(t *testing.T) {
	r := someReceipt()
	r.judge(2)
	var b bytes.Buffer
	if err := WritePage(&b, r); err != nil {
		t.Fatal(err)
	}
	text := b.String()
	for _, want := range []string{
		"Keep this card as it is.", "may have come from memory", "the card itself", "C0000.MP4", "C0002.MP4", "C0003.MP4", "C0009.MP4", ".Trashes", "a note",
		"does not read back the same", "try another cable", "12.5 GB", "9999 bytes", `line\nend &amp; &lt;b&gt;.txt`, "/media/&lt;card&gt;", "2031-03-09 08:07:06 UTC",
	} {
		if !strings.Contains(text, want) {
			t.Errorf("the page does not say %q", want)
		}
	}
	if strings.Contains(text, "may be wiped") {
		t.Error("the page says that the card may be wiped")
	}
	if strings.Contains(text, "http") || strings.Contains(text, "src=") {
		t.Error("the page needs something else")
	}
}

func TestReceiptsComeBackFromJSON(t *testing.T) {
	r := someReceipt()
	r.judge(2)
	text, err := json.Marshal(r)
	var back Receipt
	if err == nil {
		err = json.Unmarshal(text, &back)
	}
	if diff := cmp.Diff(r, back); err != nil || diff != "" {
		t.Error(err, diff)
	}
}

// TestTheWords: the words appear only when every condition holds.
func TestTheWords(t *testing.T) {
	good := func() Receipt {
		return Receipt{
			Places: []Place{{Folder: "/a", Device: "1", Proven: 1}, {Folder: "/b", Device: "2", Proven: 1}},
			Files:  []File{{Path: "x", Hash: "aa", Proven: []bool{true, true}}},
		}
	}
	for _, c := range []struct {
		name  string
		spoil func(*Receipt)
		why   string
	}{
		{"nothing", func(*Receipt) {}, ""},
		{"no file", func(r *Receipt) { r.Files = nil }, "no file was found"},
		{"a problem", func(r *Receipt) { r.Problems = []Problem{{What: "x"}} }, "1 problem is named below"},
		{"the same device", func(r *Receipt) { r.Places[1].Device = "1" }, "on the same device"},
		{"on the card", func(r *Receipt) { r.Places[1].OnCard = true }, "on the card itself"},
		{"from memory", func(r *Receipt) { r.Places[0].FromMemory = true }, "may have come from memory"},
		{"in memory", func(r *Receipt) { r.Places[0].Device = memory }, "in the computer's memory"},
		{"who knows where", func(r *Receipt) { r.Places[0].Device = untold }, "does not tell"},
		{"not proven", func(r *Receipt) { r.Files[0].Proven[1] = false; r.Places[1].Proven = 0 }, "0 of 1 file, proven"},
		{"not read", func(r *Receipt) { r.Files[0].Hash = "" }, "0 different devices"},
	} {
		r := good()
		c.spoil(&r)
		r.judge(2)
		if r.MayBeWiped != (c.why == "") || strings.Contains(r.Verdict, "may be wiped") != (c.why == "") || !strings.Contains(strings.Join(r.Why, "; "), c.why) {
			t.Errorf("%s: %v, %q, %q", c.name, r.MayBeWiped, r.Verdict, r.Why)
		}
	}
}
