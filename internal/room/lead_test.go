package room

import (
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

func TestLeads(t *testing.T) {
	r := box()
	r.Sockets = []Socket{
		{Name: "by the window", Circuit: "left", Wall: 1, AtM: 1, HeightM: 0.3},
		{Name: "by the door", Circuit: "right", Wall: 3, AtM: 1, HeightM: 0.2},
	}
	r.Openings = []Opening{{Name: "door", Kind: Door, Wall: 2, FromM: 2, WidthM: 0.9, TopM: 2}}
	// To a lamp at (3.6, 4), 0.4 m from the right wall, 1 m below the top corner,
	// with 1.5 m of lead up the stand. From the window: 0.3 down, 3 m to the corner,
	// 1 m down the wall, 0.4 across, 1.5 up: 6.2 m. From the bottom wall (3, 0) the
	// short way, 1 + 4 m, passes the door; around it is 3 + 5 + 4 + 1 = 13 m.
	got := r.Leads(Point{3.6, 4}, 1.5, 0.1)
	want := []Lead{{"by the window", "left", 6.2 * 1.1, nil}, {"by the door", "right", (0.2 + 13 + 0.4 + 1.5) * 1.1, nil}}
	if len(got) != 2 {
		t.Fatal(got)
	}
	for i := range want {
		near(t, want[i].Socket, got[i].LengthM, want[i].LengthM, exact)
		if got[i].Socket != want[i].Socket || got[i].Circuit != want[i].Circuit || len(got[i].Doors) != 0 {
			t.Errorf("%+v, want %+v", got[i], want[i])
		}
	}
	// With a door on either way the shorter is taken, and its door is named.
	r.Openings = append(r.Openings, Opening{Name: "kitchen", Kind: Door, Wall: 0, FromM: 1, WidthM: 0.8, TopM: 2})
	got = r.Leads(Point{3.6, 4}, 1.5, 0)
	i := slices.IndexFunc(got, func(l Lead) bool { return l.Socket == "by the door" })
	near(t, "by the door", got[i].LengthM, 0.2+5+0.4+1.5, exact)
	if len(got[i].Doors) != 1 || got[i].Doors[0] != "door" {
		t.Errorf("%+v", got[i])
	}
}

func TestAroundThroughADoorway(t *testing.T) {
	// Around the box a door on the right wall is from 11 to 11.9 m.
	r := box()
	r.Openings = []Opening{{Name: "door", Kind: Door, Wall: 2, FromM: 2, WidthM: 0.9, TopM: 2}}
	for _, c := range []struct {
		name      string
		a, b, way float64
		doors     int
	}{
		{"before it", 10, 10.9, 0.9, 0},
		{"after it", 12, 13, 1, 0},
		{"over it, so around the room", 10, 13, 15, 0},
		{"from within, each way has the door", 11.8, 13, 1.2, 1},
		{"into it, each way has the door", 10, 11.1, 1.1, 1},
	} {
		way, doors := r.around(c.a, c.b)
		near(t, c.name, way, c.way, exact)
		if len(doors) != c.doors {
			t.Errorf("%s: %v", c.name, doors)
		}
	}
}

func TestAroundIsTheSameBothWays(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		r := rooms(rt)
		whole := r.aroundM(len(r.Corners), 0)
		a, b := rapid.Float64Range(0, 1).Draw(rt, "a")*whole, rapid.Float64Range(0, 1).Draw(rt, "b")*whole
		w := rapid.IntRange(0, len(r.Corners)-1).Draw(rt, "wall")
		r.Openings = []Opening{{Name: "door", Kind: Door, Wall: w, FromM: 0, WidthM: r.wall(w).length() / 2}}
		there, doors := r.around(a, b)
		back, _ := r.around(b, a)
		if math.Abs(there-back) > exact || there > whole {
			rt.Fatalf("%g there, %g back, of %g", there, back, whole)
		}
		if shortest := math.Min(math.Abs(a-b), whole-math.Abs(a-b)); len(doors) > 0 && there > shortest+exact {
			rt.Fatalf("%g m, past %v, though %g m does", there, doors, shortest)
		}
	})
}

func TestDraw(t *testing.T) {
	r := box()
	r.Openings = []Opening{{Name: "window", Kind: Window, Wall: 1, FromM: 1, WidthM: 2, SillM: 1, TopM: 2}}
	r.Sockets = []Socket{{Name: "socket", Wall: 3, AtM: 1}}
	r.Things = []Thing{{Name: "Nell", Kind: Musician, At: Point{2, 3}, RadiusM: 0.3}}
	d := r.Draw([]View{Look(setup(180, 2), Point{2, 3})})
	if d.Low != (Point{0, 0}) || d.High != (Point{4, 5}) || len(d.Outlines) != 5 {
		t.Fatalf("%+v", d)
	}
	window, socket, view := d.Outlines[1], d.Outlines[2], d.Outlines[4]
	near(t, "window", window.Points[0].to(Point{1, 5}).length()+window.Points[1].to(Point{3, 5}).length(), 0, exact)
	near(t, "socket", socket.Points[0].to(Point{3, 0}).length(), 0, exact)
	// The eye at (2, 1), the top wall from 0 to 4: a triangle, but for half a column
	// at either side.
	if len(view.Points) != 3 || view.Name != "mid" {
		t.Fatalf("%+v", view)
	}
	near(t, "left end", view.Points[1].to(Point{0, 5}).length(), 0, 4.0/columns)
	// Turned left it takes in the upper left corner: two walls, the left one first.
	v := Look(setup(180, 2), Point{2, 3})
	v.TowardsDeg = 320
	left := r.floor(v)
	near(t, "on the left wall", left[1].X, 0, exact)
	near(t, "on the top wall", left[len(left)-1].Y, 5, exact)
	near(t, "right end", view.Points[2].to(Point{4, 5}).length(), 0, 4.0/columns)
}
