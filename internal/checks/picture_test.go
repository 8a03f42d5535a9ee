package checks

import (
	"math"
	"math/rand/v2"

	"takeweave/internal/film"
)

const (
	testW, testH = 320, 180
	perShot      = 75
)

var at25 = film.Rate{Num: 25, Den: 1}

// player draws an invented film: each shot has a gradient behind, a figure that
// sways, a hand that strums and a mouth, under the noise of a camera.
type player struct {
	chance *rand.Rand
	noise  float64
	sway   float64 // pixels
	tint   [2]float64
	base   float64
}

func newPlayer(seed uint64) *player {
	return &player{chance: rand.New(rand.NewPCG(seed, 11)), noise: 1.5, sway: 6}
}

func (p *player) draw(frame int) Picture {
	if frame%perShot == 0 {
		p.base = 50 + 70*p.chance.Float64()
		p.tint = [2]float64{24 * p.chance.NormFloat64() / 2, 24 * p.chance.NormFloat64() / 2}
		p.sway = 1 + 7*p.chance.Float64()
	}
	f := Picture{make([]byte, testW*testH), make([]byte, testW*testH), make([]byte, testW*testH)}
	t := float64(frame) / 25
	figure := testW/2 + p.sway*math.Sin(2*math.Pi*0.7*t)
	hand := testH*0.7 + 14*math.Sin(2*math.Pi*1.9*t)
	mouth := 3 + 2*math.Sin(2*math.Pi*2.3*t)
	for y := range testH {
		for x := range testW {
			v := p.base + float64(y)/4
			dx, dy := (float64(x)-figure)/45, (float64(y)-testH*0.55)/80
			if dx*dx+dy*dy < 1 {
				v += 45 + 10*math.Sin(float64(x)-figure+float64(y)/3)
			}
			if math.Abs(float64(x)-figure-20) < 12 && math.Abs(float64(y)-hand) < 9 {
				v += 40
			}
			if math.Abs(float64(x)-figure) < 8 && math.Abs(float64(y)-60) < mouth {
				v -= 50
			}
			i := y*testW + x
			f.Y[i] = byte(math.Round(min(max(v+p.noise*p.chance.NormFloat64(), 16), 235)))
			f.Cb[i] = byte(128 + p.tint[0])
			f.Cr[i] = byte(128 + p.tint[1])
		}
	}
	return f
}

// flat is a picture of one colour.
func flat(y, cb, cr byte) Picture {
	f := Picture{make([]byte, testW*testH), make([]byte, testW*testH), make([]byte, testW*testH)}
	for i := range f.Y {
		f.Y[i], f.Cb[i], f.Cr[i] = y, cb, cr
	}
	return f
}

func shotStarts(frames int) []film.Frames {
	var out []film.Frames
	for f := 0; f < frames; f += perShot {
		out = append(out, film.Frames(f))
	}
	return out
}
