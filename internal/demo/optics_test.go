package demo

import (
	"math"
	"testing"
)

// TestDiscAgainstWorkedRows compares with rows worked by hand from the thin
// lens; printed to four decimals, so half a unit of the last is the tolerance.
func TestDiscAgainstWorkedRows(t *testing.T) {
	const tolerance = 0.00005
	for _, c := range []struct {
		focalMM, stop, focusMM, atMM, heightMM float64
		discMM, px1080                         float64
	}{
		{50, 2.8, 2000, 5000, 20.25, 0.2747, 14.65},
		{50, 2.8, 2000, math.Inf(1), 20.25, 0.4579, 24.42},
		{50, 2.8, 2000, 1500, 20.25, 0.1526, 8.14},
		{85, 2.0, 2500, 5000, 20.25, 0.7479, 39.89},
		{35, 4.0, 2500, 6000, 14.00, 0.0725, 5.59},
		{25, 1.4, 2000, 5000, 9.73, 0.1356, 15.05},
	} {
		got := lens{c.focalMM, c.stop, c.focusMM}.discMM(c.atMM)
		if math.Abs(got-c.discMM) > tolerance {
			t.Errorf("%v mm f/%v focused at %v, point at %v: disc %.5f mm, want %.4f", c.focalMM, c.stop, c.focusMM, c.atMM, got, c.discMM)
		}
		if c.heightMM == sensorHeightMM {
			v := view{lens: lens{c.focalMM, c.stop, c.focusMM}, width: 1920, height: 1080}
			if px := v.discPx((c.atMM - c.focusMM) / 1000); math.Abs(px-c.px1080) > 0.006 {
				t.Errorf("%v mm f/%v, point at %v: %.3f px of 1080, want %.2f", c.focalMM, c.stop, c.atMM, px, c.px1080)
			}
		}
	}
}

// TestDiscAtPublishedLimits: at the limits of the depth of field the disc is
// the circle of confusion. Source: the example of Wikipedia's "Hyperfocal
// distance" (50 mm, f/8, c = 0.03 mm: 10 467 mm, near limit 5 233 mm), printed
// to a millimetre.
func TestDiscAtPublishedLimits(t *testing.T) {
	const hyperfocalMM, nearMM, c = 10467, 5233, 0.03
	l := lens{50, 8, hyperfocalMM}
	for _, at := range []float64{nearMM, math.Inf(1)} {
		if got := l.discMM(at); math.Abs(got-c)/c > 0.0005 { // a millimetre in five metres is 0.0002
			t.Errorf("disc of a point at %v mm is %.5f mm, want %v", at, got, c)
		}
	}
}

// TestFieldWidth compares with worked rows of W = w (s - f) / f.
func TestFieldWidth(t *testing.T) {
	for _, c := range []struct{ focal, focus, want float64 }{{50, 2000, 1404.0}, {35, 2500, 2535.4}} {
		if got := (lens{c.focal, 2, c.focus}).fieldWidthMM(c.focus); math.Abs(got-c.want) > 0.05 {
			t.Errorf("%v mm at %v mm: field %.2f mm, want %.1f", c.focal, c.focus, got, c.want)
		}
	}
}

// TestLampsAreDrawnAsLargeAsTheLensMakesThem measures a disc on the canvas.
func TestLampsAreDrawnAsLargeAsTheLensMakesThem(t *testing.T) {
	for _, p := range positions {
		v := view{lens: p.lens, width: 640, height: 360}
		const behind = 1.5
		want := v.discPx(behind)
		if want < 8 {
			continue // too small to measure in pixels
		}
		c := newCanvas(640, 360)
		drawLamps(c, v, []lamp{{pt: pt{}, behind: behind, drawnAt: behind, light: rgb(200, 200, 200)}}, 0, 0, 0)
		lit := 0
		for _, q := range c.pix {
			if q&255 > 40 {
				lit++
			}
		}
		if got := 2 * math.Sqrt(float64(lit)/math.Pi); math.Abs(got-want) > 1 { // the edge is a pixel wide
			t.Errorf("%s: a lamp %.1f m behind is %.1f px wide, optics say %.1f", p.setup.Name, behind, got, want)
		}
	}
}
