package schedule

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"takeweave/internal/film"
)

// random draws setups that share lights, places and lenses, so that rules get
// in each other's way.
func random(r *rand.Rand, n int) []Setup {
	shows := []film.Shows{film.ShowsLips, film.ShowsHands, film.ShowsBoth, film.ShowsNeither}
	sizes := []film.Size{film.SizeWide, film.SizeClose, film.SizeInsert}
	lamps := []string{"key", "back", "fill", "practical"}
	setups := make([]Setup, n)
	for i := range setups {
		light := r.IntN(3)
		setups[i] = Setup{
			Setup: film.Setup{Name: fmt.Sprint("setup ", i), Shows: shows[r.IntN(4)], Size: sizes[r.IntN(3)], Safety: r.IntN(8) == 0},
			Rig: Rig{
				Light: fmt.Sprint(light), Lamps: lamps[light/2 : 1+light],
				Position: fmt.Sprint(r.IntN(4)), Lens: fmt.Sprint(r.IntN(3)), Tuning: fmt.Sprint(r.IntN(2)),
			},
		}
	}
	return setups
}

func randomRules(r *rand.Rand, setups []Setup) Rules {
	name := func() string { return setups[r.IntN(len(setups))].Name }
	rules := Rules{SafetyFirst: r.IntN(2) == 0, FacesFirst: r.IntN(2) == 0, OneRelight: r.IntN(2) == 0, InsertsLast: r.IntN(2) == 0}
	for range r.IntN(3) {
		rules.Before = append(rules.Before, Pair{name(), name()})
	}
	if r.IntN(3) == 0 {
		rules.First = []string{name(), name()}
	}
	return rules
}

// bruteForce tries every order and judges each from its words alone.
func bruteForce(t *testing.T, setups []Setup, rules Rules) (brokenRules int, minutes float64) {
	t.Helper()
	brokenRules, minutes = math.MaxInt, math.Inf(1)
	held := slices.Compact(slices.Clone(rules.First))
	way := make([]int, len(setups))
	for i := range way {
		way[i] = i
	}
	permute(way, 0, func() {
		for k, name := range held {
			if setups[way[k]].Name != name {
				return
			}
		}
		b, m := judge(setups, rules, way, len(held))
		if b < brokenRules || b == brokenRules && m < minutes-1e-9 {
			brokenRules, minutes = b, m
		}
	})
	return brokenRules, minutes
}

// judge counts the broken rules of a way, those after what is held, and its
// minutes: a slow twin in other words than the solver's.
func judge(setups []Setup, rules Rules, way []int, held int) (brokenRules int, minutes float64) {
	place := make([]int, len(way))
	for k, i := range way {
		place[i] = k
	}
	insert := func(s *Setup) bool { return !s.Safety && s.Size == film.SizeInsert }
	face := func(s *Setup) bool {
		return !s.Safety && !insert(s) && (s.Shows == film.ShowsLips || s.Shows == film.ShowsBoth)
	}
	hands := func(s *Setup) bool { return !s.Safety && !insert(s) && s.Shows == film.ShowsHands }
	anySafety := slices.ContainsFunc(setups, func(s Setup) bool { return s.Safety })
	var earlier []*Setup
	for k, i := range way {
		s := &setups[i]
		if k > 0 {
			earlier = append(earlier, &setups[way[k-1]])
		}
		if k > 0 && k >= held {
			minutes += Usual().ChangeMin(earlier[k-1].Rig, s.Rig)
		}
		if k < held {
			continue
		}
		if rules.SafetyFirst && k == 0 && anySafety && !s.Safety {
			brokenRules++
		}
		if rules.FacesFirst && face(s) && slices.ContainsFunc(earlier, hands) {
			brokenRules++
		}
		if rules.InsertsLast && !insert(s) && slices.ContainsFunc(earlier, insert) {
			brokenRules++
		}
		sameLight := func(e *Setup) bool { return e.Rig.Light == s.Rig.Light }
		if rules.OneRelight && k > 0 && !sameLight(earlier[k-1]) && slices.ContainsFunc(earlier, sameLight) {
			brokenRules++
		}
	}
	seen := map[Pair]bool{}
	for _, p := range rules.Before {
		a := slices.IndexFunc(setups, func(s Setup) bool { return s.Name == p.First })
		b := slices.IndexFunc(setups, func(s Setup) bool { return s.Name == p.Then })
		if !seen[p] && place[b] < place[a] && place[a] >= held {
			brokenRules++
		}
		seen[p] = true
	}
	return brokenRules, minutes
}

