package daylog

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"
)

// noon is a time on the phone's clock.
const noon = int64(1_790_000_000_000)

// aPhone logs a day at random and keeps by itself what it meant.
type aPhone struct {
	name   string
	count  int64
	now    int64
	events []Event
	meant  []Entry // in order
	setup  string
}

func (p *aPhone) send(e Event) Event {
	p.count++
	p.now += 1000
	e.ID, e.Phone, e.Count, e.At = fmt.Sprintf("%s-%d", p.name, p.count), p.name, p.count, p.now
	p.events = append(p.events, e)
	return e
}

// pass logs one pass, in any of the ways that people do.
func (p *aPhone) pass(t *rapid.T) {
	n := len(p.meant) + 1
	p.now += 60_000
	entry := Entry{ID: fmt.Sprintf("%s-pass-%d", p.name, n), Number: n, Setup: p.setup}
	if rapid.IntRange(0, 3).Draw(t, "setup changes") == 0 {
		p.setup = rapid.SampledFrom([]string{"face", "hands", "wide"}).Draw(t, "setup")
		p.send(Event{Kind: SetSetup, Setup: p.setup})
		entry.Setup = p.setup
	}
	entry.RollingMS = p.send(Event{Kind: Begin, Entry: entry.ID, Number: n}).At
	for range rapid.IntRange(0, 2).Draw(t, "flags") {
		entry.FlagsMS = append(entry.FlagsMS, p.send(Event{Kind: Flag, Entry: entry.ID}).At)
	}
	if rapid.Bool().Draw(t, "is cut") {
		entry.Verdict = rapid.SampledFrom([]Verdict{Keep, Perhaps, Lost}).Draw(t, "verdict")
		entry.CutMS = p.send(Event{Kind: End, Entry: entry.ID, Verdict: entry.Verdict}).At
	}
	if rapid.Bool().Draw(t, "has a note") {
		entry.Notes = append(entry.Notes, "lovely")
		p.send(Event{Kind: Note, Entry: entry.ID, Text: "lovely"})
	}
	p.meant = append(p.meant, entry)
}

// slip is something done and taken back.
func (p *aPhone) slip(t *rapid.T) {
	if len(p.meant) == 0 {
		return
	}
	some := p.meant[rapid.IntRange(0, len(p.meant)-1).Draw(t, "of")].ID
	e := rapid.SampledFrom([]Event{
		{Kind: Judge, Entry: some, Verdict: Lost},
		{Kind: Remove, Entry: some},
		{Kind: SetSetup, Entry: some, Setup: "ceiling"},
		{Kind: Begin, Entry: "mistaken", Number: 99},
		{Kind: Note, Entry: some, Text: "wrong pass"},
	}).Draw(t, "slip")
	p.send(e)
	back, ok := NextUndo(p.events, p.name)
	if !ok || back.Kind != e.Kind {
		t.Fatalf("the next undo is of %+v, want of %+v", back, e)
	}
	p.send(Event{Kind: Undo, Of: back.ID})
	if rapid.Bool().Draw(t, "once more") {
		p.send(Event{Kind: Redo, Of: back.ID})
		p.send(Event{Kind: Undo, Of: back.ID})
	}
}

func drawDay(t *rapid.T) *aPhone {
	p := &aPhone{name: "a", now: noon}
	for range rapid.IntRange(1, 8).Draw(t, "passes") {
		p.pass(t)
		if rapid.Bool().Draw(t, "slips") {
			p.slip(t)
		}
	}
	return p
}

// muddle sends every event at least once, some again, in any order.
func muddle(events []Event, r *rand.Rand) []Event {
	var out []Event
	for _, e := range events {
		for range 1 + r.IntN(3) {
			out = append(out, e)
		}
	}
	r.Shuffle(len(out), func(i, j int) { out[i], out[j] = out[j], out[i] })
	return out
}

func aRand(t *rapid.T) *rand.Rand {
	return rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 1))
}

func TestReplayTellsWhatWasMeant(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawDay(t)
		got := Replay(muddle(p.events, aRand(t)))
		if d := cmp.Diff(p.meant, got.Entries); d != "" {
			t.Errorf("entries (-meant +got):\n%s", d)
		}
		if got.Next != len(p.meant)+1 || got.Setup != p.setup || got.Removed != nil {
			t.Errorf("next %d, setup %q, removed %v", got.Next, got.Setup, got.Removed)
		}
		if d := cmp.Diff(Replay(p.events), got); d != "" {
			t.Errorf("order and repetition matter (-in order +muddled):\n%s", d)
		}
	})
}

