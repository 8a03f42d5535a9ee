package crop

import (
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

func TestAcross(t *testing.T) {
	tall := largest(t, 1920, 1080, "9:16") // 608 wide, 1312 of room
	for _, c := range []struct {
		name         string
		box          Box
		lo, best, hi float64
	}{
		// The middle of the box less half the window, and 0.08·608 to either side.
		{"a subject with air around it", Box{X: 0.4, W: 0.1}, 864 - 304 - 48.64, 864 - 304, 864 - 304 + 48.64},
		{"one wider than the window", Box{X: 0.3, W: 0.4}, 656 - 24.32, 656, 656 + 24.32},
		{"one at the picture's side", Box{X: 0, W: 0.1}, 0, 0, 0},
		{"one at the other side", Box{X: 0.9, W: 0.1}, 1312, 1312, 1312},
	} {
		got := tall.across(c.box)
		for _, v := range [][2]float64{{got.lo, c.lo}, {got.best, c.best}, {got.hi, c.hi}} {
			if math.Abs(v[0]-v[1]) > 1e-9 {
				t.Errorf("%s: %+v, want %v %v %v", c.name, got, c.lo, c.best, c.hi)
				break
			}
		}
	}
}

// TestBandsKeepTheSubject: wherever the window stands in its bands, a subject
// that fits is whole in the frame, and the head is below the frame's top and in
// its upper third, as far as the picture's own edge allows.
func TestBandsKeepTheSubject(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w := largest(t, 1920, 1080, "2.39:1")
		if rapid.Bool().Draw(t, "tall") {
			w = largest(t, 1920, 1080, "9:16")
		}
		share := func(name string) float64 { return rapid.Float64Range(0, 1).Draw(t, name) }
		bw, bh := 0.02+0.9*share("width"), 0.02+0.9*share("height")
		box := Box{share("x") * (1 - bw), share("y") * (1 - bh), bw, bh}
		across, down := w.across(box), w.down(box)
		roomX, roomY := w.room()
		for name, b := range map[string]struct {
			band
			room float64
		}{"across": {across, roomX}, "down": {down, roomY}} {
			if !slices.IsSorted([]float64{0, b.least, b.lo, b.best, b.hi, b.most, b.room}) {
				t.Fatalf("%s: %+v", name, b)
			}
		}
		x := across.lo + share("at")*(across.hi-across.lo)
		left, right := box.X*1920-x, x+float64(w.W)-(box.X+box.W)*1920
		if box.W*1920 <= float64(w.W)*(1-2*(edge+easedOff)-still) && (left < 0 || right < 0) {
			t.Fatalf("a subject that fits is cut: %v, %v", left, right)
		}
		y := down.lo + share("at")*(down.hi-down.lo)
		above := (box.Y*1080 - y) / float64(w.H)
		if above < leastHeadroom && y > 0 && y < roomY {
			t.Fatalf("headroom %v of the frame", above)
		}
		if above > mostHeadroom && y > 0 && y < roomY {
			t.Fatalf("the head is %v of the frame down", above)
		}
		if below := y + float64(w.H) - (box.Y+box.H)*1080; box.H*1080 <= float64(w.H)*(1-leastHeadroom-2*easedOff-edge-still) && below < 0 {
			t.Fatalf("a subject that fits is cut below by %v", -below)
		}
	})
}

func TestDownPutsTheHeadHigh(t *testing.T) {
	wide := largest(t, 1920, 1080, "2.39:1")
	// A whole figure, as tall as the frame: its head stays, its feet go.
	figure := Box{0.4, 0.2, 0.2, 0.8}
	b := wide.down(figure)
	if above := (0.2*1080 - b.best) / 804; math.Abs(above-headroom) > 1e-9 {
		t.Errorf("headroom %v of the frame, want %v", above, headroom)
	}
	// Head and shoulders, already high in the picture.
	if b := wide.down(Box{0.4, 0, 0.2, 0.3}); b.best != 0 {
		t.Errorf("the window stands at %v, want the picture's top", b.best)
	}
}
