package optics

import (
	"testing"

	"pgregory.net/rapid"
)

func TestTogether(t *testing.T) {
	at := func(focal, axis float64) Setup {
		s := uhd(focal, 2, 2)
		s.AxisDeg = axis
		return s
	}
	for _, c := range []struct {
		name string
		a, b Setup
		want string
	}{
		// Common practice: 28 to 40 mm from one spot is 1.43, and jumps.
		{"a mere change of lens", at(28, 0), at(40, 0), "jumps: size ratio 1.43 (under 1.5), axis differs 0° (under 30°)"},
		{"a larger one", at(28, 0), at(50, 0), "cuts together: size ratio 1.79 (at least 1.5), axis differs 0° (under 30°)"},
		{"from the side", at(28, 350), at(40, 25), "cuts together: size ratio 1.43 (under 1.5), axis differs 35° (at least 30°)"},
		{"not far enough", at(40, 0), at(40, -29), "jumps: size ratio 1.00 (under 1.5), axis differs 29° (under 30°)"},
	} {
		p := Together(c.a, c.b, Usual())
		if p.Reason != c.want {
			t.Errorf("%s: %q, want %q", c.name, p.Reason, c.want)
		}
		if back := Together(c.b, c.a, Usual()); back != p {
			t.Errorf("%s: the other way round %+v", c.name, back)
		}
	}
}

func TestLineOfAction(t *testing.T) {
	at := func(axis float64) Setup { return Setup{AxisDeg: axis} }
	l := Usual()
	for _, c := range []struct {
		name          string
		a, b, line    float64
		crosses       bool
		sideA, sideOf Side
	}{
		{"one side", 20, 160, 0, false, Right, Right},
		{"over the line", 20, -20, 0, true, Right, Left},
		{"over the line behind", 170, 190, 0, true, Right, Left},
		{"on the line bridges", 3, -40, 0, false, OnLine, Left},
		{"on the line behind", 178, 90, 0, false, OnLine, Right},
		{"a line that is turned", 100, 80, 90, true, Right, Left},
	} {
		a, b := at(c.a), at(c.b)
		if got := Crosses(a, b, c.line, l); got != c.crosses {
			t.Errorf("%s: crosses %v", c.name, got)
		}
		if a.Side(c.line, l) != c.sideA || b.Side(c.line, l) != c.sideOf {
			t.Errorf("%s: sides %d and %d", c.name, a.Side(c.line, l), b.Side(c.line, l))
		}
	}
	rapid.Check(t, func(rt *rapid.T) {
		// Mirroring the room about the line swaps the sides and changes nothing else.
		a, b := rapid.Float64Range(-180, 180).Draw(rt, "a"), rapid.Float64Range(-180, 180).Draw(rt, "b")
		crosses := Crosses(at(a), at(b), 0, l)
		if Crosses(at(-a), at(-b), 0, l) != crosses || Crosses(at(b), at(a), 0, l) != crosses {
			rt.Fatal("mirrored or swapped it differs")
		}
		if d := at(a).Side(0, l); at(-a).Side(0, l) != -d {
			rt.Fatal("mirrored, the side is the same")
		}
	})
}

func TestPace(t *testing.T) {
	s := uhd(40, 2, 2) // 1.8 m wide
	s.Move = Move{Way: Rightward, LengthM: 0.9, LegS: 6}
	p := s.Pace(Usual())
	near(t, "speed", p.MetresPerS, 0.15, 1e-12)
	near(t, "widths", p.WidthsPerS, 0.15/1.8, 1e-12)
	near(t, "across", p.AcrossS, 12, 1e-9)
	near(t, "degrees", p.DegreesPerS, 4.289, 0.001) // atan(0.15 / 2)
	if p.Warning != "" {
		t.Error(p.Warning)
	}
	// Common practice: no faster than a frame's width in seven seconds.
	s.Move.LengthM = 1.8
	if p := s.Pace(Usual()); p.Warning != "crosses the frame in 6.0 s, under 7 s: may judder" {
		t.Errorf("%+v", p)
	}
	// In: from 2 to 1 m at the same speed all edges together move by half of what
	// the frame loses; per second at the start 0.5 / 2 / 2.
	s.Move = Move{Way: Inward, LengthM: 1, LegS: 2}
	near(t, "inward", s.Pace(Usual()).WidthsPerS, 0.125, 1e-12)
	s.Move = Move{}
	if got := s.Pace(Usual()); got != (Pace{}) {
		t.Errorf("still: %+v", got)
	}
}

func TestTurns(t *testing.T) {
	lines := []Stretch{{0, 4}, {5, 9}, {10, 14}}
	m := Move{Way: Leftward, LengthM: 1, LegS: 4.5}
	// Turns at 4.5 (a breath) and 9.0 (a line has ended), and 13.5 in the third line.
	got := m.Turns(0, 14, lines)
	want := []Turn{{4.5, -1}, {9, -1}, {13.5, 2}}
	if len(got) != len(want) {
		t.Fatalf("%v, want %v", got, want)
	}
	for i := range want {
		if got[i] != want[i] {
			t.Errorf("%v, want %v", got[i], want[i])
		}
	}
	if (Move{Way: Leftward}).Turns(0, 100, nil) != nil || (Move{}).Turns(0, 100, nil) != nil {
		t.Error("what stands still turns")
	}
	if !Opposed(Move{Way: Leftward}, Move{Way: Rightward}) || Opposed(Move{}, Move{}) || Opposed(Move{Way: Inward}, Move{Way: Leftward}) {
		t.Error("moves against each other are not told")
	}
}
