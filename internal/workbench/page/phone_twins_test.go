package page_test

import (
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"testing"

	"takeweave/internal/daylog"
	"takeweave/internal/passcall"
)

var twinsFile = filepath.Join("..", "..", "..", "ui", "src", "phone", "twins.json")

// twins are what the program makes of logs and numbers. The phone's own tests want
// the same of the phone.
type twins struct {
	Days  []twinDay               `json:"days"`
	Calls map[int][]passcall.Tone `json:"calls"`
}

type twinDay struct {
	Events  []daylog.Event `json:"events"`
	State   daylog.State   `json:"state"`
	Plan    daylog.Plan    `json:"plan"`
	NowMS   int64          `json:"now_ms"`
	Figures daylog.Figures `json:"figures"`
}

// TestTwinsAreOfThisProgram keeps what the phone is compared with from growing old.
func TestTwinsAreOfThisProgram(t *testing.T) {
	all := twins{Calls: map[int][]passcall.Tone{}}
	for seed := range uint64(12) {
		all.Days = append(all.Days, anyDay(rand.New(rand.NewPCG(seed, 8))))
	}
	for _, number := range []int{1, 2, 16, 37, 255, 256, 999} {
		all.Calls[number] = passcall.Call(number)
	}
	want, err := json.Marshal(all)
	if err != nil {
		t.Fatal(err)
	}
	if *update {
		if err := os.WriteFile(twinsFile, want, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	if got, err := os.ReadFile(twinsFile); err != nil || string(got) != string(want) {
		t.Errorf("ui/src/phone/twins.json is old; run: go test ./internal/workbench/page -update (%v)", err)
	}
}

// anyDay invents a log of two phones in which everything happens that may.
func anyDay(r *rand.Rand) twinDay {
	one := func(words ...string) string { return words[r.IntN(len(words))] }
	const start = 1_700_000_000_000
	at := int64(start)
	d := twinDay{}
	for i := range 10 + r.IntN(30) {
		at += r.Int64N(90_000)
		entry := one("a", "b", "c", "d", "e")
		e := daylog.Event{
			ID: fmt.Sprint("e", i), Phone: one("p", "q"), Count: int64(i) - r.Int64N(3), At: at - r.Int64N(4000),
			Kind: daylog.Kind(one("begin", "begin", "begin", "end", "end", "judge", "flag", "note", "play", "number", "retime", "setup", "voice", "add", "move", "remove", "lamp", "strike", "put-back", "back", "card", "undo", "redo")),
		}
		switch e.Kind {
		case daylog.Undo, daylog.Redo, daylog.BackDone:
			e.Of = fmt.Sprint("e", r.IntN(i+1))
		case daylog.SetSetup, daylog.SetVoice:
			e.Entry = one("", entry)
		case daylog.Lamp, daylog.Strike, daylog.PutBack, daylog.Card:
		default:
			e.Entry = entry
		}
		e.Number, e.Setup, e.Voice = r.IntN(9), one("", "face", "hands"), daylog.Voice(one("", "half", "none"))
		e.Verdict, e.Lines, e.Origin = daylog.Verdict(one("", "keep", "perhaps", "lost")), one("", "", "A1.2"), daylog.Origin(one("", "", "heard"))
		e.Text, e.On, e.FreeGB, e.After = one("key", "back"), r.IntN(2) == 0, float64(r.IntN(100)), one("", "a", "b", "z")
		if r.IntN(2) == 0 {
			e.RollingMS, e.CutMS = start+r.Int64N(900_000), start+r.Int64N(900_000)
		}
		if e.Kind == daylog.Strike {
			e.Struck = &daylog.Struck{What: "lamp", Name: e.Text, HeightCM: 180}
		}
		d.Events = append(d.Events, e)
	}
	r.Shuffle(len(d.Events), func(i, j int) { d.Events[i], d.Events[j] = d.Events[j], d.Events[i] })
	d.Events = append(d.Events, d.Events[0]) // arrived twice
	d.State = daylog.Replay(d.Events)
	d.Plan = daylog.Plan{SongS: 200, RollS: 230, BetweenS: 120, GBPerPass: 4, KeyBackMS: start + 3_600_000}
	d.NowMS = at + r.Int64N(300_000)
	d.Figures = d.State.FiguresAt(d.Plan, d.NowMS)
	return d
}
