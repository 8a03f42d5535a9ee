package room

import (
	"math"
	"slices"
	"testing"

	"takeweave/internal/optics"

	"pgregory.net/rapid"
)

// setup is a full-frame camera with 36 mm: a metre of frame for a metre of depth.
func setup(axis, distance float64) optics.Setup {
	return optics.Setup{
		Name: "mid", Sensor: optics.Sensor{WidthMM: 36, HeightMM: 20.25}, PixelsW: 3840, PixelsH: 2160,
		FocalMM: 36, Stop: 2, DistanceM: distance, HeightM: 1.2, AimM: 1.2, AxisDeg: axis,
	}
}

func TestStand(t *testing.T) {
	r := box()
	nell := Point{2, 4}
	// Towards the bottom wall there are 4 m, less 0.4 m of clearance.
	if s := r.Stand(nell, 180, 3.6, 0.4); !s.OK || s.At.to(Point{2, 0.4}).length() > exact {
		t.Errorf("%+v", s)
	}
	s := r.Stand(nell, 180, 3.9, 0.4)
	if s.OK || s.Reason != "no room at 3.90 m; the nearest place is at 3.60 m" {
		t.Errorf("%+v", s)
	}
	near(t, "nearest", s.DistanceM, 3.6, 0.011)
	// A cupboard from 1.5 to 2.5 m away: in front of it, or behind it if that were
	// nearer and in sight, which it is not.
	r.Things = []Thing{{Name: "cupboard", Kind: Furniture, At: Point{2, 2}, RadiusM: 0.5}}
	near(t, "before the cupboard", r.Stand(nell, 180, 3.2, 0.4).DistanceM, 1.1, 0.011)
	if s := r.Stand(Point{2, 4.9}, 0, 2, 0.4); s.OK || s.DistanceM != 0 {
		t.Errorf("into the wall: %+v", s)
	}
}

func TestStandIsFreeAndNearest(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		r, p := rooms(rt), Point{10, -3}
		towards, want := rapid.Float64Range(0, 360).Draw(rt, "towards"), rapid.Float64Range(0.5, 8).Draw(rt, "want")
		const clearance = 0.2
		s := r.Stand(p, towards, want, clearance)
		if s.DistanceM == 0 {
			return
		}
		if r.freeM(s.At) < clearance || r.Blocked(p, s.At) != "" {
			rt.Fatalf("%+v is not free", s)
		}
		// Nowhere nearer to what is wanted is free, but for the step of a centimetre.
		for m := 0.0; m < 10; m += 0.037 {
			at := p.plus(direction(towards), m)
			if math.Abs(m-want) < math.Abs(s.DistanceM-want)-0.02 && r.freeM(at) >= clearance+0.02 && r.Blocked(p, at) == "" {
				rt.Fatalf("%+v, but %g m is free", s, m)
			}
		}
	})
}

func TestLookAndPlace(t *testing.T) {
	// From 2 m below, looking up the plan: right is right.
	nell := Point{2, 4}
	s := setup(180, 2)
	s.HeightM, s.AimM = 1.0, 1.3
	v := Look(s, nell)
	near(t, "eye", v.Eye.to(Point{2, 2}).length(), 0, exact)
	for _, c := range []struct {
		at         Point
		height     float64
		x, y, deep float64
	}{
		{nell, 1.3, 0.5, 0.5, 2},                 // the aim is in the middle
		{Point{3, 4}, 1.3, 1, 0.5, 2},            // 1 m to the right of 2 m of frame
		{Point{1.5, 3}, 1.15, 0, 0.5, 1},         // half a metre to the left at 1 m
		{nell, 1.3 + 0.5*2*0.5625, 0.5, 0, 2},    // the frame's top
		{Point{2, 5}, 1.45 - 0.84375, 0.5, 1, 3}, // and its bottom at 3 m, where the axis is at 1.45
	} {
		x, y, deep := v.Place(c.at, c.height)
		near(t, "x", x, c.x, exact)
		near(t, "y", y, c.y, exact)
		near(t, "depth", deep, c.deep, exact)
	}
	// What optics draws and what the room says is the same: a lamp 1 m behind.
	d := s.Disc(optics.PointLight{BehindM: 1, RightM: 0.3, HeightM: 1.7}, 3840, 0)
	x, y, _ := v.Place(Point{2.3, 5}, 1.7)
	// Optics counts the field from the lens's middle, a focal length behind the
	// point the room looks from: at most 36 mm in 3 m.
	near(t, "across", x, d.X, 0.002)
	near(t, "up", y, d.Y, 0.004)
}

