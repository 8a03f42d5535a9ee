package optics

import (
	"image"
	"image/color"
	"math"
	"testing"

	"takeweave/internal/film"
)

func TestMarks(t *testing.T) {
	stands := Figure{HeightM: 1.8}
	near(t, "eyes", stands.at("eyes"), 1.685, 0.0006) // 0.936 of 1.80 m
	near(t, "feet", stands.at("feet"), 0, 0)
	// Sitting on 0.45 m the head is 0.52 of the height above the seat, and the
	// upper body is as long as it was.
	sits := Figure{HeightM: 1.8, SeatM: 0.45}
	near(t, "head", sits.at("head"), 0.45+0.52*1.8, 1e-9)
	near(t, "trunk", sits.at("shoulders")-sits.at("hips"), stands.at("shoulders")-stands.at("hips"), 1e-9)
	near(t, "knees", sits.at("knees"), stands.at("knees"), 0)
	for _, f := range []Figure{stands, sits, {HeightM: 1.5, SeatM: 0.8}} {
		marks := f.Marks()
		for i := 1; i < len(marks); i++ {
			if marks[i].HeightM >= marks[i-1].HeightM {
				t.Errorf("%v: %v is not above %v", f, marks[i-1], marks[i])
			}
		}
	}
}

func TestCut(t *testing.T) {
	// Known by construction: 1.8 m standing in a frame from 0.6 to 1.7 m.
	s := uhd(40, 2, 1.1*40/20.25)
	s.AimM = 1.15
	k := Kept{Box: whole}
	if got := s.Cut(Figure{HeightM: 1.8}, k); got != "cuts head, knees, feet" {
		t.Error(got)
	}
	k.Box = Box{0, 0.2, 1, 0.6} // 0.82 to 1.48 m
	if got := s.Cut(Figure{HeightM: 1.8}, k); got != "cuts head, eyes, chin, knees, feet" {
		t.Error(got)
	}
	if got := s.Cut(Figure{HeightM: 1.69}, Kept{Box: Box{0, 0, 1, 2}}); got != "" {
		t.Error(got)
	}
}

func TestSizeNames(t *testing.T) {
	// Common practice, no standard: usual shares of a 1.75 m body in the frame.
	for _, c := range []struct {
		share float64
		name  string
	}{
		{3.1, "extreme wide"},
		{1.05, "wide"},
		{1.0, "wide"},
		{0.70, "medium wide"},
		{0.65, "medium wide"},
		{0.50, "medium"},
		{0.45, "medium"},
		{0.30, "medium close-up"},
		{0.22, "close-up"},
		{0.18, "close-up"},
		{0.11, "extreme close-up"},
	} {
		if got := SizeName(c.share); got != c.name {
			t.Errorf("%.2f: %q, want %q", c.share, got, c.name)
		}
	}
	if got := uhd(40, 2, 2.2).SizeName(Figure{HeightM: 1.75}); got != "medium wide" { // 1.11 m of 1.75
		t.Error(got)
	}
}

var loft = Scene{
	Figure:    Figure{HeightM: 1.75, SeatM: 0.5},
	Lights:    []PointLight{{Name: "left string", BehindM: 2.6, RightM: -0.6, HeightM: 1.6, Candela: 3}, {Name: "no meter", BehindM: 2, HeightM: 1}},
	Luminance: 12, Shapes: []film.Shape{"16:9", "9:16"}, LongPx: 3840, ShortPx: 2160,
}

func TestFrame(t *testing.T) {
	s := uhd(75, 2, 1.825) // 1.9 m from the principal plane, lamps 4.5 m
	f, err := s.Frame(loft, Usual())
	if err != nil {
		t.Fatal(err)
	}
	near(t, "disc", f.Discs[0].Pixels, 95, 0.5) // the forecast's 75 mm
	if !f.Discs[0].Known || f.Discs[1].Known {
		t.Errorf("%+v: stops are known where the lamp is measured", f.Discs)
	}
	if len(f.Crops) != 2 || f.Core.W >= 1 || len(f.Figure) != 5 {
		t.Errorf("%+v", f)
	}
	if b := f.Band; !(b.SwayNear < b.Near && b.Near < b.Subject && b.Subject < b.Far && b.Far < b.SwayFar) {
		t.Errorf("%+v: at f/2 the sway goes beyond what is sharp", b)
	}
	near(t, "sway", f.Band.SwayFar, 0.5+0.05/(2*1.825), 1e-9)
	bad := loft
	bad.Shapes = []film.Shape{"round"}
	if _, err := s.Frame(bad, Usual()); err == nil {
		t.Error("a round frame is taken")
	}
	if _, err := (Setup{}).Frame(loft, Usual()); err == nil {
		t.Error("an empty setup is taken")
	}
}

func TestDrawnDiscAgreesToOnePixel(t *testing.T) {
	// Drawn from the frame's numbers and measured from the picture, disc and
	// figure are where rays through the lens put them. By the rays: a point is seen
	// along the straight line through the middle of the lens, and its disc is the
	// cone from the aperture cut by the sensor.
	s := uhd(75, 2, 1.825)
	s.HeightM, s.AimM = 1.0, 1.2 // looking up
	f, err := s.Frame(loft, Usual())
	if err != nil {
		t.Fatal(err)
	}
	const w, h = 3840, 2160
	picture := image.NewGray(image.Rect(0, 0, w, h))
	d := f.Discs[0]
	r := d.Diameter * w / 2
	for y := range h {
		for x := range w {
			if math.Hypot(float64(x)+0.5-d.X*w, float64(y)+0.5-d.Y*h) <= r {
				picture.SetGray(x, y, color.Gray{255})
			}
		}
	}
	left, right, top, bottom := w, 0, h, 0
	for y := range h {
		for x := range w {
			if picture.GrayAt(x, y).Y > 0 {
				left, right, top, bottom = min(left, x), max(right, x+1), min(top, y), max(bottom, y+1)
			}
		}
	}
	const image, source = 75.0 * 1900 / (1900 - 75), 75.0 * 4500 / (4500 - 75) // where they are sharp, behind the lens
	cone := 75.0 / 2 * (image - source) / source                               // of the aperture's 37.5 mm
	near(t, "width", float64(right-left), cone/36*w, 1)
	near(t, "height", float64(bottom-top), cone/36*w, 1)
	alongX := -0.6 / 4.5 * image / 36 * w
	axis := 1.2 + 0.2*2.6/1.825
	alongY := -(1.6 - axis) / 4.5 * image / 20.25 * h
	near(t, "across", float64(left+right)/2, w/2+alongX, 1)
	near(t, "up", float64(top+bottom)/2, h/2+alongY, 1)
	// The head's top: 0.5 + 0.52 x 1.75 m above the floor.
	head := f.Figure[0].Box
	near(t, "head across", (head.X+head.W/2)*w, w/2, 1)
	near(t, "head as wide as high", head.W*w, head.H*h, 1)
	near(t, "head", head.Y*h, h/2-(0.5+0.91-1.2)/1.9/1.0*image/20.25*h, 1)
}
