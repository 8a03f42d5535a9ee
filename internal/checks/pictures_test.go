package checks

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"takeweave/internal/film"
)

// look shows frames to a watcher, as altered, and returns what it found.
func look(t *testing.T, frames int, picture func(frame int) Picture) []Finding {
	t.Helper()
	p, err := NewPictures(at25, testW, testH, shotStarts(frames), Usual)
	if err != nil {
		t.Fatal(err)
	}
	for f := range frames {
		p.Add(picture(f))
	}
	return p.Report(film.Frames(frames)).Findings
}

func TestCleanRenders(t *testing.T) {
	for seed := range uint64(10) {
		player := newPlayer(seed)
		if found := look(t, 200, player.draw); len(found) != 0 {
			t.Errorf("render %d: %+v", seed, found)
		}
	}
}

func TestPlantedFaults(t *testing.T) {
	type alter func(f int, draw func() Picture, last Picture) Picture
	between := func(first, end int, with func(f int, draw func() Picture, last Picture) Picture) alter {
		return func(f int, draw func() Picture, last Picture) Picture {
			if f >= first && f < end {
				return with(f, draw, last)
			}
			return draw()
		}
	}
	held := func(_ int, _ func() Picture, last Picture) Picture { return last }
	for _, c := range []struct {
		name       string
		alter      alter
		want       Kind
		first, end film.Frames
		number     float64
	}{
		{"a black frame", between(40, 41, func(int, func() Picture, Picture) Picture { return flat(16, 128, 128) }), Black, 40, 41, 1},
		{"three black frames", between(75, 78, func(int, func() Picture, Picture) Picture { return flat(16, 128, 128) }), Black, 75, 78, 3},
		{"a repeated frame", between(60, 61, held), Repeated, 60, 61, 1},
		{"a repeated frame after a cut", between(76, 77, held), Repeated, 76, 77, 1},
		{"two repeated frames", between(100, 102, held), Repeated, 100, 102, 2},
		{"a freeze of five frames", between(101, 105, held), Frozen, 100, 105, 5},
		{"a freeze to the cut", between(140, 150, held), Frozen, 139, 150, 11},
		{"a shot that is a still", between(76, 150, held), Frozen, 75, 150, 75},
		{"five flashes in a second", between(25, 50, func(f int, draw func() Picture, _ Picture) Picture {
			p := draw()
			for i, v := range p.Y {
				p.Y[i] = byte(min(235, int(v)*2/3+80*((f*2/5)%2)))
			}
			return p
		}), Flashing, 25, 50, 5},
		{"levels below black", between(50, 52, func(_ int, draw func() Picture, _ Picture) Picture {
			p := draw()
			for i := range testW * testH / 50 {
				p.Y[i] = 3
			}
			return p
		}), Levels, 50, 52, 0.02},
		{"a colour no screen has", between(50, 60, func(_ int, draw func() Picture, _ Picture) Picture {
			p := draw()
			for i := range testW * testH / 10 {
				p.Y[i], p.Cr[i] = 200, 240
			}
			return p
		}), Levels, 50, 60, 0.1},
		{"a burnt-out sky", between(0, 30, func(_ int, draw func() Picture, _ Picture) Picture {
			p := draw()
			for i := range testW * testH / 5 {
				p.Y[i], p.Cb[i], p.Cr[i] = 236, 128, 128
			}
			return p
		}), Clipped, 0, 30, 0.2},
	} {
		t.Run(c.name, func(t *testing.T) {
			player := newPlayer(77)
			var last Picture
			found := look(t, 200, func(f int) Picture {
				last = c.alter(f, func() Picture { return player.draw(f) }, last)
				return last
			})
			hit := false
			for _, f := range found {
				if f.Kind != c.want {
					// A flash is told by three rules; nothing else may be told.
					t.Errorf("found besides: %+v", f)
					continue
				}
				hit = true
				slack := film.Frames(0)
				if c.want == Flashing {
					slack = 13 // what moves besides adds to a second before and after
				}
				if max(f.First-c.first, c.first-f.First, f.End-c.end, c.end-f.End) > slack || math.Abs(f.Number-c.number) > 0.51*c.number/5 {
					t.Errorf("%+v, want frames %d to %d and the number %g", f, c.first, c.end, c.number)
				}
			}
			if !hit {
				t.Errorf("%s not found", c.want)
			}
		})
	}
}

// A source of 24 frames a second in a film of 25 repeats one in 25.
func TestRepeatsOfALowerRate(t *testing.T) {
	player := newPlayer(5)
	var last Picture
	shown := -1
	found := look(t, 75, func(f int) Picture {
		if source := f * 24 / 25; source != shown {
			shown = source
			last = player.draw(source)
		}
		return last
	})
	if len(found) != 1 || found[0].Kind != Repeated || found[0].Number != 3 {
		t.Errorf("%+v, want three repeats told as one finding", found)
	}
}

