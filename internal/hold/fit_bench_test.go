package hold

import (
	"math"
	"testing"

	"takeweave/internal/film"
)

// A four-minute live pass with a knot every 0.4 s, asked for 4 s shots.
func BenchmarkBest(b *testing.B) {
	g := &film.Segment{}
	for i := 0; i <= 600; i++ {
		song := 0.4 * float64(i)
		g.Knots = append(g.Knots, film.Knot{Pass: film.PassTime(8 + 1.01*song + 0.05*math.Sin(song/3)), Song: film.SongTime(song)})
	}
	table := New(g)
	tol := film.Setup{Size: film.SizeClose}.SyncTolerance()
	for _, c := range []struct {
		name     string
		maxSpeed float64
	}{{"native", 0}, {"speed", 0.04}} {
		b.Run(c.name, func(b *testing.B) {
			for i := 0; b.Loop(); i++ {
				from := film.SongTime(i % 230)
				table.Best(film.SongSpan{From: from, To: from + 4}, tol, c.maxSpeed)
			}
		})
	}
}
