package picture

import (
	"math"
	"testing"

	"takeweave/internal/film"
)

// lit shows a meter some seconds of a scene under lamps whose light swings by
// amplitude at twice the mains, read row by row over share of a frame's time: the
// bands that a rolling shutter makes. The camera sways a little if told to.
func lit(m *Meter, seconds, mainsHz, amplitude, share float64, sways bool) {
	s := newScene(31, m.width, m.height)
	random, rate := chance(15), m.rate.PerSecond()
	still := s.taken(m.width, m.height, 0, 0, 0)
	for i := range int(seconds * rate) {
		picture := append([]float64(nil), still...)
		if sways {
			down := int(math.Round(8 + 8*math.Sin(2*math.Pi*0.9*float64(i)/rate)))
			copy(picture, still[down*m.width:])
		}
		for y := range m.height {
			at := (float64(i) + share*float64(y)/float64(m.height)) / rate
			light := 1 + amplitude*math.Cos(2*math.Pi*2*mainsHz*at+0.7)
			level := math.Pow(light, 1/displayedGamma)
			for x := range m.width {
				picture[y*m.width+x] *= level
			}
		}
		m.Add(grey(picture, 2, random))
	}
}

// TestFlicker: bands of known size. The beat is what is left of twice the mains
// after whole pictures; where it stands nearly still nothing can be told.
func TestFlicker(t *testing.T) {
	rate := func(num, den int64) film.Rate { return film.Rate{Num: num, Den: den} }
	for _, c := range []struct {
		rate         film.Rate
		measurable50 bool
		measurable60 bool
		mains        float64
	}{
		{rate(24, 1), true, false, 50},
		{rate(25, 1), false, true, 60},
		{rate(30000, 1001), true, false, 50},
		{rate(30, 1), true, false, 50},
		{rate(50, 1), false, true, 60},
		{rate(60, 1), true, false, 50},
		{rate(5, 1), false, false, 50},
	} {
		for _, amplitude := range []float64{0, 0.005, 0.02} {
			m := meter(t, 64, 96, c.rate)
			lit(m, 4.1, c.mains, amplitude, 0.8, amplitude != 0.005) // the smallest only before a still camera
			got := m.Result(0, nil).Flicker
			if len(got) != 2 || got[0].MainsHz != 50 || got[1].MainsHz != 60 {
				t.Fatalf("%v: %+v", c.rate, got)
			}
			if got[0].Measurable != c.measurable50 || got[1].Measurable != c.measurable60 {
				t.Errorf("%v: %+v, want measurable %v, %v", c.rate, got, c.measurable50, c.measurable60)
			}
			for _, f := range got {
				lamp := float64(f.MainsHz) == c.mains && f.Measurable && amplitude > 0
				if f.Found != lamp {
					t.Errorf("%v, %v of the light: %+v, want found %v", c.rate, amplitude, f, lamp)
				}
				// Bands of so many to the height lie between two of those sought.
				if lamp && math.Abs(f.Amplitude-amplitude) > 0.25*amplitude {
					t.Errorf("%v: amplitude %v, want %v", c.rate, f.Amplitude, amplitude)
				}
			}
		}
	}
}

// TestFlickerNeedsSomeSeconds: a block must be full.
func TestFlickerNeedsSomeSeconds(t *testing.T) {
	m := meter(t, 64, 96, film.Rate{Num: 30, Den: 1})
	lit(m, 3, 50, 0.05, 0.8, false)
	if f := m.Result(0, nil).Flicker[0]; f.Measurable || f.Found {
		t.Errorf("%+v after 3 seconds", f)
	}
}

// TestUnrestIsNoFlicker: the camera jolts up and down from picture to picture, so
// that rows change at all rates at once.
func TestUnrestIsNoFlicker(t *testing.T) {
	m := meter(t, 64, 96, film.Rate{Num: 30, Den: 1})
	random := chance(20)
	still := newScene(32, 64, 160).taken(64, 160, 0, 0, 0)
	for range 125 {
		from := int(64 * random())
		m.Add(grey(still[64*from:64*(from+96)], 2, random))
	}
	f := m.Result(0, nil).Flicker[0]
	if !f.Measurable || f.Found || f.Amplitude < leastAmplitude {
		t.Errorf("%+v, want some unrest and no flicker", f)
	}
}
