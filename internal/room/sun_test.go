package room

import (
	"math"
	"testing"

	"takeweave/internal/sun"
)

func TestDirectSun(t *testing.T) {
	// The window is on wall 1, the top; up points to 200 degrees, so it faces there.
	r := box()
	r.UpDeg = 200
	r.Openings = []Opening{
		{Name: "street", Kind: Window, Wall: 1, FromM: 1, WidthM: 1.2, SillM: 0.9, TopM: 2.1, ThickM: 0.3},
		{Name: "door", Kind: Door, Wall: 0, FromM: 1, WidthM: 0.9, TopM: 2},
	}
	winter := sun.Day{Year: 2026, Month: 11, Day: 25, ZoneMin: 60, Place: sun.Place{LatitudeDeg: 50.9, LongitudeDeg: 11.6}}
	p := Point{2.0, 3.5}
	got := r.DirectSun(winter, p, 1.2)
	// The same by hand for the window itself: 1.5 m behind, 0.4 m to the right of
	// its middle at 1.6 m.
	want := winter.Through(sun.Window{BearingDeg: 200, WidthM: 1.2, SillM: 0.9, LintelM: 2.1, WallM: 0.3}, sun.Inside{BackM: 1.5, RightM: 0.4, HeightM: 1.2})
	if len(got) != 1 || got[0].Window != "street" || len(got[0].Spans) != len(want) || len(want) == 0 {
		t.Fatalf("%+v, want %+v", got, want)
	}
	for i := range want {
		near(t, "from", float64(got[0].Spans[i].From), float64(want[i].From), 0.01)
		near(t, "to", float64(got[0].Spans[i].To), float64(want[i].To), 0.01)
	}
	// A cupboard between takes it all away.
	r.Things = []Thing{{Name: "cupboard", Kind: Furniture, At: Point{1.8, 4.4}, RadiusM: 0.45}}
	if got := r.DirectSun(winter, p, 1.2); len(got) != 0 {
		t.Errorf("through a cupboard: %+v", got)
	}
}

func TestRayComesFromTheSun(t *testing.T) {
	// From the point to where the ray comes in is the sun's bearing.
	r := bent()
	r.UpDeg = 37
	o := Opening{Kind: Window, Wall: 0, FromM: 2, WidthM: 2, TopM: 2}
	p := Point{1.5, 2.5}
	w, in := r.windowTo(o, p, 1)
	near(t, "bearing", w.BearingDeg, 270+37, exact)
	for _, azimuth := range []float64{280, 307, 340} {
		at := r.entry(o, w, in, sun.Position{AzimuthDeg: azimuth})
		near(t, "in the wall", at.X, 0, exact)
		near(t, "from the sun", math.Mod(degreesOf(p.to(at))+37, 360), azimuth, 1e-6)
	}
}
