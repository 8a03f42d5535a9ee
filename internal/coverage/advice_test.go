package coverage

import (
	"strings"
	"testing"

	"takeweave/internal/film"
	"takeweave/internal/schedule"
)

// owesHands is a day on which hands owe V2.3 and V2.4 and nothing else is owed,
// with a chance of 26/74 for a line of hands.
func owesHands() (*Plan, []Pass) {
	song := ferry()
	song.Sections[2].Name = "verse 2"
	for _, name := range []string{"verse 2.3", "verse 2.4"} {
		song.MustSee = append(song.MustSee, film.MustSee{Span: song.Lines[lineNamed(song, name)].Span, Shows: film.ShowsHands, Matches: 1})
	}
	hands := setup("hands", film.ShowsHands, schedule.Rig{Position: "chair"})
	hands.Lines = []int{lineNamed(song, "verse 2.3"), lineNamed(song, "verse 2.4")}
	p := newPlan(song, setup("face", film.ShowsLips, schedule.Rig{Position: "door"}), hands)
	return p, []Pass{
		judged(p, "p1", "face", "all"), judged(p, "p2", "face", "all"),
		judged(p, "p3", "hands", "V1", "C1", "B1.1"), judged(p, "p4", "hands", "V1", "C1"),
	}
}

func TestAskForALoop(t *testing.T) {
	p, passes := owesHands()
	l := p.Ledger(passes, AsLogged)
	if got := l.Ask("hands"); got != "Ask for: verse 2, lines 3-4, hands." {
		t.Errorf("%q", got)
	}
	all := l.Advice("hands")
	// By hand: each line gains a must-see (6) and what hands were to give it (1).
	// A loop of both lasts 8 + 14 + 15 s and needs 2/m - 1/(1-(1-m)^2) tries.
	m := 26.0 / 74
	minutes := (2/m - 1/(1-(1-m)*(1-m))) * 37 / 60
	near(t, "minutes of the loop", all[0].Minutes, minutes, 1e-4)
	near(t, "points a minute", all[0].PerMin, 14/minutes, 1e-3)
	if len(all) != 2 {
		t.Fatalf("%d ways to ask, want a loop and a whole pass: %+v", len(all), all)
	}
	whole := all[1]
	if whole.Say != "Ask for: the whole song, hands." || whole.Lines != nil {
		t.Errorf("%+v", whole)
	}
	near(t, "minutes of a pass", whole.Minutes, 6.2, 1e-9)
	near(t, "points a minute of a pass", whole.PerMin, m*14/6.2, 1e-9)
	// From the face's place ten minutes are added to each; the loop is all that
	// hands owe, but line by line it is met in 2 x 30/m s.
	moved := l.Advice("face")
	near(t, "minutes with the move", moved[0].Minutes, minutes+10, 1e-4)
	near(t, "points a minute with the move", moved[0].PerMin, 14/(minutes+10), 1e-4)
	if moved[0].Say != all[0].Say || !strings.HasSuffix(moved[0].Why, "after 10 min to change") {
		t.Errorf("%+v", moved[0])
	}
}

func TestAskForAWholePass(t *testing.T) {
	p, passes := owesHands()
	// Nothing of the face yet, but what is filmed of it mostly matches.
	passes[0].Lines, passes[1].Lines = []int{0}, []int{0}
	passes[0].Usable, passes[1].Usable = passes[0].Usable[:1], passes[1].Usable[:1]
	if got := p.Ledger(passes, AsLogged).Ask("face"); got != "Ask for: the whole song, face." {
		t.Errorf("%q", got)
	}
}

