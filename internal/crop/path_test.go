package crop

import (
	"math"
	"testing"

	"takeweave/internal/film"

	"pgregory.net/rapid"
)

var pal = film.Rate{Num: 25, Den: 1}

// seen returns sightings each step seconds in which the middle of a box of the
// given width goes as x(t), in shares of the picture.
func seen(seconds, step, width float64, x func(t float64) float64) []Sighting {
	var all []Sighting
	for t := 0.0; t <= seconds; t += step {
		all = append(all, Sighting{film.PassTime(t), Box{x(t) - width/2, 0.15, width, 0.7}, 0.9})
	}
	return all
}

func shot(seconds float64) Stretch {
	return Stretch{Speed: 1, Frames: film.Frames(seconds * 25), Rate: pal}
}

// limits fails when a path leaves the picture, is too fast or turns too hard.
func limits(t rapid.TB, p Path) {
	t.Helper()
	dt := p.Stretch.Rate.FrameSeconds()
	width := float64(p.Window.W)
	// Rounding: places of up to 1e4 pixels, divided by dt² of up to 1/3600 s².
	const slack = 1e-6
	for i := range p.Stretch.Frames {
		r := p.At(i)
		if r.W != p.Window.W || r.H != p.Window.H {
			t.Fatalf("frame %d: the window changes to %+v", i, r)
		}
		if r.X < 0 || r.Y < 0 || r.X+float64(r.W) > float64(p.Window.PictureW) || r.Y+float64(r.H) > float64(p.Window.PictureH) {
			t.Fatalf("frame %d: %+v leaves the picture", i, r)
		}
		if i == 0 {
			continue
		}
		q := p.At(i - 1)
		if v := math.Hypot(r.X-q.X, r.Y-q.Y) / dt; v > 0.1*width+slack {
			t.Fatalf("frame %d: %v of the frame width per second", i, v/width)
		}
		if i == 1 {
			continue
		}
		o := p.At(i - 2)
		if a := math.Hypot(r.X-2*q.X+o.X, r.Y-2*q.Y+o.Y) / (dt * dt); a > 0.2*width+slack {
			t.Fatalf("frame %d: turns by %v of the frame width per second in a second", i, a/width)
		}
	}
}

func TestFollowKeepsItsLimits(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		picture := rapid.SampledFrom([][2]int{{1920, 1080}, {1080, 1920}, {1919, 1079}, {3840, 2160}, {640, 480}}).Draw(t, "picture")
		shape := rapid.SampledFrom([]film.Shape{"16:9", "2.39:1", "9:16", "4:5", "1:1"}).Draw(t, "shape")
		rate := rapid.SampledFrom([]film.Rate{pal, {Num: 24000, Den: 1001}, {Num: 60, Den: 1}}).Draw(t, "rate")
		share := func(name string) float64 { return rapid.Float64Range(-0.1, 1.1).Draw(t, name) }
		var all []Sighting
		for range rapid.IntRange(0, 30).Draw(t, "sightings") {
			all = append(all, Sighting{
				film.PassTime(rapid.Float64Range(95, 112).Draw(t, "at")),
				Box{share("x"), share("y"), share("w"), share("h")},
				share("confidence"),
			})
		}
		s := Stretch{100, rapid.Float64Range(0.5, 2).Draw(t, "speed"), film.Frames(rapid.IntRange(0, 240).Draw(t, "frames")), rate}
		w := largest(t, picture[0], picture[1], shape)
		p := Follow(w, all, s, Point{share("px"), share("py")})
		limits(t, p)
		if roomX, roomY := w.room(); roomX == 0 && roomY == 0 && (!p.Stands() || p.Keys[0] != Key{}) {
			t.Fatalf("no room, but keys %+v", p.Keys)
		}
	})
}

func TestFollowStandsForASwayingMusician(t *testing.T) {
	w := largest(t, 1920, 1080, "9:16")
	// Sways by 5 % of the window (1.6 % of the picture) to either side, each
	// 1.7 s, with sightings that shake by another 2 %.
	shake := rand(1)
	p := Follow(w, seen(20, 0.2, 0.15, func(t float64) float64 {
		return 0.45 + 0.016*math.Sin(2*math.Pi*t/1.7) + 0.006*(2*shake()-1)
	}), shot(20), Centre)
	if !p.Stands() {
		t.Fatalf("%d keys", len(p.Keys))
	}
	// 0.45·1920 - 304 = 560; the best standing place is the median.
	if x := p.At(0).X; math.Abs(x-560) > 10 || math.Mod(x, 2) != 0 {
		t.Errorf("stands at %v, want about 560, even", x)
	}
}

func TestFollowLetsALeanPass(t *testing.T) {
	// Leans over by a quarter of the window for one second and comes back, still
	// whole in the frame.
	w := largest(t, 1920, 1080, "9:16")
	p := Follow(w, seen(12, 0.2, 0.1, func(t float64) float64 {
		if t > 5 && t < 6 {
			return 0.58
		}
		return 0.5
	}), shot(12), Centre)
	// It may lean with the subject as far as the sway that is allowed.
	if x := p.At(0).X; !p.Stands() || x < 656 || x > 656+still*608+1 {
		t.Errorf("keys %+v, want one at 656 or a little more", p.Keys)
	}
}

