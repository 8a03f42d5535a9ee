package room

import "testing"

func TestPointLights(t *testing.T) {
	// The camera stands at (0.5, 3) and looks right: up the plan is to the left.
	r := box()
	r.Things = []Thing{
		{Name: "string", Kind: Practical, At: Point{3.5, 3.4}, HeightM: 1.6},
		{Name: "before her", Kind: Practical, At: Point{1, 3}, HeightM: 1},
		{Name: "key", Kind: Lamp, At: Point{3.5, 2}, HeightM: 2},
	}
	got := r.PointLights(setup(270, 1.5), Point{2, 3})
	if len(got) != 1 || got[0].Name != "string" {
		t.Fatalf("%+v", got)
	}
	near(t, "behind", got[0].BehindM, 1.5, exact)
	near(t, "right", got[0].RightM, -0.4, exact)
	near(t, "height", got[0].HeightM, 1.6, exact)
}
