package schedule

import "testing"

func TestChangeMin(t *testing.T) {
	night := Rig{Light: "night", Lamps: []string{"key", "back"}, Position: "door", Lens: "40 mm"}
	bare := Rig{Light: "bare", Lamps: []string{"key"}, Position: "door", Lens: "40 mm"}
	many := Rig{Light: "many", Lamps: []string{"a", "b", "c", "d"}, Position: "door", Lens: "40 mm"}
	tight := night
	tight.Lens = "75 mm"
	other := Rig{Light: "day", Position: "window", Lens: "40 mm", Wardrobe: "coat", Tuning: "capo 2"}
	for _, c := range []struct {
		name     string
		from, to Rig
		want     float64
	}{
		{"nothing differs", night, night, 0},
		{"a lens", night, tight, 1.5},
		{"a lamp comes down", night, bare, 3},
		{"and goes up again: not the same", bare, night, 12},
		{"never more than the whole light", bare, many, 25},
		{"lamps not known: the whole light", night, Rig{Light: "day", Position: "door", Lens: "40 mm"}, 25},
		{"everything but the lens", night, other, 25 + 10 + 10 + 5},
	} {
		if got := Usual().ChangeMin(c.from, c.to); got != c.want {
			t.Errorf("%s: %v min, want %v", c.name, got, c.want)
		}
	}
}

// A pass of 252 s and 120 s of reset; a try of 8 + 7 + 15 s. Source: common practice.
func TestPassAndTry(t *testing.T) {
	l := Usual()
	if got := l.PassS(252); got != 372 {
		t.Errorf("a pass takes %v s", got)
	}
	if got := l.TryS(7); got != 30 {
		t.Errorf("a try takes %v s", got)
	}
	if got := l.FilmMin(Setup{Passes: 2, Tries: 4, LoopS: 7}, 252); got != (2*372+4*30)/60.0 {
		t.Errorf("two passes and four tries take %v min", got)
	}
}
