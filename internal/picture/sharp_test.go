package picture

import (
	"math"
	"testing"

	"takeweave/internal/film"
)

var fiveASecond = film.Rate{Num: 5, Den: 1}

func meter(t testing.TB, width, height int, rate film.Rate) *Meter {
	t.Helper()
	m, err := New(width, height, rate)
	if err != nil {
		t.Fatal(err)
	}
	return m
}

// TestEnergiesOfGratings: for a grating of frequency f the binomial blur passes
// cos²(pi·f) in its direction, the Laplacian multiplies by 2·(1-cos(2·pi·f)); the
// slope of the picture reduced by 4 is the mean over 4 pixels, then a difference
// over 8. The mean square of a sine is half the square of its size.
func TestEnergiesOfGratings(t *testing.T) {
	const width, height, size = 320, 180, 100
	for _, f := range []float64{0.02, 0.05, 0.1, 0.25} {
		for _, upright := range []bool{true, false} {
			pix := make([]float64, width*height)
			for i := range pix {
				at := i / width
				if upright {
					at = i % width
				}
				pix[i] = 128 + size*math.Sin(2*math.Pi*f*float64(at)+0.4)
			}
			var now moment
			newEnergies(width, height).measure(&now, grey(pix, 0, nil))
			mean := func(v *[cells]float32) float64 { var all area; fill(&all); return all.mean(v) }
			fine := square(size*square(math.Cos(math.Pi*f))*2*(1-math.Cos(2*math.Pi*f))) / 2
			four := math.Sin(4*math.Pi*f) / (4 * math.Sin(math.Pi*f))
			coarse := square(size*four*math.Sin(8*math.Pi*f)) / 2
			// Rounding to bytes adds about the energy of noise of 0.3 levels; cells do not
			// hold whole periods.
			for _, c := range [][2]float64{{mean(&now.fine), fine}, {mean(&now.coarse), coarse}} {
				if math.Abs(c[0]-c[1]) > 0.06*c[1]+1 {
					t.Errorf("frequency %v: %v, want %v", f, c[0], c[1])
				}
			}
		}
	}
}

func fill(a *area) {
	for i := range a {
		a[i] = 1
	}
}

// pass shows a meter pictures with a little noise, as blurred as told.
func pass(m *Meter, s scene, contrast float64, blur func(i int) float64, n int) {
	random := chance(11)
	last, picture := -1.0, []float64(nil)
	for i := range n {
		if b := blur(i); b != last {
			last, picture = b, s.taken(m.width, m.height, 0, 0, b)
			for k := range picture {
				picture[k] = 128 + contrast*(picture[k]-128)
			}
		}
		m.Add(grey(picture, 0.5, random))
	}
}

// TestBlurShows: part of a pass is blurred. In another program and made scene
// the Laplacian's energy was 0.74, 0.33 and 0.08 of itself after blurs
// of 0.5, 1 and 2 pixels of 320; the ratio must fall in the same way, and not
// with contrast.
func TestBlurShows(t *testing.T) {
	s := newScene(21, 320, 180)
	for _, contrast := range []float64{1, 0.4} {
		before := 1.0
		for _, c := range []struct{ sigma, least, most float64 }{{0, 0.97, 1.03}, {0.5, 0.6, 0.9}, {1, 0.25, 0.55}, {2, 0.03, 0.2}} {
			m := meter(t, 320, 180, fiveASecond)
			pass(m, s, contrast, func(i int) float64 {
				if i >= 20 && i < 30 {
					return c.sigma
				}
				return 0
			}, 60)
			r := m.Result(0, nil)
			share := r.Moments[25].Sharpness / r.Best
			if share < c.least || share > c.most || share > before+0.03 {
				t.Errorf("blur of %v, contrast %v: %.3f of the best, want %v to %v", c.sigma, contrast, share, c.least, c.most)
			}
			before = share
			if calm := r.Moments[50].Sharpness / r.Best; math.Abs(calm-1) > 0.03 {
				t.Errorf("blur of %v: %v of the best where it is sharp", c.sigma, calm)
			}
		}
	}
}

// TestSetupTellsOfASoftPass: a pass that is soft from end to end is only known to
// be from another of its setup.
func TestSetupTellsOfASoftPass(t *testing.T) {
	s := newScene(22, 320, 180)
	var readings []Reading
	for _, sigma := range []float64{0, 1.5} {
		m := meter(t, 320, 180, fiveASecond)
		pass(m, s, 1, func(int) float64 { return sigma }, 30)
		readings = append(readings, m.Result(0, nil))
	}
	soft := &readings[1]
	if g := soft.Grades(0)[15]; g.Value != 1 {
		t.Errorf("alone: %+v", g)
	}
	if g := soft.Grades(readings[0].Best)[15]; g.Value > 0.6 || len(g.Words) != 1 || g.Words[0] != "soft" {
		t.Errorf("beside a sharp pass: %+v", g)
	}
	if g := readings[0].Grades(soft.Best)[15]; g.Value != 1 {
		t.Errorf("the sharp pass beside the soft one: %+v", g)
	}
}