// TestConnectionCutAtEachStep sends one by one over a line that is cut at every
// step in turn, before the event arrives or before the phone hears that it did.
func TestConnectionCutAtEachStep(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawDay(t)
		want := Replay(p.events)
		for cut := range p.events {
			for _, arrives := range []bool{false, true} {
				var server []Event
				isCut := false
				for i := 0; i < len(p.events); {
					if i == cut && !isCut {
						if arrives {
							server = append(server, p.events[i])
						}
						isCut = true
						i = max(0, i-1) // the phone sends again from what it is not sure of
						continue
					}
					server = append(server, p.events[i])
					i++
				}
				if d := cmp.Diff(want, Replay(server)); d != "" {
					t.Fatalf("(-want +got):\n%s", d)
				}
			}
		}
	})
}

// TestEveryPrefixKeepsWhatWasSaid: losing the end of the list loses nothing of
// what came before.
func TestEveryPrefixKeepsWhatWasSaid(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := &aPhone{name: "a", now: noon}
		for range rapid.IntRange(1, 6).Draw(t, "passes") {
			p.pass(t)
			if d := cmp.Diff(p.meant, Replay(p.events).Entries); d != "" {
				t.Errorf("after pass %d (-meant +got):\n%s", len(p.meant), d)
			}
		}
	})
}

func TestUndoOfEverything(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawDay(t)
		full := Replay(p.events)
		steps := 0
		for e, ok := NextUndo(p.events, "a"); ok; e, ok = NextUndo(p.events, "a") {
			p.send(Event{Kind: Undo, Of: e.ID})
			steps++
		}
		if d := cmp.Diff(State{Next: 1}, Replay(p.events)); d != "" {
			t.Errorf("all undone (-want +got):\n%s", d)
		}
		for range steps {
			e, ok := NextRedo(p.events, "a")
			if !ok {
				t.Fatal("nothing to redo")
			}
			p.send(Event{Kind: Redo, Of: e.ID})
		}
		if d := cmp.Diff(full, Replay(p.events)); d != "" {
			t.Errorf("all redone (-want +got):\n%s", d)
		}
	})
}

func TestTwoPhones(t *testing.T) {
	a := []Event{
		{ID: "a1", Phone: "a", Count: 1, At: noon, Kind: SetSetup, Setup: "face"},
		{ID: "a2", Phone: "a", Count: 2, At: noon + 1000, Kind: Begin, Entry: "a-1", Number: 1},
		{ID: "a3", Phone: "a", Count: 3, At: noon + 200_000, Kind: End, Entry: "a-1", Verdict: Keep},
	}
	b := []Event{
		{ID: "b1", Phone: "b", Count: 1, At: noon + 9000, Kind: Begin, Entry: "b-1", Number: 1, Origin: Heard},
		{ID: "b2", Phone: "b", Count: 2, At: noon + 60_000, Kind: Flag, Entry: "b-1"},
		{ID: "b3", Phone: "b", Count: 7, At: noon + 400_000, Kind: Begin, Entry: "b-2", Number: 2},
	}
	want := []Entry{
		{ID: "a-1", Number: 1, Setup: "face", RollingMS: noon + 1000, CutMS: noon + 200_000, Verdict: Keep, FlagsMS: []int64{noon + 60_000}},
		{ID: "b-2", Number: 2, Setup: "face", RollingMS: noon + 400_000},
	}
	r := rand.New(rand.NewPCG(3, 3))
	for range 20 {
		got := Replay(muddle(append(append([]Event{}, a...), b...), r))
		// Which phone's name the pass keeps does not matter, but it is one pass.
		if len(got.Entries) == 2 && got.Entries[0].ID == "b-1" {
			got.Entries[0].ID = "a-1"
		}
		if d := cmp.Diff(want, got.Entries); d != "" {
			t.Fatalf("(-want +got):\n%s", d)
		}
		if got.Running != "b-2" {
			t.Fatalf("running %q, want b-2", got.Running)
		}
	}
	// The twin stands by itself when the first phone takes its begin back.
	got := Replay(append(append([]Event{{ID: "a4", Phone: "a", Count: 4, Kind: Undo, Of: "a2"}}, a...), b...))
	if len(got.Entries) != 2 || got.Entries[0].ID != "b-1" || got.Entries[0].Origin != Heard {
		t.Errorf("after the undo: %+v", got.Entries)
	}
}

