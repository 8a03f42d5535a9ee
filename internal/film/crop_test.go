package film

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// A part of a shot shows frame by frame what the whole shows there.
func TestCropOfAPart(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := Crop{PictureW: 1920, PictureH: 1080, W: 608, H: 1080}
		frame := Frames(0)
		for range rapid.IntRange(1, 5).Draw(t, "keys") {
			c.Keys = append(c.Keys, CropKey{frame, rapid.Float64Range(0, 1312).Draw(t, "x"), 0})
			frame += Frames(rapid.IntRange(1, 40).Draw(t, "step"))
		}
		first := Frames(rapid.IntRange(0, 100).Draw(t, "first"))
		end := first + Frames(rapid.IntRange(1, 100).Draw(t, "length"))
		part := c.Of(first, end)
		for f := first; f < end; f++ {
			x, _ := c.At(f)
			if got, _ := part.At(f - first); math.Abs(got-x) > 1e-6 {
				t.Fatalf("frame %d: %g, want %g", f, got, x)
			}
		}
	})
}

func TestCropStandsStillOutsideItsKeys(t *testing.T) {
	c := Crop{Keys: []CropKey{{10, 100, 5}, {20, 200, 25}}}
	for frame, want := range map[Frames][2]float64{0: {100, 5}, 10: {100, 5}, 15: {150, 15}, 20: {200, 25}, 99: {200, 25}} {
		if x, y := c.At(frame); x != want[0] || y != want[1] {
			t.Errorf("frame %d: %g, %g, want %v", frame, x, y, want)
		}
	}
}
