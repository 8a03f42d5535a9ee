package cut

import (
	"context"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"takeweave/internal/film"
)

// fourPasses is a song of 32 s with four passes that agree everywhere.
func fourPasses() Request {
	song := steadySong(64, 0.5)
	song.Sections = []film.Section{{Name: "V1", Letter: "V", Span: film.SongSpan{To: 16}}, {Name: "C1", Letter: "C", Span: film.SongSpan{From: 16, To: 32}}}
	for i := range 4 {
		from := film.SongTime(8 * i)
		song.Lines = append(song.Lines, film.Line{Section: i / 2, Number: i%2 + 1, Span: film.SongSpan{From: from, To: from + 8}})
	}
	return Request{Song: song, Rate: at25, Candidates: []Candidate{
		steadyPass(1, "wide.mp4", wide, song, 3), steadyPass(2, "hands.mp4", hands, song, 4),
		steadyPass(3, "face.mp4", face, song, 5), steadyPass(4, "lamp.mp4", lamp, song, 6),
	}}
}

// shownAt returns the pass at the middle of a film frame.
func shownAt(c film.Cut, f film.Frames) string {
	for _, s := range c.Shots {
		if s.First <= f && f < s.End {
			return s.Pass
		}
	}
	return "?"
}

// Every pin is kept to the frame, whatever the rest does.
func TestPinsAreNeverMoved(t *testing.T) {
	kept := 0
	rapid.Check(t, func(t *rapid.T) {
		rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 2))
		r := randomRequest(rng, 6+rng.IntN(20), 2+rng.IntN(4))
		for tries := 0; len(r.Pins) == 0 && tries < 20; tries++ {
			r.Pins = randomPins(rng, r)
		}
		c, err := Solve(context.Background(), r)
		if err != nil {
			if film.CodeOf(err) == film.CodeNoCoverage {
				t.Skip()
			}
			if !strings.Contains(err.Error(), "pin ") || film.HintOf(err) == "" {
				t.Fatalf("%v does not name a pin, or gives no hint", err)
			}
			t.Skip()
		}
		kept++
		setup := map[string]string{}
		for _, k := range r.Candidates {
			setup[k.Pass] = k.Setup.Name
		}
		next := film.Frames(0)
		cuts := map[film.Frames]bool{}
		for _, s := range c.Shots {
			if s.First != next || s.End <= s.First {
				t.Fatalf("frame %d comes next, got %+v", next, s)
			}
			next, cuts[s.First] = s.End, true
		}
		for _, p := range r.Pins {
			for f := range c.Frames {
				middle := c.At(f) + film.SongTime(c.Rate.FrameSeconds()/2)
				if p.Kind == film.PinCut || !p.Span.Holds(middle) || !p.Span.Holds(middle-1e-6) || !p.Span.Holds(middle+1e-6) {
					continue
				}
				pass := shownAt(c, f)
				ok := true
				switch p.Kind {
				case film.PinShowPass:
					ok = pass == p.Pass
				case film.PinShowSetup:
					ok = setup[pass] == p.Name
				case film.PinNotPass:
					ok = pass != p.Pass
				case film.PinNotSetup:
					ok = pass == "" || setup[pass] != p.Name
				}
				if !ok {
					t.Fatalf("%s: frame %d shows %s", p.Say(), f, pass)
				}
				inside := c.At(f) > p.Span.From+film.SongTime(c.Rate.FrameSeconds())
				if (p.Kind == film.PinShowPass || p.Kind == film.PinShowSetup) && p.Strong && inside && cuts[f] {
					t.Fatalf("%s: a cut at frame %d divides it", p.Say(), f)
				}
			}
			if f := c.Rate.NearestFrame(p.Span.From); p.Kind == film.PinCut && f > 0 && f < c.Frames && !cuts[f] && shownAt(c, f) != "" {
				t.Fatalf("%s: no cut at frame %d", p.Say(), f)
			}
		}
	})
	if kept < 10 {
		t.Errorf("only %d cuts with pins were looked at", kept)
	}
}

// Healing from a board gives the very cut that solving afresh gives.
func TestHealingIsSolvingAfresh(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 3))
		r := randomRequest(rng, 10, 4)
		b, err := Prepare(r)
		if err != nil {
			t.Skip()
		}
		if _, err := b.Solve(context.Background(), nil); err != nil { // what pins heal from
			t.Fatal(err)
		}
		for range 5 {
			r.Pins = randomPins(rng, r)
			healed, err1 := b.Solve(context.Background(), r.Pins)
			afresh, err2 := Solve(context.Background(), r)
			if (err1 == nil) != (err2 == nil) || err1 == nil && !Changes(healed, afresh, r.Song).None() {
				t.Fatalf("pins %+v: %v, %v: %s", r.Pins, err1, err2, Changes(healed, afresh, r.Song))
			}
		}
	})
}

