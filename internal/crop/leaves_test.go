package crop

import (
	"math"
	"testing"

	"takeweave/internal/film"

	"pgregory.net/rapid"
)

// leavesSlowly is the twin: it goes over the film in slices of a sixteenth of a
// frame and looks at each anew.
func leavesSlowly(p Path, all []Sighting, from, to int) Left {
	const parts = 16
	var l Left
	dt := p.Stretch.Rate.FrameSeconds() / parts
	tr := newTrack(all)
	for i := from; i < to; i++ {
		frame := film.Frames(i / parts)
		b, ok := tr.at(p.Stretch.passTime(frame))
		if i < 0 || frame >= p.Stretch.Frames || !ok {
			continue
		}
		r := p.At(frame)
		// The part shown, counted over a fine grid of points in the box.
		const grid = 40
		in := 0
		for k := range grid * grid {
			x := (b.X + b.W*(float64(k%grid)+0.5)/grid) * float64(p.Window.PictureW)
			y := (b.Y + b.H*(float64(k/grid)+0.5)/grid) * float64(p.Window.PictureH)
			if x >= r.X && x < r.X+float64(r.W) && y >= r.Y && y < r.Y+float64(r.H) {
				in++
			}
		}
		l.Known += dt
		l.Share += dt * (1 - float64(in)/(grid*grid))
	}
	if l.Known > 0 {
		l.Share /= l.Known
	}
	return l
}

func TestLeaves(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w := largest(t, 1920, 1080, rapid.SampledFrom([]film.Shape{"9:16", "2.39:1", "1:1"}).Draw(t, "shape"))
		all := seen(rapid.Float64Range(0, 4).Draw(t, "until"), 0.5, rapid.Float64Range(0.05, 0.6).Draw(t, "width"), func(float64) float64 {
			return rapid.Float64Range(0.1, 0.9).Draw(t, "x")
		})
		s := Stretch{0.5, rapid.SampledFrom([]float64{1, 1.02, 0.5}).Draw(t, "speed"), 60, pal}
		p := Follow(w, all, s, Centre)
		from, to := rapid.IntRange(-100, 1000).Draw(t, "from"), rapid.IntRange(-100, 1000).Draw(t, "to")
		place := func(part int) film.PassTime { return s.From + film.PassTime(s.Speed*float64(part)/16/25) }
		got, want := NewTable(p, all).Leaves(place(from), place(to)), leavesSlowly(p, all, from, to)
		if math.Abs(got.Known-want.Known) > 1e-9 {
			t.Fatalf("known for %v s, the twin %v", got.Known, want.Known)
		}
		// The twin's points are a fortieth of the box apart in each direction.
		if math.Abs(got.Share-want.Share) > 2.0/40 {
			t.Fatalf("outside %v, the twin %v", got.Share, want.Share)
		}
		if got.Seconds > got.Known+1e-9 || got.Seconds*leftFrom > got.Share*got.Known+1e-9 {
			t.Fatalf("%+v", got)
		}
	})
}

func TestLeavesByHand(t *testing.T) {
	// A window of 608 stands at 656..1264. A box of 192 stands in its middle for
	// 2 s, then half over its side at 1264 (0.6583 of the picture) for 2 s.
	w := largest(t, 1920, 1080, "9:16")
	p := Follow(w, nil, shot(4), Centre)
	var all []Sighting
	for i := range 100 {
		x := 0.45
		if i >= 50 {
			x = 1264.0/1920 - 0.05
		}
		all = append(all, Sighting{film.PassTime(float64(i) / 25), Box{x, 0, 0.1, 1}, 1})
	}
	table := NewTable(p, all)
	for _, c := range []struct {
		from, to film.PassTime
		want     Left
	}{
		{0, 4, Left{2, 0.25, 4}},
		{0, 2, Left{0, 0, 2}},
		{2, 4, Left{2, 0.5, 2}},
		{1.9, 2.1, Left{0.1, 0.25, 0.2}},
		{3, 3, Left{}},
		{3, 2, Left{}},
		{-5, -1, Left{}},
		{5, 9, Left{}},
	} {
		got := table.Leaves(c.from, c.to)
		if math.Abs(got.Seconds-c.want.Seconds) > 1e-9 || math.Abs(got.Share-c.want.Share) > 1e-9 || math.Abs(got.Known-c.want.Known) > 1e-9 {
			t.Errorf("%v to %v: %+v, want %+v", c.from, c.to, got, c.want)
		}
	}
}
