package captions

import (
	"errors"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// Edges by [EBUR95], graphics safe area, and by common practice for phones.
func TestSafe(t *testing.T) {
	for _, c := range []struct {
		w, h                     int
		left, top, right, bottom float64
	}{
		{1920, 1080, 0.05, 0.05, 0.95, 0.95},
		{1080, 1080, 0.05, 0.05, 0.95, 0.95},
		{1080, 1920, 0.05, 0.12, 0.86, 0.78},
	} {
		b := Safe(c.w, c.h)
		for _, d := range []float64{b.X - c.left, b.Y - c.top, b.X + b.W - c.right, b.Y + b.H - c.bottom} {
			if d > 1e-9 || d < -1e-9 {
				t.Errorf("%d x %d: %+v", c.w, c.h, b)
			}
		}
	}
	if UsualFor(1080, 1920).RowLetters != 28 || UsualFor(1920, 1080).RowLetters != 42 || UsualFor(1080, 1080) != Usual {
		t.Error("rows have 28 letters in an upright film, 42 in others")
	}
}

func TestSpot(t *testing.T) {
	const w, h = 0.3, 0.1
	wide, tall := Safe(1920, 1080), Safe(1080, 1920)
	for _, c := range []struct {
		name string
		safe Box
		seen []Seen
		x, y float64
	}{
		{"nothing known", wide, nil, 0.35, 0.85},
		{"upright", tall, nil, 0.35, 0.68},
		{"a hand at the edge", wide, []Seen{{0, 50, Box{0.4, 0.9, 0.2, 0.1}}}, 0.35, 0.73},
		{"a hand there later", wide, []Seen{{50, 90, Box{0.4, 0.9, 0.2, 0.1}}}, 0.35, 0.85},
		{"a hand in the middle", wide, []Seen{{0, 50, Box{0.4, 0.5, 0.2, 0.5}}}, 0.05, 0.85},
		{"a hand at the left and middle", wide, []Seen{{0, 50, Box{0, 0.5, 0.6, 0.5}}}, 0.65, 0.85},
		{"a hand across", wide, []Seen{{0, 50, Box{0, 0.5, 1, 0.5}}}, 0.35, 0.05},
		{"a hand across, a face above", wide, []Seen{{0, 9, Box{0, 0.5, 1, 0.5}}, {9, 50, Box{0.4, 0, 0.2, 0.4}}}, 0.05, 0.05},
		{"upright, a face above at the left", tall, []Seen{{0, 50, Box{0, 0.4, 1, 0.6}}, {0, 50, Box{0, 0, 0.5, 0.4}}}, 0.56, 0.12},
	} {
		said := caption(0, 50, "home")
		b, err := said.Spot(w, h, c.safe, c.seen)
		if dx, dy := b.X-c.x, b.Y-c.y; err != nil || dx > 1e-9 || dx < -1e-9 || dy > 1e-9 || dy < -1e-9 || b.W != w || b.H != h {
			t.Errorf("%s: %+v, %v, want it at %g, %g", c.name, b, err, c.x, c.y)
		}
	}
}

func TestNoSpot(t *testing.T) {
	c := caption(0, 50, "home")
	everywhere := []Seen{{20, 21, Box{0, 0, 1, 1}}}
	for _, bad := range []struct {
		name string
		w, h float64
		seen []Seen
		says string
	}{
		{"all of it seen", 0.3, 0.1, everywhere, "every place: bottom"},
		{"too wide", 0.91, 0.1, nil, "91 % of the width"},
		{"too high", 0.3, 0.95, nil, "95 % of the height"},
	} {
		_, err := c.Spot(bad.w, bad.h, Safe(1920, 1080), bad.seen)
		var none *NoPlaceError
		if !errors.As(err, &none) || !strings.Contains(err.Error(), bad.says) {
			t.Errorf("%s: %v, want no place with %q", bad.name, err, bad.says)
		}
	}
}

// A caption that finds a place lies within the safe area and hides nothing.
func TestSpotHidesNothing(t *testing.T) {
	share := rapid.Float64Range(0, 0.9)
	rapid.Check(t, func(t *rapid.T) {
		var seen []Seen
		for range rapid.IntRange(0, 4).Draw(t, "seen") {
			seen = append(seen, Seen{First: 10, End: 20, Box: Box{share.Draw(t, "x"), share.Draw(t, "y"), 0.05 + share.Draw(t, "w")/2, 0.05 + share.Draw(t, "h")/2}})
		}
		safe := Safe(1920, 1080)
		if rapid.Bool().Draw(t, "upright") {
			safe = Safe(1080, 1920)
		}
		c := caption(0, 15, "home")
		b, err := c.Spot(rapid.Float64Range(0.1, 0.7).Draw(t, "w"), rapid.Float64Range(0.05, 0.2).Draw(t, "h"), safe, seen)
		if err != nil {
			return
		}
		const rounding = 1e-9
		if b.X < safe.X-rounding || b.Y < safe.Y-rounding || b.X+b.W > safe.X+safe.W+rounding || b.Y+b.H > safe.Y+safe.H+rounding {
			t.Fatalf("%+v leaves %+v", b, safe)
		}
		for _, s := range seen {
			apart := b.X >= s.Box.X+s.Box.W || s.Box.X >= b.X+b.W || b.Y >= s.Box.Y+s.Box.H || s.Box.Y >= b.Y+b.H
			if !apart {
				t.Fatalf("%+v lies over %+v", b, s.Box)
			}
		}
	})
}
