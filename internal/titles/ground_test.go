package titles

import (
	"image"
	"image/color"
	"math"
	"testing"
)

// Ratios by [WCAG22]: black and white give 21:1 by the definition; #767676 is the
// lightest grey that reaches 4.5:1 on white, #777777 with 4.48 does not (common
// practice); the primaries' luminances are the definition's weights.
func TestContrast(t *testing.T) {
	white, black := color.RGBA{255, 255, 255, 255}, color.RGBA{0, 0, 0, 255}
	for _, c := range []struct {
		a, b color.RGBA
		want float64
	}{
		{black, white, 21},
		{white, white, 1},
		{white, color.RGBA{0x76, 0x76, 0x76, 255}, 4.54},
		{color.RGBA{0x77, 0x77, 0x77, 255}, white, 4.48},
		{color.RGBA{255, 0, 0, 255}, black, (0.2126 + 0.05) / 0.05},
		{color.RGBA{0, 255, 0, 255}, black, (0.7152 + 0.05) / 0.05},
		{color.RGBA{0, 0, 255, 255}, black, (0.0722 + 0.05) / 0.05},
	} {
		if got := Contrast(c.a, c.b); math.Abs(got-c.want) > 0.005 {
			t.Errorf("%v on %v: %.3f, want %.3f", c.a, c.b, got, c.want)
		}
	}
}

// The obvious twin works out every pixel by itself.
func TestGround(t *testing.T) {
	core, frame := image.Rect(20, 30, 60, 50), image.Rect(0, 0, 70, 100)
	img := groundUnder(core, 15, 25, frame)
	if want := image.Rect(5, 5, 70, 75); img.Bounds() != want {
		t.Fatalf("the ground covers %v, want %v", img.Bounds(), want)
	}
	smooth := func(far, soft float64) float64 {
		u := min(1, far/soft)
		return 1 - 6*math.Pow(u, 5) + 15*math.Pow(u, 4) - 10*math.Pow(u, 3)
	}
	for y := 5; y < 75; y++ {
		for x := 5; x < 70; x++ {
			dx, dy := float64(max(20-x, x-59, 0)), float64(max(30-y, y-49, 0))
			want := groundAlpha * smooth(dx, 15) * smooth(dy, 25) * 255
			// Alpha is a whole number.
			if c := img.NRGBAAt(x, y); math.Abs(float64(c.A)-want) > 0.51 || c.R != dark.R || c.B != dark.B {
				t.Fatalf("at %d, %d it is %v, want alpha %.1f", x, y, c, want)
			}
		}
	}
}

func TestLayOver(t *testing.T) {
	img := image.NewNRGBA(image.Rect(0, 0, 3, 1))
	for x := range 3 {
		img.SetNRGBA(x, 0, color.NRGBA{0, 0, 0, 128})
	}
	mask := image.NewRGBA(image.Rect(0, 0, 5, 2)) // larger than the picture
	mask.SetRGBA(1, 0, color.RGBA{128, 128, 128, 128})
	mask.SetRGBA(2, 0, color.RGBA{255, 255, 255, 255})
	layOver(img, mask, color.RGBA{200, 100, 50, 255})
	// Half of a colour over half of black: alpha 3/4, two thirds of the colour.
	for x, want := range []color.NRGBA{{0, 0, 0, 128}, {133, 67, 33, 191}, {200, 100, 50, 255}} {
		got := img.NRGBAAt(x, 0)
		for _, d := range []int{int(got.R) - int(want.R), int(got.G) - int(want.G), int(got.B) - int(want.B), int(got.A) - int(want.A)} {
			if d < -1 || d > 1 {
				t.Errorf("pixel %d is %v, want %v", x, got, want)
			}
		}
	}
}