func TestFollowWalksAlong(t *testing.T) {
	// Walks 25 % of the picture (480 pixels) in 12 s: 40 pixels a second, below
	// the 60.8 that a window of 608 may go. Its best places are 368 and 848.
	w := largest(t, 1920, 1080, "9:16")
	all := seen(20, 0.5, 0.15, func(t float64) float64 { return 0.35 + 0.25*clamp((t-4)/12, 0, 1) })
	p := Follow(w, all, shot(20), Centre)
	limits(t, p)
	if p.Stands() || p.At(0).X > 368+still*608+1 || p.At(499).X < 848-still*608-1 {
		t.Fatalf("from %v to %v", p.At(0).X, p.At(499).X)
	}
	last := -1.0
	for i := range p.Stretch.Frames {
		if x := p.At(i).X; x < last {
			t.Fatalf("goes back at frame %d", i)
		} else {
			last = x
		}
	}
	if left := NewTable(p, all).Leaves(0, 20); left.Share > 1e-12 || left.Known < 19.9 {
		t.Errorf("%+v, want nothing outside", left)
	}
}

func TestFollowStandsUpWithTheSinger(t *testing.T) {
	// In 2.39:1 the head goes from 40 % of the picture's height to 15 % in 4 s.
	w := largest(t, 1920, 1080, "2.39:1")
	var all []Sighting
	for at := 0.0; at <= 16; at += 0.5 {
		top := 0.4 - 0.25*clamp((at-6)/4, 0, 1)
		all = append(all, Sighting{film.PassTime(at), Box{0.4, top, 0.2, 1 - top}, 1})
	}
	p := Follow(w, all, shot(16), Centre)
	limits(t, p)
	for _, c := range []struct {
		frame film.Frames
		top   float64
	}{{0, 0.4}, {399, 0.15}} {
		if above := (c.top*1080 - p.At(c.frame).Y) / 804; above < leastHeadroom || above > mostHeadroom {
			t.Errorf("frame %d: the head is %v of the frame down", c.frame, above)
		}
	}
	if p.Stands() {
		t.Error("the window stands")
	}
}

// TestFollowKeepsASlowSubject: what moves slower than the window may stays in the
// frame, however it wanders, with room for the sway that is allowed, for easing,
// and for as far as it comes within worthSeconds, the price of following a turn.
func TestFollowKeepsASlowSubject(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w := largest(t, 1920, 1080, "9:16")
		size := float64(w.W) / 1920 // of the window, in shares of the picture
		const most = 0.09           // of the window per second
		x := []float64{rapid.Float64Range(0.2, 0.8).Draw(t, "start")}
		for range 40 {
			x = append(x, clamp(x[len(x)-1]+0.5*most*size*rapid.Float64Range(-1, 1).Draw(t, "way"), 0.15, 0.85))
		}
		width := size * 2 * (0.5 - still - easedOff*1.1 - most*worthSeconds)
		all := seen(20, 0.5, width, func(t float64) float64 { return x[int(2*t)] })
		p := Follow(w, all, shot(20), Centre)
		// What is cut and not worth moving at all: movingCosts over 1+cutCosts is
		// 0.016 frames times seconds, spread over 20 s and 0.3 frames of subject.
		if left := NewTable(p, all).Leaves(0, 20); left.Share > 0.016/20/0.3 {
			t.Fatalf("%+v outside", left)
		}
	})
}

func TestFollowWithoutSightings(t *testing.T) {
	w := largest(t, 1920, 1080, "9:16")
	for _, c := range []struct {
		on Point
		x  float64
	}{{Centre, 656}, {Point{0.3, 0.5}, 272}, {Point{0, 0}, 0}, {Point{1, 1}, 1312}} {
		// Those seen are long over.
		p := Follow(w, seen(5, 1, 0.1, func(float64) float64 { return 0.2 }), Stretch{50, 1, 100, pal}, c.on)
		if !p.Stands() || p.At(99).X != c.x {
			t.Errorf("on %v: %+v, want one key at %v", c.on, p.Keys, c.x)
		}
	}
}

// TestKeysAreThePath: between its keys the path is what was found frame by frame.
func TestKeysAreThePath(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 60).Draw(t, "frames")
		x, y := make([]float64, n), make([]float64, n)
		for i := range n {
			x[i], y[i] = 10, 4
			if i > 0 {
				x[i] = x[i-1] + rapid.SampledFrom([]float64{0, 0, 0, 1, 1, 0.3}).Draw(t, "way")
				y[i] = y[i-1] + rapid.SampledFrom([]float64{0, 0, 0, 0, 0, 2}).Draw(t, "down")
			}
		}
		s := Stretch{0, 1, film.Frames(n), film.Rate{Num: 30000, Den: 1001}}
		p := Path{Window{1920, 1080, 608, 1080}, s, s.keys(x, y)}
		for i := range n {
			if r := p.At(film.Frames(i)); math.Abs(r.X-x[i]) > 1e-6 || math.Abs(r.Y-y[i]) > 1e-6 {
				t.Fatalf("frame %d: %v, %v, want %v, %v", i, r.X, r.Y, x[i], y[i])
			}
		}
	})
}
