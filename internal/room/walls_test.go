package room

import (
	"math"
	"strings"
	"testing"

	"takeweave/internal/film"

	"pgregory.net/rapid"
)

func TestWalk(t *testing.T) {
	square := func(lengths ...float64) []Leg {
		legs := make([]Leg, len(lengths))
		for i, l := range lengths {
			legs[i] = Leg{l, 90}
		}
		return legs
	}
	corners, gap, err := Walk(square(5, 4, 5, 4))
	if err != nil || gap > exact {
		t.Fatal(gap, err)
	}
	for i, c := range box().Corners {
		near(t, "corner", corners[i].to(c).length(), 0, exact)
	}
	// An L by hand: one corner turns the other way.
	corners, _, err = Walk([]Leg{{6, 90}, {2, 90}, {3, -90}, {3, 90}, {3, 90}, {5, 90}})
	if err != nil {
		t.Fatal(err)
	}
	for i, c := range bent().Corners {
		near(t, "corner of the L", corners[i].to(c).length(), 0, exact)
	}
	// Four walls of 18 m in all may miss by 8 + 9 cm.
	if _, gap, err := Walk(square(5.15, 4, 5, 4)); err != nil {
		t.Errorf("%.2f m: %v", gap, err)
	}
	// A tape that is 6 cm out: spread, and told.
	corners, gap, err = Walk(square(5.06, 4, 5, 4))
	if err != nil {
		t.Fatal(err)
	}
	near(t, "gap", gap, 0.06, exact)
	near(t, "left wall", corners[0].to(corners[1]).length(), 5.06-0.06*5.06/18.06, exact)
	near(t, "right wall", corners[2].to(corners[3]).length(), 5+0.06*5/18.06, exact)
	for name, c := range map[string]struct {
		legs []Leg
		want string
	}{
		"a foot for a metre":             {square(5.5, 4, 5, 4), "0.50 m from where"},
		"a hand more than tapes miss by": {square(5.2, 4, 5, 4), "0.20 m from where"},
		"three walls of a box":           {square(5, 4, 5), "turn by 270"},
		"no length":                      {square(5, 0, 5, 4), "wall 2 has a length of 0"},
		"two walls":                      {[]Leg{{5, 180}, {5, 180}}, "three walls"},
		"turned the wrong way":           {[]Leg{{5, -90}, {4, -90}, {5, -90}, {4, -90}}, "turn by -360"},
		"length is not a number":         {square(math.NaN(), 4, 5, 4), "wall 1"},
	} {
		if _, _, err := Walk(c.legs); err == nil || !strings.Contains(err.Error(), c.want) || film.HintOf(err) == "" {
			t.Errorf("%s: %v, want %q", name, err, c.want)
		}
	}
}

func TestWalkAroundAnyRoom(t *testing.T) {
	// Measured without a fault, a room comes out as it is: the same lengths and
	// the same floor.
	rapid.Check(t, func(rt *rapid.T) {
		r := rooms(rt)
		legs := make([]Leg, len(r.Corners))
		for i := range legs {
			a, b := r.wall(i).along(), r.wall((i+1)%len(legs)).along()
			legs[i] = Leg{r.wall(i).length(), math.Atan2(-a.cross(b), a.dot(b)) * 180 / math.Pi}
		}
		corners, gap, err := Walk(legs)
		if err != nil || gap > 1e-6 {
			rt.Fatal(gap, err)
		}
		again := Room{Corners: corners, CeilingM: 2.5}
		if math.Abs(again.area()-r.area()) > 1e-6 || again.Check() != nil {
			rt.Fatalf("%g m², was %g: %v", again.area(), r.area(), again.Check())
		}
	})
}

func TestCheck(t *testing.T) {
	good := func() Room {
		r := box()
		r.Openings = []Opening{{Name: "balcony", Kind: Window, Wall: 1, FromM: 1, WidthM: 1.2, SillM: 0.9, TopM: 2.1}}
		r.Sockets = []Socket{{Name: "by the door", Wall: 3, AtM: 4}}
		r.Things = []Thing{{Name: "key", Kind: Lamp, At: Point{1, 1}, HeightM: 2.2}}
		return r
	}
	if err := good().Check(); err != nil {
		t.Fatal(err)
	}
	near(t, "floor", box().area(), 20, exact)
	near(t, "floor of the L", bent().area(), 6+15, exact)
	for name, c := range map[string]struct {
		spoil func(*Room)
		want  string
	}{
		"two corners":             {func(r *Room) { r.Corners = r.Corners[:2] }, "three corners"},
		"the wrong way around":    {func(r *Room) { r.Corners = []Point{{0, 0}, {4, 0}, {4, 5}, {0, 5}} }, "wrong way"},
		"walls that cross":        {func(r *Room) { r.Corners = []Point{{0, 0}, {4, 5}, {0, 5}, {4, 0}} }, "crosses"},
		"a window beyond its end": {func(r *Room) { r.Openings[0].FromM = 3 }, `window "balcony" does not fit`},
		"a sill under the floor":  {func(r *Room) { r.Openings[0].SillM = -0.1 }, "does not fit"},
		"higher than the ceiling": {func(r *Room) { r.Openings[0].TopM = 2.7 }, "does not fit"},
		"a lamp in the wall":      {func(r *Room) { r.Openings[0].Kind = Lamp }, "walls do not have"},
		"a socket elsewhere":      {func(r *Room) { r.Sockets[0].Wall = 4 }, "not on its wall"},
		"a lamp outside":          {func(r *Room) { r.Things[0].At.X = 5 }, "outside"},
		"a lamp through the roof": {func(r *Room) { r.Things[0].HeightM = 2.8 }, "2.80 m high under a ceiling of 2.60 m"},
	} {
		r := good()
		c.spoil(&r)
		if err := r.Check(); err == nil || !strings.Contains(err.Error(), c.want) || film.HintOf(err) == "" {
			t.Errorf("%s: %v, want %q", name, err, c.want)
		}
	}
}