func TestStateOfTheRoom(t *testing.T) {
	struck := Struck{What: "lamp", Name: "back", Photo: "p3", HeightCM: 210, DistanceCM: 180, Dial: "3", Gel: "half orange"}
	s := Replay([]Event{
		{ID: "1", Count: 1, Kind: Lamp, Text: "back", On: true},
		{ID: "2", Count: 2, Kind: Lamp, Text: "key", On: true},
		{ID: "3", Count: 3, Kind: PutBack, Text: "chair from the window", Photo: "p1"},
		{ID: "4", Count: 4, Kind: PutBack, Text: "fridge off", Photo: "p2"},
		{ID: "5", Count: 5, Kind: Strike, Struck: &struck},
		{ID: "6", Count: 6, Kind: Lamp, Text: "back"},
		{ID: "7", Count: 7, Kind: BackDone, Of: "4"},
		{ID: "8", Count: 8, Kind: SetVoice, Voice: HalfVoice},
	})
	want := State{
		Next: 1, Voice: HalfVoice, Lamps: []LampState{{"back", false}, {"key", true}}, Struck: []Struck{struck},
		PutBack: []PutBackItem{{ID: "3", Text: "chair from the window", Photo: "p1"}, {ID: "4", Text: "fridge off", Photo: "p2", Done: true}},
	}
	if d := cmp.Diff(want, s); d != "" {
		t.Errorf("(-want +got):\n%s", d)
	}
}

func TestEdits(t *testing.T) {
	day := []Event{
		{ID: "1", Count: 1, At: noon, Kind: Begin, Entry: "x", Number: 1, Setup: "face"},
		{ID: "2", Count: 2, At: noon + 100_000, Kind: End, Entry: "x", Verdict: Keep},
		{ID: "3", Count: 3, At: noon + 200_000, Kind: Begin, Entry: "y", Number: 2},
		{ID: "4", Count: 4, At: noon + 300_000, Kind: Begin, Entry: "z", Number: 3},
	}
	ids := func(s State) (out []string) {
		for _, e := range s.Entries {
			out = append(out, e.ID)
		}
		return out
	}
	for _, c := range []struct {
		name    string
		event   Event
		want    []string
		running string
	}{
		{"as logged", Event{Kind: Note, Entry: "x"}, []string{"x", "y", "z"}, "z"},
		{"to the front", Event{Kind: Move, Entry: "z"}, []string{"z", "x", "y"}, "z"},
		{"after another", Event{Kind: Move, Entry: "x", After: "y"}, []string{"y", "x", "z"}, "z"},
		{"after itself", Event{Kind: Move, Entry: "x", After: "x"}, []string{"x", "y", "z"}, "z"},
		{"after nothing known", Event{Kind: Move, Entry: "x", After: "?"}, []string{"x", "y", "z"}, "z"},
		{"added later", Event{Kind: Add, Entry: "w", After: "x", Number: 4}, []string{"x", "w", "y", "z"}, "z"},
		{"added later with its time", Event{Kind: Add, Entry: "w", RollingMS: noon + 250_000}, []string{"x", "y", "w", "z"}, "z"},
		{"removed", Event{Kind: Remove, Entry: "y"}, []string{"x", "z"}, "z"},
		{"cut", Event{Kind: End, Entry: "z"}, []string{"x", "y", "z"}, ""},
		{"an end whose begin is on its way", Event{Kind: End, Entry: "late"}, []string{"x", "y", "z", "late"}, ""},
	} {
		c.event.ID, c.event.Count, c.event.At = "5", 5, noon+400_000
		s := Replay(append(day[:4:4], c.event))
		if d := cmp.Diff(c.want, ids(s)); d != "" || s.Running != c.running {
			t.Errorf("%s: running %q, want %q; order (-want +got):\n%s", c.name, s.Running, c.running, d)
		}
	}
}

func TestFlagsAfter(t *testing.T) {
	e := Entry{RollingMS: noon, FlagsMS: []int64{noon + 1500, noon + 20_000}}
	if d := cmp.Diff([]float64{1.5, 20}, e.FlagsAfter()); d != "" {
		t.Error(d)
	}
}
