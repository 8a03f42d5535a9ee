package coverage

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"takeweave/internal/film"
	"takeweave/internal/schedule"
)

// trio is the ferry with a must-see in V2.3 and three setups: the safety
// everywhere, the face in the verses, hands in V2.3 and V2.4.
func trio() *Plan {
	song := ferry()
	song.MustSee = []film.MustSee{{Span: film.SongSpan{From: 84 + 14.5, To: 84 + 15.5}, Shows: film.ShowsHands, Text: "the run"}}
	safety := setup("wide", film.ShowsBoth, schedule.Rig{})
	safety.Safety = true
	face := setup("face", film.ShowsLips, schedule.Rig{})
	face.Serves = []string{"V"}
	hands := setup("hands", film.ShowsHands, schedule.Rig{})
	hands.Lines = []int{lineNamed(song, "V2.3"), lineNamed(song, "V2.4")}
	hands.Wanted = 2
	return newPlan(song, safety, face, hands)
}

func row(t *testing.T, l *Ledger, kind Kind, name string) Row {
	t.Helper()
	for _, r := range l.Rows {
		if r.Kind == kind && r.Name == name {
			return r
		}
	}
	t.Fatalf("no %s %s", kind, name)
	return Row{}
}

// states returns the states of a row by setup, then its own.
func states(r Row) string {
	var words []string
	for _, c := range r.Cells {
		words = append(words, string(c.State))
	}
	return strings.Join(append(words, string(r.State)), ", ")
}

func TestBeforeTheDay(t *testing.T) {
	l := trio().Ledger(nil, AsPlanned)
	for _, c := range []struct {
		kind Kind
		name string
		want string
	}{
		{ALine, "V1.1", "enough, enough, not planned, enough"},
		{ALine, "C1.1", "enough, not planned, not planned, enough"},
		{ALine, "V2.3", "enough, enough, one, one"}, // one pass of hands is planned, two are wanted
		// The safety shows hands too: with it the run has its two matches.
		{AMustSee, "V2.3", "enough, not planned, enough, enough"},
	} {
		if got := states(row(t, l, c.kind, c.name)); got != c.want {
			t.Errorf("%s %s: %s, want %s", c.kind, c.name, got, c.want)
		}
	}
	p := trio()
	p.Setups[0].Serves = []string{"C"}
	l = p.Ledger(nil, AsPlanned)
	if got := SayLines(p.Song, l.Bare()); got != "B1.1-6" {
		t.Errorf("lines without a picture: %s", got)
	}
	if l.Bars[lineNamed(p.Song, "B1.2")].State != NotPlanned || !l.Bars[lineNamed(p.Song, "V2.3")].MustSee {
		t.Errorf("bars: %+v", l.Bars)
	}
	// Loops are counted as met.
	p.Setups[2].Passes, p.Setups[2].Tries = 0, 4
	if got := row(t, p.Ledger(nil, AsPlanned), ALine, "V2.3").Cells[2]; got.State != Enough {
		t.Errorf("looped: %+v", got)
	}
}

func TestOnTheDay(t *testing.T) {
	p := trio()
	v23 := lineNamed(p.Song, "V2.3")
	log := []Pass{
		{Name: "p1", Setup: "wide", Verdict: Keep},
		{Name: "p2", Setup: "face", Verdict: Keep, Lines: []int{0, 1}},
		{Name: "p3", Setup: "face", Verdict: Perhaps},
		{Name: "p4", Setup: "face", Verdict: Lost},
		{Name: "p5", Setup: "hands", Verdict: Keep, Lines: []int{v23}},
		{Name: "p6", Setup: "attic", Verdict: Keep},
	}
	l := p.Ledger(log, AsLogged)
	for name, want := range map[string]string{
		"V1.2": "enough, enough, not planned, enough",
		"V1.3": "enough, owed, not planned, owed",
		"V2.3": "enough, owed, one, owed",
		"V2.4": "enough, owed, owed, owed",
	} {
		if got := states(row(t, l, ALine, name)); got != want {
			t.Errorf("%s: %s, want %s", name, got, want)
		}
	}
	if got := row(t, l, AMustSee, "V2.3"); got.Have != 2 || got.State != Enough {
		t.Errorf("the run: %+v", got)
	}
	// The same log counts for nothing as long as no pass is judged.
	if got := row(t, p.Ledger(log, AsUsable), ALine, "V1.1"); got.Have != 0 || got.State != Owed {
		t.Errorf("unjudged: %+v", got)
	}
	// Judged, the wide pass is usable in V1 only, and one that was called lost
	// stays lost; a doubtful one counts.
	log[0] = judged(p, "p1", "wide", "V1")
	log[2] = judged(p, "p3", "face", "V1.3")
	log[2].Verdict = Perhaps
	log[3] = judged(p, "p4", "face", "all")
	log[3].Verdict = Lost
	for _, basis := range []Basis{AsLogged, AsUsable} {
		l = p.Ledger(log, basis)
		if got := states(row(t, l, ALine, "V1.3")); got != "enough, enough, not planned, enough" {
			t.Errorf("%s: V1.3 is %s", basis, got)
		}
		if got := row(t, l, ALine, "C1.1"); got.Views != 0 {
			t.Errorf("%s: C1.1 is %+v", basis, got)
		}
	}
}

