package picture

import (
	"math"
	"testing"
)

func TestExposure(t *testing.T) {
	const width, height = 80, 60
	pix := make([]byte, width*height)
	for y := range height {
		for x := range width {
			v := byte(100)
			switch {
			case y < 10: // one row of cells is white, at several codes
				v = 250 + byte(x%6)
			case y >= 50: // one is black
				v = byte(x % 6)
			case x < 10 && x >= 5: // half of a column
				v = 249
			case x < 5:
				v = 6
			}
			pix[y*width+x] = v
		}
	}
	var now moment
	exposure(&now, pix, width, height)
	for c := range cells {
		want := 0.0
		if c < columns {
			want = 1
		}
		if math.Abs(float64(now.clipped[c])-want) > 1e-6 {
			t.Errorf("cell %d: %v clipped, want %v", c, now.clipped[c], want)
		}
	}
	if math.Abs(now.crushed-1.0/6) > 1e-9 || now.middle != 100 {
		t.Errorf("crushed %v, want a sixth; middle %v, want 100", now.crushed, now.middle)
	}
	if got, want := now.level[columns], float32(249+6)/2; got != want {
		t.Errorf("a cell of two halves: %v, want %v", got, want)
	}
}

// TestStepStops: light that halves takes the level to 2^(-1/2.4) of itself
// [BT1886].
func TestStepStops(t *testing.T) {
	var before, halved, moved [cells]float32
	for c := range cells {
		before[c] = float32(20 + 4*c)
		halved[c] = before[c] * float32(math.Pow(2, -1/2.4))
		moved[c] = before[c]
		if c%3 == 0 { // somebody dark walks through a third of the picture
			moved[c] = 15
		}
	}
	if got := stepStops(&before, &halved); math.Abs(got+1) > 1e-5 {
		t.Errorf("half the light: %v stops, want -1", got)
	}
	if got := stepStops(&before, &moved); got != 0 {
		t.Errorf("somebody walks through: %v stops", got)
	}
	var lit, switched, dark [cells]float32
	lit[20], switched[20] = 100, 200 // one lamp in the dark
	if got := stepStops(&lit, &switched); got != 0 {
		t.Errorf("one lamp in the dark: %v stops", got)
	}
	if got := stepStops(&before, &dark); got != 0 {
		t.Errorf("out of the dark nothing can be told: %v stops", got)
	}
}

// TestGrey: the luma of pure colours [BT709], in 255 of white.
func TestGrey(t *testing.T) {
	dst := make([]byte, 5)
	Grey(dst, []byte{255, 0, 0, 0, 255, 0, 0, 0, 255, 255, 255, 255, 0, 0, 0})
	for i, want := range []byte{54, 182, 18, 255, 0} { // 54.2, 182.4, 18.4
		if dst[i] != want {
			t.Errorf("colour %d: %d, want %d", i, dst[i], want)
		}
	}
}