// One loop of hands is not worth a move of ten minutes, three of them are: the face
// has one line to give.
func TestAMoveIsWorthWhatItLeadsTo(t *testing.T) {
	for _, c := range []struct {
		musts int
		want  string
	}{{1, "Ask for: C3, line 6, face."}, {3, "Ask for: V2, line 1, hands."}} {
		song := ferry()
		v2 := lineNamed(song, "V2.1")
		hands := setup("hands", film.ShowsHands, schedule.Rig{Position: "chair"})
		for i := range c.musts {
			song.MustSee = append(song.MustSee, film.MustSee{Span: song.Lines[v2+2*i].Span, Shows: film.ShowsHands, Matches: 1})
			hands.Lines = append(hands.Lines, v2+2*i)
		}
		face, wide := setup("face", film.ShowsLips, schedule.Rig{}), setup("wide", film.ShowsLips, schedule.Rig{})
		face.Lines, wide.Lines = []int{35}, []int{}
		p := newPlan(song, face, hands, wide)
		passes := []Pass{
			judged(p, "p1", "face"), judged(p, "p2", "wide", "all"), judged(p, "p3", "hands", "V1", "C1", "C2"),
			judged(p, "p4", "hands", "V1", "C1", "C2"),
		}
		if got := p.Ledger(passes, AsLogged).Advice("face"); got[0].Say != c.want {
			t.Errorf("%d must-sees: %+v", c.musts, got)
		}
	}
}

func TestNothingOwed(t *testing.T) {
	p, passes := owesHands()
	passes = append(passes, judged(p, "p5", "hands", "verse 2.3", "verse 2.4"))
	if got := p.Ledger(passes, AsLogged).Ask("hands"); got != NothingOwed {
		t.Errorf("%q", got)
	}
}

// A must-see weighs more than a line, and a line with nothing but the safety
// more than one with a choice.
func TestWhatIsAskedFirst(t *testing.T) {
	song := ferry()
	v11, v21 := lineNamed(song, "V1.1"), lineNamed(song, "V2.1")
	song.MustSee = []film.MustSee{{Span: song.Lines[v21].Span, Shows: film.ShowsHands}}
	wide, half, hands := setup("wide", film.ShowsLips, schedule.Rig{}), setup("half", film.ShowsLips, schedule.Rig{}), setup("hands", film.ShowsHands, schedule.Rig{})
	wide.Safety = true
	half.Lines = []int{0, 1, 2, 3, 4, 6}
	hands.Lines = []int{v11, v21}
	p := newPlan(song, wide, half, hands)
	passes := []Pass{judged(p, "p1", "wide", "all"), judged(p, "p2", "half", "V1.1", "V1.2", "V1.3", "V1.4")}
	l := p.Ledger(passes, AsLogged)
	if got := l.Ask(""); got != "Ask for: V2, line 1, hands." {
		t.Errorf("the must-see: %q", got)
	}
	// With the run met, C1.1 and V1.5 have the safety only, V1.1 has a choice.
	passes = append(passes, loop(p, "p3", "hands", "V2.1"), loop(p, "p4", "hands", "V2.1"))
	all := p.Ledger(passes, AsLogged).Advice("")
	if all[0].Setup != "half" {
		t.Errorf("the safety's lines: %q", all[0].Say)
	}
	for k := 1; k < len(all); k++ {
		if all[k].PerMin > all[k-1].PerMin {
			t.Errorf("%q comes after %q", all[k].Say, all[k-1].Say)
		}
	}
}

// A loop stays inside one section and is no longer than three lines.
func TestLoopsStayInASection(t *testing.T) {
	song := ferry()
	for _, c := range []struct {
		lines []int
		want  string
	}{
		{[]int{5, 6}, "V1, line 6"}, // V1.6 and C1.1 follow one another
		{[]int{0, 2}, "V1, line 1"},
		{[]int{1, 2}, "V1, lines 2-3"},
		{[]int{7, 8, 9, 10, 11}, "C1, lines 2-4"},
	} {
		face := setup("face", film.ShowsLips, schedule.Rig{})
		face.Lines = c.lines
		l := newPlan(song, face).Ledger(nil, AsLogged)
		if a, ok := l.bestLoop(0, l.debtOf(0)); !ok || a.Say != "Ask for: "+c.want+", face." {
			t.Errorf("%v: %q, want %q", c.lines, a.Say, c.want)
		}
	}
}

// Fifty lines without a match: a loop is not to be hoped for.
func TestNoLoopWithoutHope(t *testing.T) {
	p := newPlan(ferry(), setup("hands", film.ShowsHands, schedule.Rig{}))
	all := p.Ledger([]Pass{judged(p, "p1", "hands"), judged(p, "p2", "hands")}, AsLogged).Advice("hands")
	if len(all) != 1 || all[0].Lines != nil {
		t.Errorf("%+v", all)
	}
}