// The ledger equals counting by hand, cell by cell, in drawn days.
func TestLedgerEqualsCountingByHand(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 6))
	p := trio()
	needs := p.Needs()
	for range 50 {
		var passes []Pass
		for k := range r.IntN(12) {
			c := Pass{Name: fmt.Sprint(k), Setup: p.Setups[r.IntN(3)].Name, Verdict: []Verdict{Keep, Perhaps, Lost}[r.IntN(3)], Usable: make([]bool, len(needs))}
			for n := range needs {
				c.Usable[n] = r.IntN(2) == 0
			}
			passes = append(passes, c)
		}
		l := p.Ledger(passes, AsUsable)
		for n, need := range needs {
			for i, s := range p.Setups {
				want := 0
				for _, c := range passes {
					showsIt := need.Kind == ALine || s.Name != "face" // the run is the hands'
					if c.Setup == s.Name && c.Verdict != Lost && c.Usable[n] && showsIt {
						want++
					}
				}
				if got := l.Rows[n].Cells[i].Have; got != want {
					t.Fatalf("%s %s, %s: %d, want %d", need.Kind, need.Name, s.Name, got, want)
				}
			}
		}
	}
}

func TestVoiceFree(t *testing.T) {
	p := trio()
	song := p.Song
	if got := p.voiceFree(); got != nil {
		t.Errorf("without text every line is sung: %v", got)
	}
	for i := range song.Lines { // the bridge is played only; the last line's words end early
		if song.Sections[song.Lines[i].Section].Name != "B1" {
			song.Lines[i].Text = "la la la"
		}
	}
	last := &song.Lines[35]
	last.Words = []film.Word{{Span: film.SongSpan{From: 245, To: 246}, Text: "home"}}
	want := []film.SongSpan{{From: 168, To: 210}, {From: 246, To: 252}}
	if got := p.voiceFree(); !slices.Equal(got, want) {
		t.Errorf("%v, want %v", got, want)
	}
	// A long word that others lie within.
	long := film.Word{Span: film.SongSpan{From: 160, To: 180}, Text: "oh"}
	song.Lines[0].Words = []film.Word{{Span: film.SongSpan{To: 7}, Text: "la"}, long, {Span: film.SongSpan{From: 161, To: 162}, Text: "oh"}}
	if got := p.voiceFree(); len(got) != 2 || got[0] != (film.SongSpan{From: 180, To: 210}) {
		t.Errorf("after a long word: %v", got)
	}
	song.Lines[0].Words = nil
	last.Words[0].Span.To = 248 // four seconds are not more than four
	if got := p.voiceFree(); !slices.Equal(got, want[:1]) {
		t.Errorf("%v, want %v", got, want[:1])
	}
	// Hands are planned elsewhere, lips do not count, one setup is not two.
	l := p.Ledger(nil, AsPlanned)
	if got := l.MouthOnly(); len(got) != 1 || got[0].Views != 0 {
		t.Errorf("%+v", got)
	}
	p.Setups[2].Lines = nil
	if got := p.Ledger(nil, AsPlanned).MouthOnly(); len(got) != 1 || got[0].Views != 1 {
		t.Errorf("one setup: %+v", got)
	}
	p.Setups = append(p.Setups, setup("lamp", film.ShowsNeither, schedule.Rig{}))
	if got := p.Ledger(nil, AsPlanned).MouthOnly(); got != nil {
		t.Errorf("two setups: %+v", got)
	}
}