func TestWalls(t *testing.T) {
	r := box()
	r.Openings = []Opening{
		{Name: "window", Kind: Window, Wall: 1, FromM: 1.0, WidthM: 0.8, SillM: 0.9, TopM: 2.1},
		{Name: "skylight", Kind: Window, Wall: 1, FromM: 2.2, WidthM: 0.5, SillM: 2.4, TopM: 2.5},
	}
	// The eye at (2, 1), looking up with a metre of frame per metre: the top wall is
	// 4 m away and 4 m wide, so it just fills the frame.
	v := Look(setup(180, 3), Point{2, 4})
	seen := r.Walls(v)
	if len(seen) != 3 || seen[0].Name != "wall 2" || seen[1].Name != "window" || seen[2].Name != "wall 2" {
		t.Fatalf("%+v", seen)
	}
	const column = 1.0 / columns
	w := seen[1]
	near(t, "from", w.Box.X, 0.25, column)
	near(t, "wide", w.Box.W, 0.2, 2*column)
	near(t, "top", w.Box.Y, 0.5-(2.1-1.2)/(4*0.5625), exact)
	near(t, "bottom", w.Box.Y+w.Box.H, 0.5-(0.9-1.2)/(4*0.5625), exact)
	near(t, "depth", w.DepthM, 4, exact)
	// A window in the left wall, seen at a slant, looks as high as it does at its
	// near end: from (2, 1), turned to the left, that is 2 m away at 45 degrees.
	r.Openings = []Opening{{Name: "slant", Kind: Window, Wall: 0, FromM: 3, WidthM: 1.5, SillM: 1, TopM: 1.9}}
	v.TowardsDeg = 315
	seen = r.Walls(v)
	i := slices.IndexFunc(seen, func(s Seen) bool { return s.Name == "slant" })
	if i < 0 {
		t.Fatalf("%+v", seen)
	}
	nearEnd := 4 / math.Sqrt2 // depth of (0, 3) along the axis
	near(t, "top at the near end", seen[i].Box.Y, 0.5-0.7/(nearEnd*0.5625), 0.001)
	near(t, "bottom at the near end", seen[i].Box.Y+seen[i].Box.H, 0.5+0.2/(nearEnd*0.5625), 0.001)
	near(t, "depth of the near end", seen[i].DepthM, nearEnd, 0.01)
	// In the L the far arm is hidden behind the inner corner.
	v = Look(setup(180, 2), Point{4, 2.9}) // eye at (4, 0.9)
	v.TowardsDeg = 315
	for _, s := range bent().Walls(v) {
		if s.Name == "wall 2" {
			t.Errorf("the end of the far arm is seen: %+v", s)
		}
	}
}

func TestHitsAgainstSmallSteps(t *testing.T) {
	// The slow twin walks along the ray until it is outside.
	rapid.Check(t, func(rt *rapid.T) {
		r := rooms(rt)
		v := Look(setup(rapid.Float64Range(0, 360).Draw(rt, "axis"), 0.5), Point{10, -3})
		if !r.Inside(v.Eye) {
			return
		}
		hits := r.hits(v)
		ahead, right := v.axes()
		for _, i := range []int{0, 250, 500, 999} {
			ray := ahead.plus(right, (float64(i)+0.5)/columns*v.WidthM-0.5*v.WidthM)
			const step = 0.005
			m := 0.0
			for r.Inside(v.Eye.plus(ray, m)) {
				m += step
			}
			if h := hits[i]; h.wall < 0 || math.Abs(h.depthM-m) > 2*step {
				if math.Abs(r.freeM(v.Eye.plus(ray, h.depthM))) > 1e-6 || h.depthM > m+2*step {
					rt.Fatalf("column %d ends at %g, by steps at %g", i, h.depthM, m)
				}
			}
		}
	})
}

func TestInFrame(t *testing.T) {
	r := box()
	r.Things = []Thing{
		{Name: "back", Kind: Lamp, At: Point{3, 4.5}, RadiusM: 0.2, HeightM: 2.2},
		{Name: "Nell", Kind: Musician, At: Point{2, 4}, RadiusM: 0.3, HeightM: 1.7},
		{Name: "key", Kind: Lamp, At: Point{0.2, 3.5}, RadiusM: 0.2, HeightM: 2.2},     // left of the frame
		{Name: "edge", Kind: Lamp, At: Point{0.65, 3.5}, RadiusM: 0.2, HeightM: 2.2},   // its right side reaches in: 0.85 of 0.75
		{Name: "behind", Kind: Practical, At: Point{2, 0.5}, RadiusM: 0.1, HeightM: 1}, // the camera
		{Name: "low", Kind: Practical, At: Point{2.2, 2}, RadiusM: 0.1, HeightM: 0.2},  // under it
	}
	var names string
	for _, s := range r.InFrame(Look(setup(180, 3), Point{2, 4})) {
		names += s.Name + " "
	}
	if names != "edge Nell back " {
		t.Error(names)
	}
	r.Things = append(r.Things, Thing{Name: "screen", Kind: Furniture, At: Point{2.75, 3.5}, RadiusM: 0.2, HeightM: 1.5})
	names = ""
	for _, s := range r.InFrame(Look(setup(180, 3), Point{2, 4})) {
		names += s.Name + " "
	}
	if names != "edge screen Nell " {
		t.Errorf("with a screen before the back lamp: %s", names)
	}
}
