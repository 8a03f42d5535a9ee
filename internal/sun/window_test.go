package sun

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

var south = Window{BearingDeg: 180, WidthM: 1.2, SillM: 0.9, LintelM: 2.1}

func TestLights(t *testing.T) {
	// A point 2 m behind the middle of the window at 1.2 m above the floor. By
	// hand: at 20 degrees elevation, square on, the ray is 2 tan 20 = 0.728 m
	// higher in the window: 1.928 m, under the lintel. At 25 degrees it is 2.133
	// m, above it. 15 degrees aside it is 2 tan 15 = 0.536 m off the middle,
	// inside 0.6 m; 17 degrees aside 0.611 m, outside.
	p := Inside{BackM: 2, HeightM: 1.2}
	for _, c := range []struct {
		name               string
		azimuth, elevation float64
		wall, skyline      float64
		want               bool
	}{
		{"square on", 180, 20, 0, 0, true},
		{"over the lintel", 180, 25, 0, 0, false},
		{"15 degrees aside", 195, 20, 0, 0, true},
		{"17 degrees aside", 197, 20, 0, 0, false},
		{"17 degrees to the other side", 163, 20, 0, 0, false},
		{"behind the wall", 0, 20, 0, 0, false},
		{"down", 180, -1, 0, 0, false},
		{"a thick wall cuts it", 195, 20, 0.4, 0, false},
		{"a house outside hides it", 180, 20, 0, 21, false},
	} {
		w := south
		w.WallM, w.SkylineDeg = c.wall, c.skyline
		if got := w.Lights(p, Position{AzimuthDeg: c.azimuth, ApparentDeg: c.elevation}); got != c.want {
			t.Errorf("%s: lit %v, want %v", c.name, got, c.want)
		}
	}
}

func TestThroughASouthWindow(t *testing.T) {
	// Known by construction: for a point square behind the middle the sun comes
	// in while its bearing is within atan(0.6/2) = 16.70 degrees of south, if it
	// is low enough, as in winter. The ends have to be where the bearing says.
	d := Day{2026, 12, 10, 60, Place{52.5, 13.4}}
	spans := d.Through(south, Inside{BackM: 2, HeightM: 1.2})
	if len(spans) != 1 {
		t.Fatalf("%v, want one stretch", spans)
	}
	aside := degrees(math.Atan(0.6 / 2))
	for _, e := range []struct {
		at   Minute
		want float64
	}{{spans[0].From, 180 - aside}, {spans[0].To, 180 + aside}} {
		// A bearing moves by some 0.25 degree a minute; the end is known to 0.1 s.
		if got := d.At(e.at).AzimuthDeg; apart(got, e.want) > 0.002 {
			t.Errorf("at %v the sun bears %.4f, want %.4f", e.at, got, e.want)
		}
	}
	// In June it stands above the lintel whenever it is in front of the window.
	d.Month = 6
	if spans := d.Through(south, Inside{BackM: 2, HeightM: 1.2}); len(spans) != 0 {
		t.Errorf("in June %v", spans)
	}
}

func TestWhenCoversTheWholeDay(t *testing.T) {
	d := Day{2026, 6, 21, 0, Place{80, 0}}
	all := d.When(func(p Position) bool { return p.ElevationDeg > 0 })
	if len(all) != 1 || all[0] != (Span{0, 1440}) {
		t.Errorf("the midnight sun shines %v", all)
	}
}

func TestWhenAgainstEverySecond(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		d := Day{
			rapid.IntRange(1950, 2060).Draw(rt, "year"), rapid.IntRange(1, 12).Draw(rt, "month"), 14,
			60,
			Place{rapid.Float64Range(-60, 60).Draw(rt, "latitude"), 10},
		}
		w := Window{BearingDeg: rapid.Float64Range(0, 360).Draw(rt, "bearing"), WidthM: 1.5, SillM: 0.8, LintelM: 2.4, WallM: 0.2}
		p := Inside{BackM: 1.5, RightM: rapid.Float64Range(-1, 1).Draw(rt, "right"), HeightM: 1.1}
		spans := d.Through(w, p)
		for i := 0; i < 1440*60; i += 97 {
			m := Minute(float64(i) / 60)
			in, edge := false, false
			for _, s := range spans {
				in = in || m >= s.From && m < s.To
				edge = edge || math.Abs(float64(m-s.From)) < 0.01 || math.Abs(float64(m-s.To)) < 0.01
			}
			if lit := w.Lights(p, d.At(m)); lit != in && !edge {
				// Less than a minute of sun may be missed.
				if lit == w.Lights(p, d.At(m-1)) || lit == w.Lights(p, d.At(m+1)) {
					rt.Fatalf("at %v lit %v, the stretches %v say %v", m, lit, spans, in)
				}
			}
		}
	})
}

func TestWords(t *testing.T) {
	if got := Words([]Span{{850, 935}}); got != "direct sun 14:10 to 15:35" {
		t.Error(got)
	}
	if got := Words([]Span{{60, 90}, {850, 935}}); got != "direct sun 01:00 to 01:30 and 14:10 to 15:35" {
		t.Error(got)
	}
	if got := Words(nil); got != "no direct sun" {
		t.Error(got)
	}
}
