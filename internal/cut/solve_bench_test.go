package cut

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"takeweave/internal/film"
)

// fourMinutes is 480 beats at 120 a minute and live passes in five setups: maps
// that bend by some ten milliseconds a second and change every few tenths of a
// second, a fifth of the moments not agreeing.
func fourMinutes(passes int) Request {
	rng := rand.New(rand.NewPCG(1, 2))
	song := steadySong(480, 0.5)
	r := Request{Song: song, Rate: film.Rate{Num: 25, Den: 1}}
	for p := 0; p < passes; p++ {
		setup := []film.Setup{wide, hands, face, lamp, {Name: "side", Size: film.SizeMid}}[p%5]
		c := steadyPass(int64(p+1), fmt.Sprintf("C%04d.MP4", p+1), setup, song, 10)
		c.Map = &film.Segment{}
		for t, d := 0.0, 10.0; t < 240; t += 0.4 {
			c.Map.Knots = append(c.Map.Knots, film.Knot{Pass: film.PassTime(t + d), Song: film.SongTime(t)})
			c.Map.ErrorMS = append(c.Map.ErrorMS, 5+20*rng.Float64())
			d += 0.01 * (math.Sin(t/4+float64(p)) + rng.Float64() - 0.5)
		}
		scores := make([]float64, 600)
		for i := range scores {
			if scores[i] = 0.6 + 0.4*rng.Float64(); rng.IntN(5) == 0 {
				scores[i] = 0.5 * rng.Float64()
			}
		}
		c.Agreement = agreement(song.Duration, func(t film.SongTime) float64 { return scores[int(t/2.5)] })
		r.Candidates = append(r.Candidates, c)
	}
	return r
}

func BenchmarkSolve480x20(b *testing.B) {
	for _, speed := range []float64{0, 0.02} {
		b.Run(fmt.Sprintf("speed%g", speed), func(b *testing.B) {
			r := fourMinutes(20)
			r.Options.MaxSpeed = speed
			for b.Loop() {
				mustSolve(b, r)
			}
		})
	}
}