// A subject that hardly moves changes less than the codec does: nothing is told,
// because nothing can be seen.
func TestStillSubject(t *testing.T) {
	player := newPlayer(3)
	player.noise = 0.4
	last := player.draw(0)
	found := look(t, 75, func(f int) Picture {
		if f != 30 {
			last = player.draw(1)
		}
		return last
	})
	if len(found) != 0 {
		t.Errorf("%+v", found)
	}
}

// A hand that pauses for a frame while the rest of the picture sways on is no
// repeat.
func TestHandThatPauses(t *testing.T) {
	found := look(t, 75, func(f int) Picture {
		p := flat(60, 128, 128)
		hand := 40 + 6*min(f, 29) + 6*max(0, f-30)%100 // the same at 29 and 30
		for i := range p.Y {
			x, y := i%testW, i/testW
			p.Y[i] += byte(10 * (1 + math.Sin(float64(x+y)/9+float64(f)/5)))
			if x >= hand && x < hand+30 && y > 60 && y < 110 {
				p.Y[i] = 200
			}
		}
		return p
	})
	if len(found) != 0 {
		t.Errorf("%+v", found)
	}
}

func TestWrongLength(t *testing.T) {
	p, err := NewPictures(at25, testW, testH, nil, Usual)
	if err != nil {
		t.Fatal(err)
	}
	player := newPlayer(1)
	for f := range 20 {
		p.Add(player.draw(f))
	}
	for wanted, want := range map[film.Frames][2]film.Frames{22: {20, 22}, 19: {19, 20}} {
		found := p.Report(wanted).Findings
		if len(found) != 1 || found[0].Kind != Length || found[0].First != want[0] || found[0].End != want[1] {
			t.Errorf("20 frames for %d: %+v", wanted, found)
		}
	}
}

// Source: [EBUR103]: 5 to 246 are tolerated in Y' and in R', G', B', on 1 % of the
// picture anything; ITU-R BT.709 for the colours, whose 75 % and 100 % bars are
// within.
func TestLevels(t *testing.T) {
	rgb := make([]byte, 3*testW*testH)
	for _, c := range []struct {
		y, cb, cr byte
		outside   bool
		rgb       [3]byte
	}{
		{16, 128, 128, false, [3]byte{0, 0, 0}},
		{235, 128, 128, false, [3]byte{255, 255, 255}},
		{5, 128, 128, false, [3]byte{0, 0, 0}},
		{4, 128, 128, true, [3]byte{0, 0, 0}},
		{246, 128, 128, false, [3]byte{255, 255, 255}},
		{247, 128, 128, true, [3]byte{255, 255, 255}},
		{63, 102, 240, false, [3]byte{255, 0, 0}},      // 100 % red
		{173, 42, 26, false, [3]byte{0, 255, 0}},       // 100 % green
		{32, 240, 118, false, [3]byte{0, 0, 255}},      // 100 % blue
		{168, 44, 136, false, [3]byte{191, 191, 0}},    // 75 % yellow
		{28, 212, 120, false, [3]byte{0, 0, 191}},      // 75 % blue
		{126, 128, 128, false, [3]byte{128, 128, 128}}, // grey
		{150, 128, 240, true, [3]byte{255, 95, 156}},   // redder than red
	} {
		l := measure(flat(c.y, c.cb, c.cr), rgb)
		if got := l.outside > 0; got != c.outside {
			t.Errorf("%d,%d,%d: outside %v, want %v", c.y, c.cb, c.cr, got, c.outside)
		}
		for i, want := range c.rgb {
			const rounding = 2 // the bars are rounded to whole codes
			if d := int(rgb[i]) - int(want); d < -rounding || d > rounding {
				t.Errorf("%d,%d,%d becomes %v, want %v", c.y, c.cb, c.cr, rgb[:3], c.rgb)
				break
			}
		}
	}
}

func TestConclude(t *testing.T) {
	v := Conclude(
		Report{Checked: []Kind{Black}, Findings: []Finding{{Kind: Black, First: 50}, {Kind: Black, First: 10}}},
		Report{Checked: []Kind{InSync}, NotChecked: []Unchecked{{InSync, "A1.1: too short"}}, Findings: []Finding{{Kind: InSync, First: 20}}},
		Report{NotChecked: []Unchecked{{Captions, "the film has none"}}},
	)
	if !slices.Equal(v.Checked, []Kind{Black, InSync}) {
		t.Errorf("checked %v", v.Checked)
	}
	why := map[Kind]string{}
	for _, n := range v.NotChecked {
		why[n.Kind] = n.Why
	}
	if len(why) != len(All)-1 || why[Captions] != "the film has none" || why[InSync] != "A1.1: too short" || why[Frozen] == "" {
		t.Errorf("not checked: %v", v.NotChecked)
	}
	var order []string
	for _, f := range v.Findings {
		order = append(order, fmt.Sprint(f.First))
	}
	if !slices.Equal(order, []string{"10", "20", "50"}) {
		t.Errorf("findings in the order %v", order)
	}
	if got := v.Words(); got != "2 of 14 checks done, 3 findings" {
		t.Error(got)
	}
}