func TestPinsThatContradict(t *testing.T) {
	line := film.SongSpan{From: 8, To: 16}
	pin := func(id int64, kind film.PinKind, pass, setup string, span film.SongSpan, strong bool) film.Pin {
		return film.Pin{ID: id, Kind: kind, Pass: pass, Name: setup, Span: span, Strong: strong}
	}
	at := film.SongSpan{From: 10.2, To: 10.2}
	for _, c := range []struct {
		name string
		pins []film.Pin
		say  []string
	}{
		{"two passes", []film.Pin{pin(1, film.PinShowPass, "wide.mp4", "", line, false), pin(2, film.PinShowPass, "face.mp4", "", film.SongSpan{From: 15, To: 20}, false)}, []string{"pin 1", "pin 2", "contradict"}},
		{"a pass never there", []film.Pin{pin(1, film.PinShowPass, "wide.mp4", "", line, false), pin(7, film.PinNotPass, "wide.mp4", "", line, false)}, []string{"pin 1", "pin 7"}},
		{"a pass of another setup", []film.Pin{pin(3, film.PinShowSetup, "", "hands", line, false), pin(1, film.PinShowPass, "wide.mp4", "", line, false)}, []string{"pin 1", "pin 3"}},
		{"a setup never there", []film.Pin{pin(3, film.PinShowSetup, "", "hands", line, false), pin(4, film.PinNotSetup, "", "hands", line, false)}, []string{"pin 3", "pin 4"}},
		{"a cut where there is none", []film.Pin{pin(1, film.PinCut, "", "", at, false), pin(2, film.PinNoCut, "", "", film.SongSpan{From: 9, To: 12}, false)}, []string{"pin 1", "pin 2", "forbids"}},
		{"a cut inside a strong pin", []film.Pin{pin(1, film.PinCut, "", "", at, false), pin(2, film.PinShowPass, "wide.mp4", "", line, true)}, []string{"pin 1", "pin 2", "divide"}},
		{"nothing left", []film.Pin{
			pin(1, film.PinNotPass, "wide.mp4", "", line, false), pin(2, film.PinNotPass, "face.mp4", "", line, false),
			pin(3, film.PinNotSetup, "", "hands", line, false), pin(4, film.PinNotPass, "lamp.mp4", "", line, false),
		}, []string{"pin 1", "pin 2", "pin 3", "pin 4", "leave nothing"}},
		{"an unknown pass", []film.Pin{pin(5, film.PinShowPass, "none.mp4", "", line, false)}, []string{"pin 5", "not lined up"}},
		{"too short a shot", []film.Pin{pin(1, film.PinCut, "", "", at, false), pin(2, film.PinCut, "", "", film.SongSpan{From: 10.6}, false)}, []string{"pin 1", "pin 2", "0.40 s"}},
		{"a strong pin beyond the longest shot", []film.Pin{pin(1, film.PinShowPass, "wide.mp4", "", film.SongSpan{From: 1, To: 31}, true)}, []string{"pin 1", "without a cut"}},
	} {
		r := fourPasses()
		r.Pins = c.pins
		_, err := Solve(t.Context(), r)
		if film.CodeOf(err) != film.CodeUsage || film.HintOf(err) == "" {
			t.Errorf("%s: got %v", c.name, err)
			continue
		}
		for _, word := range c.say {
			if !strings.Contains(err.Error(), word) {
				t.Errorf("%s: %q does not say %q", c.name, err, word)
			}
		}
	}
}

