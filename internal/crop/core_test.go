package crop

import (
	"math"
	"testing"

	"takeweave/internal/film"

	"pgregory.net/rapid"
)

func TestCore(t *testing.T) {
	core, kept, err := Core(1920, 1080, []film.Shape{"16:9", "2.39:1", "9:16"}, Centre)
	if err != nil {
		t.Fatal(err)
	}
	if want := (Rect{656, 138, 608, 804}); core != want {
		t.Errorf("core %+v, want %+v", core, want)
	}
	if kept[0].Top != 0 || kept[0].Left != 0 {
		t.Errorf("the picture's own shape loses %+v", kept[0])
	}
	if got, want := kept[1].Top, 138.0/1080; math.Abs(got-want) > 1e-12 {
		t.Errorf("2.39:1 loses %v of the headroom, want %v", got, want)
	}
	if kept[2].Top != 0 || math.Abs(kept[2].Right-656.0/1920) > 1e-12 {
		t.Errorf("9:16 loses %+v", kept[2])
	}
	if _, _, err := Core(1920, 1080, []film.Shape{"x"}, Centre); err == nil {
		t.Error("a shape that is none is taken")
	}
}

// TestCoreIsCommon: a pixel is in the core exactly when every shape keeps it.
func TestCoreIsCommon(t *testing.T) {
	all := []film.Shape{"16:9", "2.39:1", "9:16", "4:5", "1:1", "3:2"}
	rapid.Check(t, func(t *rapid.T) {
		pw, ph := rapid.IntRange(64, 4096).Draw(t, "pw"), rapid.IntRange(64, 4096).Draw(t, "ph")
		on := Point{rapid.Float64Range(-0.2, 1.2).Draw(t, "x"), rapid.Float64Range(-0.2, 1.2).Draw(t, "y")}
		core, kept, err := Core(pw, ph, rapid.SliceOfN(rapid.SampledFrom(all), 0, 5).Draw(t, "shapes"), on)
		if err != nil {
			t.Fatal(err)
		}
		inside := func(r Rect, x, y float64) bool {
			return x >= r.X && x < r.X+float64(r.W) && y >= r.Y && y < r.Y+float64(r.H)
		}
		for range 20 {
			x, y := float64(rapid.IntRange(0, pw-1).Draw(t, "px"))+0.5, float64(rapid.IntRange(0, ph-1).Draw(t, "py"))+0.5
			want := true
			for _, k := range kept {
				want = want && inside(k.Rect, x, y)
				if k.Top < 0 || k.Bottom < 0 || k.Left < 0 || k.Right < 0 {
					t.Fatalf("%+v leaves the picture", k)
				}
			}
			if got := inside(core, x, y); got != want {
				t.Fatalf("%v, %v in the core: %v, want %v", x, y, got, want)
			}
		}
	})
}
