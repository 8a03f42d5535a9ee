package daylog

import (
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
)

func TestParsePaper(t *testing.T) {
	const midnight = noon
	hm := func(h, m int64) int64 { return midnight + (h*60+m)*minuteMS }
	for _, c := range []struct {
		text string
		want []Entry
	}{
		{"", nil},
		{"3 face 14:32 keep", []Entry{{Number: 3, Setup: "face", RollingMS: hm(14, 32), Verdict: Keep}}},
		{"keep 14:32 face 3", []Entry{{Number: 3, Setup: "face", RollingMS: hm(14, 32), Verdict: Keep}}},
		{"3. FACE K", []Entry{{Number: 3, Setup: "FACE", Verdict: Keep}}},
		{"4 hands lost\n\n  \n+ # her best\n?", []Entry{
			{Number: 4, Setup: "hands", Verdict: Lost},
			{Number: 5, Setup: "hands", Verdict: Keep, Notes: []string{"her best"}},
			{Number: 6, Setup: "hands", Verdict: Perhaps},
		}},
		{"5-7 hands V2.3 loop perhaps 9h05", []Entry{
			{Number: 5, Setup: "hands", Lines: "V2.3", Verdict: Perhaps, RollingMS: hm(9, 5)},
			{Number: 6, Setup: "hands", Lines: "V2.3", Verdict: Perhaps},
			{Number: 7, Setup: "hands", Lines: "V2.3", Verdict: Perhaps},
		}},
		{"1 wide\nloop C1 half", []Entry{{Number: 1, Setup: "wide"}, {Number: 2, Setup: "wide", Lines: "C1", Voice: HalfVoice}}},
		{"1 c1 keep", []Entry{{Number: 1, Setup: "c1", Verdict: Keep}}}, // without loop it is a setup
		{"1 face 23:50\n2 0:10", []Entry{{Number: 1, Setup: "face", RollingMS: hm(23, 50)}, {Number: 2, Setup: "face", RollingMS: hm(24, 10)}}},
		{"2 face A2.3-A2.5 loop, silent", []Entry{{Number: 2, Setup: "face", Lines: "A2.3-A2.5", Voice: NoVoice}}},
	} {
		got, err := ParsePaper(c.text, midnight)
		if err != nil {
			t.Errorf("%q: %v", c.text, err)
		}
		for i := range c.want {
			c.want[i].Origin = Later
		}
		if d := cmp.Diff(c.want, got, cmpopts.IgnoreFields(Entry{}, "ID")); d != "" {
			t.Errorf("%q (-want +got):\n%s", c.text, d)
		}
	}
}

func TestParsePaperNamesBadLines(t *testing.T) {
	for _, c := range []struct{ text, says string }{
		{"keep", "needs a setup"},
		{"1 face keep lost", "two verdicts"},
		{"1 face hands", "two setups, face and hands"},
		{"1 face 25:10", `"25:10" is neither`},
		{"1 face 12:10 13:10", "two times"},
		{"0 face", "begin at 1"},
		{"1 2 face", "two pass numbers"},
		{"7-5 face", "goes backwards"},
		{"1 face loop", "needs its lines"},
		{"1 face\n1 hands", "line 2, \"1 hands\": pass 1 is on line 1"},
		{"1 face\n\n1234 keep", "line 3"},
	} {
		got, err := ParsePaper(c.text+"\n20 good", 0)
		if err == nil || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%q: %v, want %q", c.text, err, c.says)
		}
		if len(got) == 0 || got[len(got)-1].Number != 20 {
			t.Errorf("%q: the good line after it is lost", c.text)
		}
	}
}

// TestTwentyPassesAreFewKeys: 20 passes in under 3 minutes at 2 keys a second,
// a slow typist's speed (common practice: 24 words of 5 letters a minute), are
// 360 keys.
func TestTwentyPassesAreFewKeys(t *testing.T) {
	text := "1 wide 13:05 p\nx\nk\nk\nface 13:40 p\nk\nx\nk # eyes\nk\nhands 14:20 x\np\np\nk\n14-17 loop V2.3 15:02 x\nk\nloop C2.1 k\nhalf wide 15:40 k"
	got, err := ParsePaper(text, 0)
	if err != nil || len(got) != 20 {
		t.Fatalf("%d passes, %v", len(got), err)
	}
	if len(text) > 360 {
		t.Errorf("%d keys", len(text))
	}
}

func TestPaperJoinsTheLog(t *testing.T) {
	entries, err := ParsePaper("1 face 14:32 keep\nlost # string\nhands k", noon)
	if err != nil {
		t.Fatal(err)
	}
	phone := []Event{{ID: "p1", Phone: "p", Count: 1, At: noon + 20*60*minuteMS, Kind: Begin, Entry: "p-4", Number: 4, Setup: "wide"}}
	typed := AddEvents(entries, "desk", 1, noon+dayMS)
	s := Replay(append(append(typed, phone...), typed...)) // typed in twice
	var got []int
	for _, e := range s.Entries {
		got = append(got, e.Number)
	}
	if d := cmp.Diff([]int{1, 2, 3, 4}, got); d != "" {
		t.Errorf("order (-want +got):\n%s", d)
	}
	want := Entry{ID: "desk/paper-2", Number: 2, Setup: "face", Verdict: Lost, Notes: []string{"string"}, Origin: Later}
	if d := cmp.Diff(want, s.Entries[1]); d != "" {
		t.Errorf("(-want +got):\n%s", d)
	}
}
