package coverage

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"takeweave/internal/schedule"
)

// The improviser's arithmetic, worked by hand. For one line at 95 % it is
// ln 0.05 / ln(1-m); for n lines each must have matched: ln(1-0.9^(1/n)) / ln(1-m).
func TestPassesFor(t *testing.T) {
	for _, c := range []struct {
		chance    float64
		lines     int
		certainty float64
		want      int
	}{
		{0.6, 1, 0.95, 4},
		{0.35, 1, 0.95, 7},
		{0.6, 8, 0.9, 5},
		{0.35, 8, 0.9, 11},
	} {
		formula := math.Ceil(math.Log(1-math.Pow(c.certainty, 1/float64(c.lines))) / math.Log(1-c.chance))
		if got, ok := PassesFor(c.chance, ones(c.lines), c.certainty); !ok || got != c.want || float64(got) != formula {
			t.Errorf("%+v: %d passes, the formula gives %v", c, got, formula)
		}
	}
	if n, ok := PassesFor(1, []int{2, 1}, 0.99); n != 2 || !ok {
		t.Errorf("matching always: %d passes for two matches", n)
	}
	if _, ok := PassesFor(0, ones(1), 0.9); ok {
		t.Error("without any chance it is said to be sure some day")
	}
}

func ones(n int) []int {
	all := make([]int, n)
	for i := range all {
		all[i] = 1
	}
	return all
}

// Eight must-haves: whole songs take 3.5 passes and 22 min on the average, or 6.8
// passes and 42 min; loops 6.7 and 11.4 min. Source: worked by hand.
func TestWholePassesAgainstLoops(t *testing.T) {
	for _, c := range []struct{ chance, passes, minutes, loops float64 }{
		{0.6, 3.5, 22, 6.7},
		{0.35, 6.8, 42, 11.4},
	} {
		passes := ExpectedPasses(c.chance, ones(8))
		near(t, "passes", passes, c.passes, 0.05)
		// the minutes were worked from rounded passes and rounded again
		near(t, "minutes", passes*schedule.Usual().PassS(252)/60, c.minutes, 0.5+0.05*6.2)
		near(t, "minutes of loops", 8/c.chance*schedule.Usual().TryS(7)/60, c.loops, 0.05)
	}
	if got := ExpectedPasses(1e-5, ones(1)); !math.IsInf(got, 1) {
		t.Errorf("hopeless: %v passes", got)
	}
	// One line is a geometric wait, two matches of it the sum of two.
	near(t, "one match", ExpectedPasses(0.35, []int{1}), 1/0.35, 1e-4)
	near(t, "two matches", ExpectedPasses(0.35, []int{2}), 2/0.35, 1e-4)
}

// A slow twin: passes are played until all is matched, 20,000 times over. The
// spread of one wait is below 4 passes, that of the mean below 0.03.
func TestExpectedPassesEqualsPlayingThem(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	wanted := []int{2, 1, 1, 3, 0}
	total, within := 0, 0
	const days = 20_000
	for range days {
		left := []int{2, 1, 1, 3, 0}
		passes := 0
		for left[0]+left[1]+left[2]+left[3] > 0 {
			passes++
			for i := range left {
				if left[i] > 0 && r.Float64() < 0.4 {
					left[i]--
				}
			}
		}
		total += passes
		if passes <= 10 {
			within++
		}
	}
	near(t, "passes", ExpectedPasses(0.4, wanted), float64(total)/days, 0.1)
	near(t, "all met after ten", allMet(0.4, tally(wanted), 10), float64(within)/days, 0.015)
}

// The interval of the Beta distribution has closed forms when nothing was judged
// and when everything matched; in between it is integrated here step by step.
func TestInterval(t *testing.T) {
	low, high := Matches{}.Interval(0.95)
	near(t, "nothing judged, low", low, 0.025, 1e-9)
	near(t, "nothing judged, high", high, 0.975, 1e-9)
	low, _ = Matches{9, 9}.Interval(0.9)
	near(t, "all of nine", low, math.Pow(0.05, 1.0/10), 1e-9)

	m := Matches{25, 72}
	low, high = m.Interval(0.95)
	const steps = 1_000_000
	all, below, above := 0.0, 0.0, 0.0
	for i := range steps {
		x := (float64(i) + 0.5) / steps
		density := math.Exp(25*math.Log(x) + 47*math.Log(1-x))
		all += density
		if x < low {
			below += density
		}
		if x > high {
			above += density
		}
	}
	near(t, "cut off below", below/all, 0.025, 1e-5)
	near(t, "cut off above", above/all, 0.025, 1e-5)
	if c := m.Chance(); c < low || c > high {
		t.Errorf("the chance %v lies outside %v to %v", c, low, high)
	}
}

// Two hands passes agree on 13 and on 12 of 36 lines, eight must-haves.
func TestTheImproviser(t *testing.T) {
	p := newPlan(ferry(), setup("hands", "hands", schedule.Rig{}))
	l := p.Ledger([]Pass{
		judged(p, "p1", "hands", "V1", "C1", "B1.1"),
		judged(p, "p2", "hands", "V1", "C2"),
	}, AsUsable)
	m := l.ChanceOf(0)
	if m != (Matches{25, 72}) {
		t.Fatalf("%+v", m)
	}
	near(t, "chance", m.Chance(), 0.35, 0.005)
	o := Improvise(m, ones(8), 252, 7, Usual(), schedule.Usual())
	if want := "for your 8 must-haves: 11 whole passes (68 min) to be 90 % sure, or loop pickups, about 11 min"; !strings.HasSuffix(o.Say, want) {
		t.Errorf("%q", o.Say)
	}
	near(t, "loops", o.LoopMin, 11.4, 0.05)
	near(t, "whole passes on the average", o.ExpectedMin, 42, 0.5)

	if o := Improvise(Matches{0, 100}, ones(8), 252, 7, Usual(), schedule.Usual()); o.SurePasses != 0 || !strings.Contains(o.Say, "play to the record") {
		t.Errorf("hopeless: %+v", o)
	}
}

func TestChanceIsThatOfTheSameKind(t *testing.T) {
	p := newPlan(ferry(), setup("hands", "hands", schedule.Rig{}), setup("ring", "hands", schedule.Rig{}), setup("face", "lips", schedule.Rig{}))
	passes := []Pass{
		judged(p, "p1", "hands", "V1"), judged(p, "p2", "hands", "V1"), judged(p, "p3", "face", "all"),
		loop(p, "p4", "ring", "C3.1"),
		{Name: "p5", Setup: "hands", Verdict: Keep},
		{Name: "p6", Setup: "gone", Verdict: Keep},
	}
	l := p.Ledger(passes, AsUsable)
	for i, want := range []Matches{{12, 72}, {13, 73}, {36, 36}} {
		if got := l.ChanceOf(i); got != want {
			t.Errorf("%s: %+v, want %+v", p.Setups[i].Name, got, want)
		}
	}
}