// Two matches of the wide setup meet what must be seen for all; none is owed by
// hands then, but for their lines.
func TestAnySetupMeetsAMustSee(t *testing.T) {
	p := trio()
	l := p.Ledger([]Pass{judged(p, "p1", "wide", "all"), judged(p, "p2", "wide", "all")}, AsUsable)
	r := row(t, l, AMustSee, "V2.3")
	if got := states(r); got != "enough, not planned, enough, enough" || r.missing(2) != 0 {
		t.Errorf("%s, hands owe %d", got, r.missing(2))
	}
	if r := row(t, l, ALine, "V2.3"); r.missing(2) != 2 || r.missing(0) != 0 {
		t.Errorf("%+v", r)
	}
}

// What no setup is to show is owed all the same, and nobody is let go.
func TestAMustSeeThatNoSetupShows(t *testing.T) {
	p := trio()
	p.Setups = p.Setups[1:2] // the face
	l := p.Ledger([]Pass{judged(p, "p1", "face", "all"), judged(p, "p2", "face", "all")}, AsUsable)
	if b := l.Bars[lineNamed(p.Song, "V2.3")]; b != (Bar{Owed, true}) {
		t.Errorf("its line is %+v", b)
	}
	if rows := l.Unserved(); len(rows) != 24+1 || rows[24].Kind != AMustSee {
		t.Errorf("unserved are %d rows", len(rows))
	}
	if got := l.Ask("face"); got != "Find a setup that shows hands in V2.3." {
		t.Errorf("%q", got)
	}
	// A move of ten minutes and two matches of a second, half a chance, 24 s a try.
	if s := l.MayStrike(Thing{Kind: TheMusician}, "face"); s.May != No || s.Say != "NO: a setup that shows hands V2.3: 12 min" {
		t.Errorf("%+v", s)
	}
	if s := l.MayStrike(Thing{ASetup, "face"}, "face"); s.May != Yes {
		t.Errorf("the face's own: %+v", s)
	}
	if o := l.Owed("face"); len(o) != 1 || o[0].Setup != "a setup that shows hands" {
		t.Errorf("%+v", o)
	}
}

// A stretch without a voice is owed by each setup that could show it, until two
// have.
func TestVoiceFreeIsOwed(t *testing.T) {
	p := newPlan(ferry(), setup("hands", film.ShowsHands, schedule.Rig{}), setup("lamp", film.ShowsNeither, schedule.Rig{}), setup("door", film.ShowsNeither, schedule.Rig{}))
	for i := range 30 {
		p.Song.Lines[i].Text = "la"
	}
	var passes []Pass
	for _, c := range []struct {
		setup string // of one more pass
		worth float64
		owed  [3]int
	}{{"", 0, [3]int{1, 1, 1}}, {"hands", 2, [3]int{0, 1, 1}}, {"hands", 2, [3]int{0, 1, 1}}, {"door", 4, [3]int{0, 0, 0}}, {"lamp", 4, [3]int{0, 0, 0}}} {
		if c.setup != "" {
			passes = append(passes, judged(p, c.setup, c.setup, "all"))
		}
		l := p.Ledger(passes, AsUsable)
		r := l.Rows[36]
		if got := [3]int{r.missing(0), r.missing(1), r.missing(2)}; got != c.owed || l.worth(&r) != c.worth {
			t.Errorf("after %d passes: owed %v worth %v, want %v, %v", len(passes), got, l.worth(&r), c.owed, c.worth)
		}
	}
	l := p.Ledger(passes[:3], AsUsable) // hands twice, door once
	if all := l.Without(); len(all[0].Free) != 1 || len(all[1].Free) != 0 || len(all[2].Free) != 1 {
		t.Errorf("%+v", all)
	}
	if got := p.Ledger(passes, AsUsable).Without()[0].Free; got != nil {
		t.Errorf("two others are left: %v", got)
	}
	// "One match only" is asked of lines and of what must be seen, not of these.
	again := judged(p, "again", "door", "all")
	again.Usable[36] = false
	if got, _ := p.Ledger(append(passes, again), AsUsable).single(2); got != "" {
		t.Errorf("one match only: %q", got)
	}
}

