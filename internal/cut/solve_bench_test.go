package cut

import (
	"fmt"
	"math"
	"math/rand/v2"
	"syscall"
	"testing"

	"takeweave/internal/film"
)

// filmDay is so many beats at 120 a minute and live passes in five setups: maps
// that bend by some ten milliseconds a second and change every few tenths of a
// second, a fifth of the moments not agreeing.
func filmDay(beats, passes int) Request {
	rng := rand.New(rand.NewPCG(1, 2))
	song := steadySong(beats, 0.5)
	r := Request{Song: song, Rate: film.Rate{Num: 25, Den: 1}}
	for p := 0; p < passes; p++ {
		setup := []film.Setup{wide, hands, face, lamp, {Name: "side", Size: film.SizeMid}}[p%5]
		c := steadyPass(int64(p+1), fmt.Sprintf("C%04d.MP4", p+1), setup, song, 10)
		c.Map = &film.Segment{}
		for t, d := 0.0, 10.0; t < float64(beats)/2; t += 0.4 {
			c.Map.Knots = append(c.Map.Knots, film.Knot{Pass: film.PassTime(t + d), Song: film.SongTime(t)})
			c.Map.ErrorMS = append(c.Map.ErrorMS, 5+20*rng.Float64())
			d += 0.01 * (math.Sin(t/4+float64(p)) + rng.Float64() - 0.5)
		}
		scores := make([]float64, beats/5+1)
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

// processor returns the processor time used so far, in milliseconds: other
// programs on the machine do not count.
func processor() float64 {
	var u syscall.Rusage
	_ = syscall.Getrusage(syscall.RUSAGE_SELF, &u)
	return float64(u.Utime.Sec+u.Stime.Sec)*1e3 + float64(u.Utime.Usec+u.Stime.Usec)/1e3
}

// BenchmarkGrowth prints how a full solve and healing after a pin grow with the
// song and the passes, in wall and in processor time.
func BenchmarkGrowth(b *testing.B) {
	for _, size := range []struct{ beats, passes int }{{240, 10}, {480, 20}, {960, 40}, {1440, 60}} {
		for _, speed := range []float64{0, 0.02} {
			r := filmDay(size.beats, size.passes)
			r.Options.MaxSpeed = speed
			name := fmt.Sprintf("%.0fmin/%dpasses/speed%g", float64(size.beats)/120, size.passes, speed)
			b.Run("full/"+name, func(b *testing.B) {
				start := processor()
				for b.Loop() {
					mustSolve(b, r)
				}
				b.ReportMetric((processor()-start)/float64(b.N), "cpu-ms/op")
			})
			b.Run("heal/"+name, func(b *testing.B) {
				board, err := Prepare(r)
				if err != nil {
					b.Fatal(err)
				}
				if _, err := board.Solve(b.Context(), nil); err != nil {
					b.Fatal(err)
				}
				start, n := processor(), 0
				for b.Loop() {
					n++
					from := film.SongTime(20 + 3*(n%30))
					pins := []film.Pin{{ID: 1, Kind: film.PinNotPass, Pass: r.Candidates[n%len(r.Candidates)].Pass, Span: film.SongSpan{From: from, To: from + 6}}}
					if _, err := board.Solve(b.Context(), pins); err != nil {
						b.Fatal(err)
					}
				}
				b.ReportMetric((processor()-start)/float64(b.N), "cpu-ms/op")
			})
		}
	}
}
