package schedule

import (
	"errors"
	"slices"
	"strings"
	"testing"

	"takeweave/internal/film"
)

// loft has 20 passes in eight places under three lights: two relights and five
// moves when it is filmed in the order given.
func loft() Day {
	l := Usual()
	l.BreakEvery = 0
	d := Day{SongS: 252, Rules: AllRules, Start: 10 * 60, Limits: l}
	for _, s := range []struct {
		name, light, position string
		shows                 film.Shows
		passes                int
	}{
		{"wide", "night", "door", film.ShowsBoth, 3},
		{"half", "night", "bench", film.ShowsBoth, 3},
		{"face", "night", "chair", film.ShowsLips, 4},
		{"side", "dusk", "chair", film.ShowsLips, 3},
		{"neck", "dusk", "stool", film.ShowsHands, 3},
		{"pick", "dusk", "floor", film.ShowsHands, 2},
		{"back", "bare", "floor", film.ShowsNeither, 1},
		{"far", "bare", "stairs", film.ShowsNeither, 1},
	} {
		d.Setups = append(d.Setups, Setup{
			Setup:  film.Setup{Name: s.name, Shows: s.shows, Safety: s.name == "wide"},
			Rig:    Rig{Light: s.light, Position: s.position},
			Passes: s.passes, Value: float64(s.passes),
		})
	}
	return d
}

// 20 passes x 372 s are 124 min, 2 relights 50, 5 moves 50: 224 min.
// Source: common practice, worked by hand.
func TestDayOfTwentyPasses(t *testing.T) {
	d := loft()
	p, err := d.Plan()
	if err != nil {
		t.Fatal(err)
	}
	near(t, "work", p.WorkMin, 224, 1e-9)
	near(t, "slack", p.SlackMin, 44.8, 1e-9)
	near(t, "finish", float64(p.Finish), 600+268.8, 1e-9)
	near(t, "leave", float64(p.Leave), 600+268.8+30, 1e-9)
	if len(p.Order.Broken) > 0 || p.Notes[0] != "finish at 14:29" {
		t.Errorf("%v, %q", p.Order, p.Notes)
	}
	for k := 1; k < len(p.Steps); k++ {
		if p.Steps[k].Start != p.Steps[k-1].End {
			t.Errorf("step %d begins at %v, the one before ends at %v", k, p.Steps[k].Start, p.Steps[k-1].End)
		}
	}
	// 13 passes show the mouth, 12 are at full voice.
	full := 0
	for _, s := range p.Steps {
		full += s.FullVoice
	}
	if full != 12 || !slices.Contains(p.Notes, "side has 1 of 3 passes at half voice") {
		t.Errorf("%d passes at full voice, %q", full, p.Notes)
	}
}

func TestBreaks(t *testing.T) {
	d := loft()
	d.Limits.BreakEvery = 90
	p, err := d.Plan()
	if err != nil {
		t.Fatal(err)
	}
	// wide 18.6, half 10+18.6, face 10+24.8, side 25+18.6 make 125.6 min; neck
	// 10+18.6, pick 10+12.4, back 25+6.2, far 10+6.2 another 98.4.
	if p.BreakMin != 10 || p.Steps[4].BreakMin != 10 {
		t.Errorf("breaks of %v min, steps %+v", p.BreakMin, p.Steps)
	}
}

func TestWhatToDropFirst(t *testing.T) {
	d := loft()
	d.KeyBack = 15 * 60
	p, err := d.Plan()
	if err != nil {
		t.Fatal(err)
	}
	near(t, "spare", p.SpareMin, 300-268.8-30, 1e-9)
	// "far", the last, saves its pass and the move to it; "back" only its pass,
	// for "far" needs the light and a move as well.
	if got := p.Drops[0]; got.Setup != "far" || got.SavesMin != 6.2+10 {
		t.Errorf("first to drop: %+v", got)
	}
	for _, c := range p.Drops {
		if c.Setup == "wide" {
			t.Error("the safety is dropped")
		}
	}
	for k := range len(p.Drops) - 1 {
		if p.Drops[k].PerMin > p.Drops[k+1].PerMin {
			t.Errorf("%+v is before %+v", p.Drops[k], p.Drops[k+1])
		}
	}
	// Ten minutes too long: 16.2 min with their slack are enough.
	d.KeyBack = 15*60 - 11
	p, err = d.Plan()
	if err != nil || p.SpareMin >= 0 || !strings.HasPrefix(p.Notes[1], "10 minutes too long: drop first ") || strings.Contains(p.Notes[1], "then") {
		t.Errorf("%q, %v", p.Notes, err)
	}
}

// What a drop is said to save is what the day without it is shorter by, in the
// same order.
func TestDropsSaveWhatTheySay(t *testing.T) {
	d := loft()
	minutes := func(order []int) (sum float64) {
		for _, s := range d.steps(order) {
			sum += s.ChangeMin + s.FilmMin
		}
		return sum
	}
	order := []int{0, 4, 2, 1, 7, 3, 5, 6}
	for k := range order {
		without := slices.Delete(slices.Clone(order), k, k+1)
		near(t, d.Setups[order[k]].Name, d.saves(order, k), minutes(order)-minutes(without), 1e-9)
	}
}

// Passes sung before count, and slack that is not needed is saved as well.
func TestWhatIsLeftOfADay(t *testing.T) {
	d := loft()
	d.Voice = 10
	p, err := d.Plan()
	if err != nil || p.Steps[0].FullVoice != 2 || p.Steps[1].FullVoice != 0 {
		t.Errorf("%+v, %v", p.Steps, err)
	}
	// 19 minutes too long: 16.2 min and a fifth of them are 19.44.
	d.KeyBack = 600 + 298.8 - 19
	p, err = d.Plan()
	if err != nil || strings.Contains(p.Notes[1], "then") {
		t.Errorf("%q, %v", p.Notes, err)
	}
	d.KeyBack--
	if p, err = d.Plan(); err != nil || !strings.Contains(p.Notes[1], "far, then ") {
		t.Errorf("%q, %v", p.Notes, err)
	}
}

func TestDayWithoutASong(t *testing.T) {
	var e *film.Error
	if _, err := (Day{}).Plan(); !errors.As(err, &e) || e.Hint == "" {
		t.Errorf("got %v", err)
	}
}
