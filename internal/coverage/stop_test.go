package coverage

import (
	"slices"
	"strings"
	"testing"
)

func TestIfWeStoppedNow(t *testing.T) {
	p := trio()
	l := p.Ledger([]Pass{
		judged(p, "p1", "wide", "V1", "C1", "C2", "B1", "C3"),
		judged(p, "p2", "face", "V1", "V2.1", "V2.2"),
	}, AsUsable)
	s := l.StopNow()
	if want := "If we stopped now: 4 lines would show nothing (V2.3-6); 24 lines would show the safety (C1.1-6, C2.1-6, B1.1-6, C3.1-6); the run (V2.3) would not be seen."; s.Say != want {
		t.Errorf("%q", s.Say)
	}
	near(t, "share of the safety", s.Share, 24.0/36, 1e-9)
	l = p.Ledger([]Pass{judged(p, "p1", "face", "all"), judged(p, "p2", "hands", "V2.3")}, AsUsable)
	if s := l.StopNow(); s.Nothing != nil || s.Safety != nil || s.Unseen != nil || !strings.Contains(s.Say, "every line has a picture") {
		t.Errorf("%+v", s)
	}
}

func TestLeavingASetupOut(t *testing.T) {
	p := trio()
	all := p.Ledger(nil, AsPlanned).Without()
	wide, face, hands := all[0], all[1], all[2]
	if got := SayLines(p.Song, wide.Only); got != "C1.1-6, C2.1-6, B1.1-6, C3.1-6" {
		t.Errorf("without the safety no picture of %s", got)
	}
	if got := SayLines(p.Song, face.Second); got != "V1.1-6, V2.1-2, V2.5-6" || face.Only != nil {
		t.Errorf("without the face: %+v", face)
	}
	if !slices.Equal(hands.MustSee, []string{"the run (V2.3)"}) || hands.Second != nil {
		t.Errorf("without hands: %+v", hands)
	}
	if want := "Without hands: too few of the run (V2.3)."; hands.Say != want {
		t.Errorf("%q", hands.Say)
	}
	// By hand. Hands: half of what they were to give two lines, the second match.
	near(t, "worth of hands", hands.Worth, 2*0.5+3, 1e-9)
	// The face: what it was to give twelve lines, and ten of them would have
	// nothing beside the safety; hands show the other two.
	near(t, "worth of the face", face.Worth, 12+10*2, 1e-9)
	// The safety: 24 first pictures, what it gave 36 lines, one match of the run.
	near(t, "worth of the safety", wide.Worth, 24*4+36+3, 1e-9)
	for i, s := range p.Ledger(nil, AsPlanned).Valued() {
		if s.Name != p.Setups[i].Name || s.Value != all[i].Worth {
			t.Errorf("%+v is not worth %v", s, all[i].Worth)
		}
	}
}

// A match more than wanted adds nothing, and its loss takes nothing.
func TestMoreThanEnough(t *testing.T) {
	p := trio()
	passes := []Pass{judged(p, "p1", "hands", "V2.3"), judged(p, "p2", "hands", "V2.3"), judged(p, "p3", "wide", "V2.3")}
	l := p.Ledger(passes, AsUsable)
	r := row(t, l, AMustSee, "V2.3")
	near(t, "worth of three matches", l.worth(&r), 6+3, 0)
	if got := l.Without()[0].MustSee; got != nil {
		t.Errorf("without the safety too few of %v", got)
	}
}

// What a setup is worth is what the plan is worth less what it is worth without
// the setup, counted anew.
func TestWorthIsADifference(t *testing.T) {
	p, passes := largest()
	l := p.Ledger(passes, AsUsable)
	sum := func(l *Ledger) (all float64) {
		for n := range l.Rows {
			all += l.worth(&l.Rows[n])
		}
		return all
	}
	for i, loss := range l.Without() {
		rest := slices.DeleteFunc(slices.Clone(passes), func(c Pass) bool { return c.Setup == p.Setups[i].Name })
		near(t, loss.Setup, loss.Worth, sum(l)-sum(p.Ledger(rest, AsUsable)), 1e-6)
	}
}