// A stretch that no line holds, before the first, needs a pass of the whole song.
func TestOwedOutsideTheLines(t *testing.T) {
	p := newPlan(ferry(), setup("face", film.ShowsLips, schedule.Rig{}), setup("lamp", film.ShowsNeither, schedule.Rig{}))
	p.Song.Lines = p.Song.Lines[1:]
	p.Setups[1].Serves = []string{"V1"}
	face, lamp := judged(p, "p1", "face", "all"), judged(p, "p2", "lamp", "all")
	lamp.Usable[35] = false // the intro
	l := p.Ledger([]Pass{face, lamp}, AsUsable)
	all := l.Advice("lamp")
	if len(all) != 1 || all[0].Say != "Ask for: the whole song, lamp." || !strings.HasSuffix(all[0].Why, "lamp owes intro") {
		t.Errorf("%+v", all)
	}
	if o := l.Owed("lamp"); len(o) != 1 || o[0].None != "intro" || o[0].Minutes != 6.2 {
		t.Errorf("%+v", o)
	}
}

func TestSetupsServeTheirSections(t *testing.T) {
	p := newPlan(ferry())
	for served, want := range map[string]string{"V": "V1.1-6, V2.1-6", "V2": "V2.1-6", "attic": ""} {
		s := setup("face", film.ShowsLips, schedule.Rig{})
		s.Serves = []string{served}
		var lines []int
		for n, need := range p.Needs() {
			if p.wants(&s, &need) > 0 {
				lines = append(lines, n)
			}
		}
		if got := SayLines(p.Song, lines); got != want {
			t.Errorf("%s serves %q, want %q", served, got, want)
		}
	}
}

// largest is as much as the design allows: 60 passes, 120 lines, 20 setups.
func largest() (*Plan, []Pass) {
	r := rand.New(rand.NewPCG(8, 9))
	song := &film.Song{Duration: 720, Music: film.SongSpan{To: 720}}
	for c := range 12 {
		at := film.SongTime(60 * c)
		song.Sections = append(song.Sections, film.Section{Name: fmt.Sprint("S", c), Letter: "S", Span: film.SongSpan{From: at, To: at + 60}})
		for n := range 10 {
			from := at + film.SongTime(6*n)
			song.Lines = append(song.Lines, film.Line{Section: c, Number: n + 1, Span: film.SongSpan{From: from, To: from + 6}})
		}
		song.MustSee = append(song.MustSee, film.MustSee{Span: film.SongSpan{From: at + 7, To: at + 8}, Shows: film.ShowsHands})
	}
	p := newPlan(song)
	for i := range 20 {
		p.Setups = append(p.Setups, setup(fmt.Sprint("setup ", i), []film.Shows{film.ShowsLips, film.ShowsHands, film.ShowsBoth}[i%3], schedule.Rig{Position: fmt.Sprint(i % 7)}))
	}
	needs := len(p.Needs())
	var passes []Pass
	for k := range 60 {
		c := Pass{Name: fmt.Sprint(k), Setup: p.Setups[k%20].Name, Verdict: Keep, Usable: make([]bool, needs)}
		for n := range c.Usable {
			c.Usable[n] = r.Float64() < 0.35
		}
		passes = append(passes, c)
	}
	return p, passes
}

func BenchmarkLedger(b *testing.B) {
	p, passes := largest()
	for b.Loop() {
		p.Ledger(passes, AsLogged)
	}
}

func BenchmarkAdvice(b *testing.B) {
	p, passes := largest()
	for b.Loop() {
		p.Ledger(passes, AsLogged).Advice("setup 3")
	}
}

func BenchmarkMayStrike(b *testing.B) {
	p, passes := largest()
	for b.Loop() {
		p.Ledger(passes, AsLogged).MayStrike(Thing{Kind: TheMusician}, "setup 3")
	}
}
