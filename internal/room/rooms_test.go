package room

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// near fails the test unless got is want within a tolerance.
func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s: %.6g, want %.6g within %g", what, got, want, tolerance)
	}
}

// exact is for arithmetic that should only round: metres and shares.
const exact = 1e-9

// box is a room 4 m wide and 5 m deep: wall 0 goes up on the left, 1 along the
// top, 2 down on the right, 3 back along the bottom.
func box() Room {
	return Room{Corners: []Point{{0, 0}, {0, 5}, {4, 5}, {4, 0}}, CeilingM: 2.6}
}

// bent is an L: 6 m up, 2 m across, 3 m down, 3 m across, 3 m down, 5 m back.
func bent() Room {
	return Room{Corners: []Point{{0, 0}, {0, 6}, {2, 6}, {2, 3}, {5, 3}, {5, 0}}, CeilingM: 2.6}
}

// rooms draws a room whose walls do not cross: corners around a middle at rising
// angles, clockwise.
func rooms(rt *rapid.T) Room {
	n := rapid.IntRange(4, 9).Draw(rt, "corners") // with three, two angles could be over 180 degrees apart
	r := Room{CeilingM: 2.5}
	for i := range n {
		deg := 360 * (float64(i) + rapid.Float64Range(0.1, 0.9).Draw(rt, "turn")) / float64(n)
		r.Corners = append(r.Corners, Point{10, -3}.plus(direction(deg), rapid.Float64Range(1, 6).Draw(rt, "far")))
	}
	return r
}

func points(rt *rapid.T, name string) Point {
	return Point{rapid.Float64Range(2, 18).Draw(rt, name+" x"), rapid.Float64Range(-11, 5).Draw(rt, name+" y")}
}

func TestDirections(t *testing.T) {
	for deg, want := range map[float64]Point{0: {0, 1}, 90: {1, 0}, 180: {0, -1}, 270: {-1, 0}} {
		d := direction(deg)
		near(t, "x", d.X, want.X, exact)
		near(t, "y", d.Y, want.Y, exact)
		near(t, "back", math.Remainder(degreesOf(want)-deg, 360), 0, exact)
	}
	w := box().wall(0) // up on the left: out of the room is to the left
	near(t, "outward", degreesOf(w.outward()), 270, exact)
}

func TestMirrorTwiceIsWhereItWas(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		s := segment{points(rt, "a"), points(rt, "b")}
		if s.length() < 0.1 {
			return
		}
		p := points(rt, "p")
		image := s.mirror(p)
		if back := s.mirror(image); back.to(p).length() > exact {
			rt.Fatalf("%v comes back as %v", p, back)
		}
		// Every point of the wall is as far from the one as from the other.
		for _, m := range []float64{0, s.length() / 3, s.length()} {
			if d := s.at(m).to(p).length() - s.at(m).to(image).length(); math.Abs(d) > exact {
				rt.Fatalf("the image is %g further", d)
			}
		}
	})
}

func TestInsideAgainstTurning(t *testing.T) {
	// The slow twin: seen from inside, going around the walls is once around.
	rapid.Check(t, func(rt *rapid.T) {
		r, p := rooms(rt), points(rt, "p")
		turned := 0.0
		for i := range r.Corners {
			a, b := p.to(r.wall(i).a), p.to(r.wall(i).b)
			turned += math.Atan2(a.cross(b), a.dot(b))
		}
		if want := math.Abs(turned) > math.Pi; r.Inside(p) != want && math.Abs(r.freeM(p)) > 1e-6 {
			rt.Fatalf("%v in %v: inside %v", p, r.Corners, !want)
		}
	})
}

func TestBlockedIsTheSameBothWays(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		r, p, q := rooms(rt), points(rt, "p"), points(rt, "q")
		if (r.Blocked(p, q) == "") != (r.Blocked(q, p) == "") {
			rt.Fatalf("%q one way, %q the other", r.Blocked(p, q), r.Blocked(q, p))
		}
		// The slow twin: between two points inside, nothing is in the way when all
		// points between are inside.
		if !r.Inside(p) || !r.Inside(q) {
			return
		}
		clear, close := true, false
		for i := range 2000 {
			at := p.plus(p.to(q), float64(i)/2000)
			clear = clear && r.Inside(at)
			close = close || math.Abs(r.freeM(at)) < 0.01
		}
		if clear != (r.Blocked(p, q) == "") && !close {
			rt.Fatalf("from %v to %v: %q", p, q, r.Blocked(p, q))
		}
	})
}

func TestBlocked(t *testing.T) {
	r := bent()
	if got := r.Blocked(Point{1, 5}, Point{4, 1}); got != "wall 4" && got != "wall 3" {
		t.Errorf("around the inner corner: %q", got)
	}
	r = box()
	r.Things = []Thing{{Name: "piano", Kind: Furniture, At: Point{2, 2}, RadiusM: 0.6}, {Name: "Nell", Kind: Musician, At: Point{2, 3.2}, RadiusM: 0.3}}
	for _, c := range []struct {
		from, to Point
		want     string
	}{
		{Point{2, 1}, Point{2, 4}, "piano"},
		{Point{1.39, 1}, Point{1.39, 4}, ""},       // beside it
		{Point{2, 2.5}, Point{2, 4}, ""},           // from on it
		{Point{3.5, 0.5}, Point{3.5, 5}, ""},       // a wall at the end is not in the way
		{Point{3.5, 0.5}, Point{3.5, 6}, "wall 2"}, // beyond it is
	} {
		if got := r.Blocked(c.from, c.to); got != c.want {
			t.Errorf("%v to %v: %q, want %q", c.from, c.to, got, c.want)
		}
	}
}