func permute(way []int, k int, visit func()) {
	if k == len(way) {
		visit()
		return
	}
	for i := k; i < len(way); i++ {
		way[k], way[i] = way[i], way[k]
		permute(way, k+1, visit)
		way[k], way[i] = way[i], way[k]
	}
}

func TestBestEqualsBruteForce(t *testing.T) {
	sizes := map[int]int{1: 5, 2: 20, 3: 60, 5: 150, 7: 20, 8: 2, 9: 1} // trials by number of setups
	r := rand.New(rand.NewPCG(7, 9))
	for n, trials := range sizes {
		for range trials {
			setups := random(r, n)
			rules := randomRules(r, setups)
			got, err := Best(setups, rules, Usual())
			if err != nil {
				t.Fatal(err)
			}
			held := len(slices.Compact(slices.Clone(rules.First)))
			b, m := judge(setups, rules, got.Setups, held)
			wantB, wantM := bruteForce(t, setups, rules)
			if b != wantB || math.Abs(m-wantM) > 1e-9 {
				t.Fatalf("%d setups, %+v: %v breaks %d rules in %v min; every order tried gives %d in %v", n, rules, got.Setups, b, m, wantB, wantM)
			}
			if held == 0 && len(got.Broken) != b {
				t.Errorf("%d rules are broken, told are %q", b, got.Broken)
			}
		}
	}
}

func TestBestKeepsTheRules(t *testing.T) {
	night, day := Rig{Light: "night"}, Rig{Light: "day"}
	setups := []Setup{
		{Setup: film.Setup{Name: "ring", Size: film.SizeInsert, Shows: film.ShowsHands}, Rig: night},
		{Setup: film.Setup{Name: "hands", Shows: film.ShowsHands}, Rig: night},
		{Setup: film.Setup{Name: "face", Shows: film.ShowsLips}, Rig: night},
		{Setup: film.Setup{Name: "window", Shows: film.ShowsBoth}, Rig: day},
		{Setup: film.Setup{Name: "wide", Safety: true}, Rig: day},
	}
	o, err := Best(setups, AllRules, Usual())
	if err != nil {
		t.Fatal(err)
	}
	if want := []int{4, 3, 2, 1, 0}; !slices.Equal(o.Setups, want) || o.ChangeMin != 25 || o.Broken != nil {
		t.Errorf("got %+v, want %v with one relight", o, want)
	}
	rules := AllRules
	rules.First = []string{"ring"}
	o, err = Best(setups, rules, Usual())
	if err != nil || o.Setups[0] != 0 || len(o.Broken) == 0 {
		t.Errorf("the person's own first setup: %+v, %v", o, err)
	}
	given, err := AsGiven(setups, AllRules, Usual())
	if err != nil || given.Broken[0] != "ring comes before the safety" {
		t.Errorf("as given: %+v, %v", given, err)
	}
}

func TestBestRefuses(t *testing.T) {
	for name, err := range map[string]error{
		"too many":     errOf(Best(make([]Setup, MostSetups+1), Rules{}, Usual())),
		"no such one":  errOf(Best(make([]Setup, 1), Rules{First: []string{"attic"}}, Usual())),
		"nor in pairs": errOf(Best(make([]Setup, 1), Rules{Before: []Pair{{"", "attic"}}}, Usual())),
	} {
		if film.CodeOf(err) != film.CodeUsage || film.HintOf(err) == "" {
			t.Errorf("%s: %v", name, err)
		}
	}
	if o, err := Best(nil, AllRules, Usual()); err != nil || len(o.Setups) != 0 {
		t.Errorf("no setups: %+v, %v", o, err)
	}
}

func errOf(_ Order, err error) error { return err }

func BenchmarkBest(b *testing.B) {
	for _, n := range []int{9, 12, 16, 20} {
		setups := random(rand.New(rand.NewPCG(1, 2)), n)
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			for b.Loop() {
				if _, err := Best(setups, AllRules, Usual()); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
