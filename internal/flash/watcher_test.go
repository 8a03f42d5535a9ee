package flash

import (
	"math"
	"slices"
	"testing"

	"takeweave/internal/film"
)

const testW, testH = 320, 180

var at25 = film.Rate{Num: 25, Den: 1}

type rgb [3]byte

func grey(v byte) rgb { return rgb{v, v, v} }

// show lets a watcher see frames: at each, colour says what a pixel shows.
func show(t *testing.T, rate film.Rate, frames int, colour func(frame, x, y int) rgb) []Finding {
	t.Helper()
	w, err := NewWatcher(rate, testW, testH)
	if err != nil {
		t.Fatal(err)
	}
	picture := make([]byte, 3*testW*testH)
	for f := range frames {
		for y := range testH {
			for x := range testW {
				c := colour(f, x, y)
				copy(picture[3*(y*testW+x):], c[:])
			}
		}
		w.Add(picture)
	}
	return w.Findings()
}

func kinds(found []Finding) []Kind {
	var out []Kind
	for _, f := range found {
		if !slices.Contains(out, f.Kind) {
			out = append(out, f.Kind)
		}
	}
	return out
}

// flashing shows a, and b for the first half of every period of count flashes a
// second, from frame 25 to 50.
func flashing(count int, a, b rgb) func(frame, x, y int) rgb {
	return func(frame, _, _ int) rgb {
		if frame >= 25 && frame < 50 && (frame-25)*count*2/25%2 == 0 {
			return b
		}
		return a
	}
}

func TestHowOften(t *testing.T) {
	for _, c := range []struct {
		count int
		found bool
	}{{1, false}, {2, false}, {3, false}, {4, true}, {5, true}, {12, true}} {
		found := show(t, at25, 100, flashing(c.count, grey(20), grey(200)))
		if got := len(found) > 0; got != c.found {
			t.Errorf("%d flashes in a second: found %v, want %v: %+v", c.count, got, c.found, found)
		}
		for _, f := range found {
			if f.First < 25 || f.First > 26 || f.End < 45 || f.End > 52 || f.Flashes != c.count || f.Area != 1 {
				t.Errorf("%d flashes in frames 25 to 50: %+v", c.count, f)
			}
		}
	}
}

// Source: the conversions follow from [BT1702] (20 and 160 cd/m²) by ITU-R
// BT.1886 at 200 cd/m²: codes 97.7 and 232.4; those of [WCAG22] (a tenth, 0.80)
// by the sRGB curve: 89.04 and 230.8.
func TestHowBright(t *testing.T) {
	for _, c := range []struct {
		dark, bright byte
		want         []Kind
	}{
		{0, 89, nil},
		{0, 90, []Kind{GeneralWCAG}},
		{0, 97, []Kind{GeneralWCAG}},
		{0, 98, []Kind{GeneralBT1702, GeneralWCAG}},
		{230, 255, []Kind{GeneralBT1702, GeneralWCAG}},
		{232, 255, []Kind{GeneralBT1702}},
		{233, 255, nil},
		{120, 120, nil},
	} {
		found := show(t, at25, 60, flashing(6, grey(c.dark), grey(c.bright)))
		if got := kinds(found); !slices.Equal(got, c.want) {
			t.Errorf("codes %d and %d: %v, want %v", c.dark, c.bright, got, c.want)
		}
	}
}

func code(linear float64) byte {
	if linear <= 0.0031308 {
		return byte(math.Round(255 * 12.92 * linear))
	}
	return byte(math.Round(255 * (1.055*math.Pow(linear, 1/2.4) - 0.055)))
}

func ofLight(r, g, b float64) rgb { return rgb{code(r), code(g), code(b)} }

// Source: [WCAG22], its red test before 2.2: one state of R/(R+G+B) >= 0.8 and a
// change of (R-G-B)·320 by more than 20.
func TestRed(t *testing.T) {
	for _, c := range []struct {
		name string
		a, b rgb
		want bool
	}{
		{"red and white", ofLight(1, 0, 0), ofLight(1, 1, 1), true},
		{"red and blue", ofLight(1, 0, 0), ofLight(0, 0, 1), true},
		{"red and half of it", ofLight(1, 0, 0), ofLight(0.5, 0, 0), true},
		{"just saturated and grey", ofLight(0.81, 0.1, 0.1), ofLight(0.3, 0.3, 0.3), true},
		{"not saturated", ofLight(1, 0.2, 0.1), ofLight(0.3, 0.3, 0.3), false},
		{"dark red and black", ofLight(0.05, 0, 0), ofLight(0, 0, 0), false},
		{"blue and black", ofLight(0, 0, 1), ofLight(0, 0, 0), false},
	} {
		found := show(t, at25, 60, flashing(5, c.a, c.b))
		if got := slices.Contains(kinds(found), RedWCAG); got != c.want {
			t.Errorf("%s: red flashes %v, want %v", c.name, got, c.want)
		}
	}
}

