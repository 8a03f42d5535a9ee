package picture

import (
	"testing"

	"takeweave/internal/film"
)

func TestNew(t *testing.T) {
	for _, c := range []struct {
		width, height int
		rate          film.Rate
	}{{320, 20, fiveASecond}, {0, 180, fiveASecond}, {320, 180, film.Rate{}}} {
		if _, err := New(c.width, c.height, c.rate); err == nil {
			t.Errorf("%+v is taken", c)
		}
	}
}

// TestMoments: a moment for every 0.2 seconds at any rate, at the pass's own
// times; nothing known lowers nothing.
func TestMoments(t *testing.T) {
	for _, c := range []struct {
		rate   film.Rate
		frames int
		step   float64
		want   int
	}{
		{fiveASecond, 11, 0.2, 11},
		{film.Rate{Num: 25, Den: 1}, 51, 0.2, 11},
		{film.Rate{Num: 2, Den: 1}, 3, 0.5, 3},
	} {
		m := meter(t, 64, 48, c.rate)
		pix := make([]byte, 64*48)
		for i := range pix {
			pix[i] = 90
		}
		for range c.frames {
			m.Add(pix)
		}
		r := m.Result(10, nil)
		if len(r.Moments) != c.want || r.StepSeconds != c.step || r.At(2) != film.PassTime(10+2*c.step) {
			t.Errorf("%v: %d moments of %v s", c.rate, len(r.Moments), r.StepSeconds)
		}
		for i, g := range r.Grades(0) {
			if g.Value != 1 || len(g.Words) > 0 {
				t.Errorf("%v, moment %d: %+v", c.rate, i, g)
			}
		}
	}
	none := meter(t, 64, 48, fiveASecond).Result(0, nil)
	if len(none.Moments) != 0 || len(none.Grades(0)) != 0 {
		t.Errorf("%+v from nothing", none)
	}
}

// TestWholePass: a pass that is steady, then shaken, burnt out and dimmed, says so then
// and only then.
func TestWholePass(t *testing.T) {
	const width, height = 320, 180
	s, random := newScene(41, width, height), chance(17)
	still := s.taken(width, height, 0, 0, 0)
	m := meter(t, width, height, fiveASecond)
	for i := range 120 {
		picture := append([]float64(nil), still...)
		switch {
		case i >= 40 && i < 60:
			picture = s.taken(width, height, 30*(random()-0.5), 20*(random()-0.5), 0)
		case i >= 90 && i < 100:
			for k := range picture {
				picture[k] = 2*picture[k] + 60
			}
		case i >= 110: // a lamp goes off: 0.7 of the level is 1.2 stops less light
			for k := range picture {
				picture[k] *= 0.7
			}
		}
		m.Add(grey(picture, 1, random))
	}
	r := m.Result(0, nil)
	grades := r.Grades(0)
	for i, want := range map[int]string{20: "", 50: "shakes", 75: "", 95: "burnt out", 105: "", 110: "jumps", 115: ""} {
		got := ""
		if len(grades[i].Words) > 0 {
			got = grades[i].Words[0]
		}
		if got != want || (want != "") != (grades[i].Value < 0.8) {
			t.Errorf("moment %d: %+v, want %q; %+v", i, grades[i], want, r.Moments[i])
		}
	}
}

func BenchmarkAdd(b *testing.B) {
	m, random := meter(b, 320, 180, fiveASecond), chance(1)
	pix := grey(newScene(1, 320, 180).taken(320, 180, 0, 0, 0), 2, random)
	for b.Loop() {
		m.Add(pix)
	}
}