// A close pass that parts by 500 ms a second cannot be pinned for a line, but
// strongly it can, and the cut says what it breaks.
func TestStrongPinsBreakRulesAndSaySo(t *testing.T) {
	r := fourPasses()
	r.Candidates[1].Map = &film.Segment{Knots: []film.Knot{{Pass: 4, Song: 0}, {Pass: 4 + 32*1.5, Song: 32}}}
	r.Candidates[1].Clip.PictureEnd = 80
	pin := film.Pin{ID: 9, Kind: film.PinShowPass, Pass: "hands.mp4", Span: film.SongSpan{From: 8, To: 12}, Said: "V1.2"}
	r.Pins = []film.Pin{pin}
	if _, err := Solve(t.Context(), r); err == nil || !strings.Contains(err.Error(), "V1.2") || !strings.Contains(err.Error(), "part from the record by") {
		t.Errorf("weak: got %v", err)
	}
	r.Pins[0].Strong = true
	c := mustSolve(t, r)
	for _, s := range c.Shots {
		if s.Pass == "hands.mp4" && (s.First > 200 || s.End < 300 || !strings.Contains(s.Why, "nothing holds here: parts by") || !strings.Contains(s.Why, "pin 9")) {
			t.Errorf("strong: %+v", s)
		}
	}
	if shownAt(c, 250) != "hands.mp4" {
		t.Errorf("strong: frame 250 shows %s", shownAt(c, 250))
	}
}

// What no pass has a picture of cannot be pinned.
func TestPinWithoutPicture(t *testing.T) {
	r := fourPasses()
	r.Candidates[2].Clip.PictureEnd = 5 + 12
	r.Pins = []film.Pin{{ID: 2, Kind: film.PinShowPass, Pass: "face.mp4", Span: film.SongSpan{From: 8, To: 16}, Said: "V1.2"}}
	if _, err := Solve(t.Context(), r); err == nil || !strings.Contains(err.Error(), "no picture of it at V1.2") {
		t.Errorf("got %v", err)
	}
}

// A refused moment is used once its refusal is overruled, and says so.
func TestOverruling(t *testing.T) {
	r := fourPasses()
	for i := range r.Candidates {
		score := 0.6
		if i == 2 {
			score = 0.2
		}
		r.Candidates[i] = except(r.Candidates[i], 8, 16, score)
	}
	at := film.Frames(300) // 12 s
	if got := shownAt(mustSolve(t, r), at); got == "face.mp4" {
		t.Fatalf("the refused pass is seen")
	}
	r.Pins = []film.Pin{{ID: 1, Kind: film.PinOverrule, Pass: "face.mp4", Span: film.SongSpan{From: 8, To: 16}}}
	c := mustSolve(t, r)
	if got := shownAt(c, at); got != "face.mp4" {
		t.Errorf("overruled, but %s is seen", got)
	}
	for _, s := range c.Shots {
		if s.Pass == "face.mp4" && s.First <= at && at < s.End && (!strings.Contains(s.Why, "you overruled: other notes") || s.Agreement > 0.5) {
			t.Errorf("got %+v", s)
		}
	}
}

// A shot that was laid by hand stays there, to the instant, also where it begins
// before the pin.
func TestSlipsAreKept(t *testing.T) {
	r := fourPasses()
	at := film.PassTime(8 + 5 + 0.250) // 250 ms off
	r.Pins = []film.Pin{{ID: 1, Kind: film.PinShowPass, Pass: "face.mp4", Span: film.SongSpan{From: 8, To: 12}, Source: &at, Speed: 1.01, Strong: true}}
	seen := false
	for _, s := range mustSolve(t, r).Shots {
		if s.End <= 200 || s.First >= 300 {
			continue
		}
		seen = true
		want := float64(at) + (float64(at25.FrameStart(s.First))-8)*1.01
		if s.Pass != "face.mp4" || s.Speed != 1.01 || math.Abs(float64(s.SourceStart)-want) > 1e-9 {
			t.Errorf("got %+v, want it to start at %.4f", s, want)
		}
	}
	if !seen {
		t.Error("nothing is seen there")
	}
	r.Pins[0].Strong = false
	if _, err := Solve(t.Context(), r); err == nil || !strings.Contains(err.Error(), "pin 1") || !strings.Contains(err.Error(), "part from the record") {
		t.Errorf("not strong: got %v", err)
	}
}

// One that leaves its tolerance, but not by more than is acceptable, can be
// pinned without a promise; the cut says what it parts.
func TestPinsUpToWhatIsAcceptable(t *testing.T) {
	r := fourPasses()
	r.Candidates[1].Map = &film.Segment{Knots: []film.Knot{{Pass: 4, Song: 0}, {Pass: 4 + 32*1.1, Song: 32}}}
	r.Pins = []film.Pin{{ID: 9, Kind: film.PinShowPass, Pass: "hands.mp4", Span: film.SongSpan{From: 8, To: 12}}}
	for _, s := range mustSolve(t, r).Shots {
		if s.Pass == "hands.mp4" && (!strings.Contains(s.Why, "nothing holds here: parts by") || s.HoldErrorMS > 90) {
			t.Errorf("got %+v", s)
		}
	}
}