// TestHandThatComesAndGoes: something full of detail covers a part of the middle
// now and then. Nothing is soft.
func TestHandThatComesAndGoes(t *testing.T) {
	const width, height = 320, 180
	wall, hand := newScene(23, width, height), newScene(24, width, height)
	still := wall.taken(width, height, 0, 0, 2)
	detail := hand.taken(width, height, 0, 0, 0)
	random := chance(12)
	m := meter(t, width, height, fiveASecond)
	for i := range 80 {
		picture := append([]float64(nil), still...)
		if i/10%2 == 0 {
			for y := 60; y < 120; y++ {
				copy(picture[y*width+130:y*width+190], detail[y*width+130:y*width+190])
			}
		}
		m.Add(grey(picture, 0.5, random))
	}
	r := m.Result(0, nil)
	for i, g := range r.Grades(0) {
		if g.Value < 1 {
			t.Fatalf("moment %d: %+v, sharpness %v of %v", i, g, r.Moments[i].Sharpness, r.Best)
		}
	}
}

// TestSubjectIsWhatCounts: focus leaves the face for what is behind it.
func TestSubjectIsWhatCounts(t *testing.T) {
	const width, height = 320, 180
	behind, person := newScene(25, width, height), newScene(26, width, height)
	random := chance(13)
	m := meter(t, width, height, fiveASecond)
	var subject []Seen
	for i := range 60 {
		back, front := 2.0, 0.0
		if i >= 30 && i < 45 {
			back, front = front, back
		}
		picture, over := behind.taken(width, height, 0, 0, back), person.taken(width, height, 0, 0, front)
		for y := 30; y < 150; y++ {
			copy(picture[y*width+10:y*width+90], over[y*width+10:y*width+90])
		}
		m.Add(grey(picture, 0.5, random))
		subject = append(subject, Seen{At: film.PassTime(i) / 5, Box: Box{10.0 / width, 30.0 / height, 80.0 / width, 120.0 / height}})
	}
	r := m.Result(0, subject)
	for i, want := range map[int]bool{15: false, 37: true, 55: false} {
		if soft := r.Grades(0)[i].Value < 0.7; soft != want {
			t.Errorf("moment %d: soft %v, want %v (%v of %v)", i, soft, want, r.Moments[i].Sharpness, r.Best)
		}
	}
}

func TestNothingToBeSharp(t *testing.T) {
	m := meter(t, 320, 180, fiveASecond)
	random, flat := chance(14), make([]float64, 320*180)
	for range 10 {
		m.Add(grey(flat, 1, random))
	}
	r := m.Result(0, nil)
	if r.Best != 0 || r.Moments[5].Sharpness != 0 {
		t.Errorf("best %v, %+v", r.Best, r.Moments[5])
	}
}

// TestLittleToBeSharp: a small thing, now crisp and now soft, on a bare wall says
// nothing about focus.
func TestLittleToBeSharp(t *testing.T) {
	const width, height = 320, 180
	random := chance(18)
	m := meter(t, width, height, fiveASecond)
	thing := newScene(27, 60, 40)
	for i := range 40 {
		picture := make([]float64, width*height)
		for k := range picture {
			picture[k] = 90
		}
		small := thing.taken(60, 40, 0, 0, float64(i/10))
		for y := range 40 {
			copy(picture[(y+70)*width+4*i+80:], small[y*60:(y+1)*60])
		}
		m.Add(grey(picture, 0.5, random))
	}
	r := m.Result(0, nil)
	for i, now := range r.Moments {
		if now.Sharpness != 0 {
			t.Fatalf("moment %d: %v", i, now.Sharpness)
		}
	}
}

// TestMostlySoft: a fifth of a pass in focus is enough to know that the rest is
// not.
func TestMostlySoft(t *testing.T) {
	m := meter(t, 320, 180, fiveASecond)
	pass(m, newScene(28, 320, 180), 1, func(i int) float64 {
		if i < 12 {
			return 0
		}
		return 1.5
	}, 60)
	r := m.Result(0, nil)
	if g := r.Grades(0); g[6].Value != 1 || g[40].Value > 0.6 {
		t.Errorf("in focus %+v, out of focus %+v", g[6], g[40])
	}
}

// TestSubjectSeenNowAndThen: seen in most moments, it is what counts, and nothing
// is known in between; seen rarely, the middle of the picture counts.
func TestSubjectSeenNowAndThen(t *testing.T) {
	for _, c := range []struct {
		name  string
		until int // seconds
		known bool
	}{{"mostly", 9, false}, {"rarely", 3, true}} {
		m := meter(t, 320, 180, fiveASecond)
		pass(m, newScene(29, 320, 180), 1, func(int) float64 { return 0 }, 75)
		var subject []Seen
		for s := range c.until {
			subject = append(subject, Seen{At: film.PassTime(s), Box: Box{0.3, 0.2, 0.3, 0.6}})
		}
		r := m.Result(0, subject)
		// The last look speaks for 1.2 s.
		if last := 5*c.until - 5; r.Moments[last].Sharpness == 0 || r.Moments[last+5].Sharpness == 0 {
			t.Errorf("%s: not known where it is seen", c.name)
		}
		if got := r.Moments[65].Sharpness > 0; got != c.known {
			t.Errorf("%s: known later %v, want %v", c.name, got, c.known)
		}
	}
}
