package filmday

import (
	"math"
	"math/rand/v2"
)

// decoy writes another song like s in key, metre, style and tempo, and with the
// same chords when asked. It is drawn again until it is another song by the notes,
// in another style if need be.
func (s *Song) decoy(r *rand.Rand, alike, sameChords bool) *Song {
	const manyTries = 8
	for try := 0; ; try++ {
		o := AnySong(r, s.Seconds)
		if alike {
			o.Key, o.Minor, o.Meter, o.Swing, o.BPM = s.Key, s.Minor, s.Meter, s.Swing, s.BPM*(0.93+0.14*r.Float64())
			if try < manyTries {
				o.Style, o.Tune = s.Style, s.Tune
			}
		}
		if sameChords {
			o.Loops = s.Loops
		}
		other := NewSong(r, o)
		if s.mostShared(other) < ShareNo || try == 10*manyTries {
			return other
		}
	}
}

// mostShared returns the largest share of common notes of 4 bars in a row of both
// songs, as Truth.Share counts them.
func (s *Song) mostShared(o *Song) float64 {
	const row = 4
	type place struct{ at, pitch int }
	barsOf := func(s *Song) []map[place]int {
		out := make([]map[place]int, len(s.Bars))
		for i := range out {
			out[i] = map[place]int{}
		}
		for _, n := range s.Notes {
			bar := int(n.At) / s.Meter.Quarters
			out[bar][place{int(math.Round(16 * (n.At - s.start(bar)))), n.Pitch}]++
		}
		return out
	}
	a, b := barsOf(s), barsOf(o)
	common, both := make([][]int, len(a)), make([][]int, len(a))
	for i := range a {
		common[i], both[i] = make([]int, len(b)), make([]int, len(b))
		for k := range b {
			for p, n := range a[i] {
				common[i][k] += min(n, b[k][p])
				both[i][k] += n
			}
			for _, n := range b[k] {
				both[i][k] += n
			}
		}
	}
	best := 0.0
	for i := 0; i+row <= len(a); i++ {
		for k := 0; k+row <= len(b); k++ {
			var c, n int
			for j := range row {
				c, n = c+common[i+j][k+j], n+both[i+j][k+j]
			}
			best = math.Max(best, 2*float64(c)/math.Max(1, float64(n)))
		}
	}
	return best
}
