package room

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

func TestSeesItself(t *testing.T) {
	mirror := Opening{Name: "hall mirror", Kind: Mirror, Wall: 1, FromM: 1.6, WidthM: 0.8, SillM: 0.8, TopM: 1.9}
	for _, c := range []struct {
		name   string
		change func(*Opening)
		eye    Point
		want   int
	}{
		{"square before it", func(*Opening) {}, Point{2, 1}, 1},
		{"beside it", func(*Opening) {}, Point{2.6, 1}, 0},                        // its side at 2.35 is met half way, at 2.475; the mirror ends at 2.4
		{"half of the body", func(*Opening) {}, Point{2.5, 1}, 1},                 // its side at 2.25 is met at 2.375
		{"it hangs too high", func(o *Opening) { o.SillM = 1.5 }, Point{2, 1}, 0}, // lens at 1.2, body to 1.45, seen half as high
		// Its lower edge is at 1.3: the body's top at 1.45 is seen half way, at 1.325.
		{"only the top of the body", func(o *Opening) { o.SillM = 1.3 }, Point{2, 1}, 1},
		{"a door does not reflect", func(o *Opening) { o.Kind = Door }, Point{2, 1}, 0},
		{"a window does, after dark", func(o *Opening) { o.Kind = Window }, Point{2, 1}, 1},
	} {
		r, o := box(), mirror
		c.change(&o)
		r.Openings = []Opening{o}
		v := Look(setup(180, 3), Point{c.eye.X, c.eye.Y + 3})
		got := r.SeesItself(v, BodyM)
		if len(got) != c.want {
			t.Errorf("%s: %+v", c.name, got)
		}
		if c.name == "square before it" {
			near(t, "x", got[0].X, 0.5, exact)
			near(t, "y", got[0].Y, 0.5, exact)
		}
	}
	// Out of the frame: the camera turned away by 60 degrees, its frame 53 wide.
	r := box()
	r.Openings = []Opening{mirror}
	v := Look(setup(180, 3), Point{2, 4})
	v.TowardsDeg = 60
	if got := r.SeesItself(v, BodyM); len(got) != 0 {
		t.Errorf("turned away: %+v", got)
	}
}

func TestReflectedOutsideTheFrame(t *testing.T) {
	r := box()
	r.Openings = []Opening{{Name: "mirror", Kind: Mirror, Wall: 1, WidthM: 4, TopM: 2.6}}
	v := Look(setup(180, 3), Point{2, 4}) // 4 m from the mirror, 2.25 m of it in the frame's height
	for slope, want := range map[float64]int{0: 1, 0.27: 1, 0.29: 0, -0.27: 1, -0.29: 0} {
		v.Slope = slope // the frame's edge is at the lens's height from 0.28125 on
		if got := r.Reflected(v, v.Eye, 1.2, 0); len(got) != want {
			t.Errorf("slope %g: %+v", slope, got)
		}
	}
	v.Slope = 0
	if got := r.Reflected(v, Point{2, 6}, 1.2, 0); len(got) != 0 {
		t.Errorf("what is behind the mirror: %+v", got)
	}
}

func TestReflectedIsTheShortestWay(t *testing.T) {
	// The slow twin: light goes the shortest way by the mirror (Fermat). Along a
	// wall that is all mirror, the point of the shortest way is looked for in small
	// steps.
	rapid.Check(t, func(rt *rapid.T) {
		r := box()
		r.Openings = []Opening{{Name: "wall of mirrors", Kind: Mirror, Wall: 1, WidthM: 4, TopM: 2.6}}
		lamp := Point{rapid.Float64Range(0.3, 3.7).Draw(rt, "x"), rapid.Float64Range(0.5, 4).Draw(rt, "y")}
		height := rapid.Float64Range(0.9, 1.5).Draw(rt, "height")
		v := Look(setup(180, 3), Point{rapid.Float64Range(0.5, 3.5).Draw(rt, "eye"), 4})
		best, at := math.Inf(1), 0.0
		for m := 0.0; m <= 4; m += 0.001 {
			if way := v.Eye.to(Point{m, 5}).length() + lamp.to(Point{m, 5}).length(); way < best {
				best, at = way, m
			}
		}
		x, _, _ := v.Place(Point{at, 5}, 1.2)
		got := r.Reflected(v, lamp, height, 0)
		const tolerance = 0.002 // of the frame: half a step of 1 mm at 4 m, doubled
		switch {
		case x > tolerance && x < 1-tolerance && len(got) != 1:
			rt.Fatalf("not seen at %g", x)
		case (x < -tolerance || x > 1+tolerance) && len(got) != 0:
			rt.Fatalf("seen at %+v, but it is outside at %g", got, x)
		case len(got) == 1 && math.Abs(got[0].X-x) > tolerance:
			rt.Fatalf("seen at %g, want %g", got[0].X, x)
		}
	})
}

func TestMirrorAroundACorner(t *testing.T) {
	// In the L a mirror on the left wall shows the camera in the lower arm what is
	// in the upper one, and not through the inner walls.
	r := bent()
	r.Openings = []Opening{{Name: "mirror", Kind: Mirror, Wall: 0, FromM: 0, WidthM: 6, TopM: 2.5}}
	v := Look(setup(90, 2), Point{1.5, 1.5}) // eye at (3.5, 1.5), looking left
	lamp := Point{1.8, 5}
	if r.Blocked(v.Eye, lamp) == "" {
		t.Fatal("the lamp is in plain sight")
	}
	// The image of the lamp is at (-1.8, 5); the way meets the mirror at a height of
	// 1.5 + 3.5 x 3.5 / 5.3 = 3.811 in the plan, 2.311 m to the right at a depth of
	// 3.5 m: outside a frame of 3.5 m, inside one of 5 m.
	if got := r.Reflected(v, lamp, 1.2, 0); len(got) != 0 {
		t.Errorf("narrow: %+v", got)
	}
	v.WidthM = 5 / 3.5
	if got := r.Reflected(v, lamp, 1.2, 0); len(got) != 1 || math.Abs(got[0].X-(0.5+2.3113/5)) > 0.0001 {
		t.Errorf("wide: %+v", got)
	}
	// From (4, 2.8) to the image of (1.8, 5.5) the way runs through the upper arm's
	// wall: it is at 3.73 where the wall stands, from 3 up.
	v.Eye = Point{4, 2.8}
	if got := r.Reflected(v, Point{1.8, 5.5}, 1.2, 0); len(got) != 0 {
		t.Errorf("behind the inner corner: %+v", got)
	}
}