func TestHowLarge(t *testing.T) {
	for _, c := range []struct {
		name          string
		width, height float64 // shares of the screen, from its middle
		want          []Kind
	}{
		{"a lamp", 0.1, 0.1, nil},
		{"half a field", 0.24, 0.24, []Kind{GeneralWCAG}},
		{"just less than a quarter of the screen", 0.48, 0.48, []Kind{GeneralWCAG}},
		{"more than a quarter of the screen", 0.55, 0.55, []Kind{GeneralBT1702, GeneralWCAG}},
	} {
		flash := flashing(5, grey(20), grey(220))
		found := show(t, at25, 60, func(frame, x, y int) rgb {
			if math.Abs(float64(x)-testW/2) < c.width*testW/2 && math.Abs(float64(y)-testH/2) < c.height*testH/2 {
				return flash(frame, x, y)
			}
			return grey(20)
		})
		if got := kinds(found); !slices.Equal(got, c.want) {
			t.Errorf("%s: %v, want %v", c.name, got, c.want)
		}
	}
}

// Two halves that take turns, each below the limit, flash too often together.
func TestPartsThatTakeTurns(t *testing.T) {
	found := show(t, at25, 75, func(frame, x, _ int) rgb {
		phase := frame % 10
		if left := x < testW/2; left && phase < 3 || !left && phase >= 5 && phase < 8 {
			return grey(220)
		}
		return grey(20)
	})
	if got := kinds(found); !slices.Contains(got, GeneralBT1702) {
		t.Errorf("found %+v", found)
	}
}

func TestWhatDoesNotFlash(t *testing.T) {
	for name, colour := range map[string]func(frame, x, y int) rgb{
		"a checker finer than the eye minds": func(frame, x, y int) rgb { return grey(byte(230 * ((x + y + frame) % 2))) },
		"halves that swap twice a second": func(frame, x, _ int) rgb {
			return grey(byte(20 + 200*((frame/6+2*x/testW)%2)))
		},
		"cuts twice a second":       func(frame, _, _ int) rgb { return grey(byte(30 + 150*(frame/12%2))) },
		"a slow swell":              func(frame, _, _ int) rgb { return grey(byte(120 + 100*math.Sin(float64(frame)/20))) },
		"flicker that is too faint": func(frame, _, _ int) rgb { return grey(byte(120 + 5*(frame%2))) },
		"a shirt with stripes that sways": func(frame, x, _ int) rgb {
			return grey(byte(100 + 40*math.Sin(float64(x)*1.2+6*math.Sin(float64(frame)/6))))
		},
		"a hand that strums": func(frame, x, y int) rgb {
			if math.Abs(float64(y)-90-60*math.Sin(float64(frame)*2*math.Pi/7)) < 14 && x > 100 && x < 150 {
				return grey(95) // less than a tenth of white above what is behind it
			}
			return grey(60)
		},
		"a bright bar that walks by": func(frame, x, _ int) rgb {
			if d := x - 3*frame; d >= 0 && d < 40 {
				return grey(230)
			}
			return grey(20)
		},
	} {
		if found := show(t, at25, 100, colour); len(found) != 0 {
			t.Errorf("%s: %+v", name, found)
		}
	}
}

func TestOtherRates(t *testing.T) {
	for _, rate := range []film.Rate{{Num: 24000, Den: 1001}, {Num: 30000, Den: 1001}, {Num: 50, Den: 1}, {Num: 60, Den: 1}} {
		for hz, want := range map[float64]bool{2.8: false, 4.2: true} {
			found := show(t, rate, int(4*rate.PerSecond()), func(frame, _, _ int) rgb {
				if math.Sin(2*math.Pi*hz*(float64(frame)+0.5)/rate.PerSecond()) > 0 {
					return grey(220)
				}
				return grey(20)
			})
			if got := len(found) > 0; got != want {
				t.Errorf("%g flashes a second at %s frames: found %v, want %v", hz, rate, got, want)
			}
		}
	}
}

func TestNewWatcherRefuses(t *testing.T) {
	for _, c := range []struct {
		rate film.Rate
		w, h int
	}{{film.Rate{}, 320, 180}, {at25, 10, 10}, {at25, 320, 0}} {
		if _, err := NewWatcher(c.rate, c.w, c.h); err == nil {
			t.Errorf("%d x %d at %s is watched", c.w, c.h, c.rate)
		}
	}
}
