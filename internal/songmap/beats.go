package songmap

import (
	"math"

	"takeweave/internal/film"
)

const (
	// tightness is how much a beat that is off the tempo by a factor e costs, in
	// standard deviations of the onset curve. Source: 100 in [Ellis2007].
	tightness = 100.0

	// latency is how much later than an attack the onset curve peaks, in seconds:
	// some 15 ms before a click, 5 ms before a pluck, since a frame hears ahead.
	// Measured in beats_test.go.
	latency = -0.010

	evenBPM = 100.0 // of the grid when there is no pulse
)

// beatTimes returns the beats over the music: those that lie on the strongest
// onsets and keep the tempo, by dynamic programming, and evenly on from them to
// the ends of the music.
//
// Source: [Ellis2007], here with a tempo that changes.
func beatTimes(h *heard, tempo *tempoCurve) []float64 {
	n := len(h.onset)
	onset := smeared(h.onset, int(0.015*onsetHz))
	score := make([]float64, n)
	back := make([]int, n)
	for i := range n {
		period := tempo.at(float64(i)/onsetHz) * onsetHz
		best, from := 0.0, -1 // a first beat
		for j := max(0, i-int(2*period)); j <= i-int(period/2); j++ {
			e := math.Log(float64(i-j) / period)
			if v := score[j] - tightness*e*e; v > best {
				best, from = v, j
			}
		}
		score[i], back[i] = float64(onset[i])+best, from
	}
	var rows []int
	if n > 0 {
		last := bestEnd(score, tempo)
		for i := last; i >= 0; i = back[i] {
			rows = append([]int{i}, rows...)
		}
	}
	times := make([]float64, len(rows))
	for k, i := range rows {
		times[k] = float64(i)/onsetHz - latency
	}
	return cover(times, h.music, tempo)
}

// bestEnd returns the row of the last beat: of the best scores within the last
// two beats that any chain can reach, the highest.
func bestEnd(score []float64, tempo *tempoCurve) int {
	n := len(score)
	best := n - 1
	for i := n - 1; i >= 0 && float64(n-1-i) < 1.5*onsetHz*tempo.at(float64(n)/onsetHz); i-- {
		if score[i] > score[best] {
			best = i
		}
	}
	return best
}

// smeared returns x with each value spread over a triangle of half rows to both
// sides, so that a strummed chord counts as one.
func smeared(x []float32, half int) []float32 {
	out := make([]float32, len(x))
	for i := range x {
		for d := -half; d <= half; d++ {
			if k := i + d; k >= 0 && k < len(x) {
				out[i] += x[k] * float32(half+1-max(d, -d)) / float32(half+1)
			}
		}
	}
	scale(out)
	return out
}

// cover cuts the beats to the music and goes on evenly to both of its ends.
func cover(times []float64, music film.SongSpan, tempo *tempoCurve) []float64 {
	from, to := float64(music.From), float64(music.To)
	const early = 0.07 // a beat this much before the first sound belongs to it
	var out []float64
	for _, t := range times {
		if t >= from-early && t < to {
			out = append(out, math.Max(0, t))
		}
	}
	if len(out) == 0 {
		out = []float64{from}
	}
	for {
		t := out[0] - tempo.at(out[0])
		if t < from-early || t < 0 {
			break
		}
		out = append([]float64{t}, out...)
	}
	for {
		last := out[len(out)-1]
		t := last + tempo.at(last)
		if t >= to {
			break
		}
		out = append(out, t)
	}
	return out
}

// evenGrid returns beats for music without a pulse.
func evenGrid(music film.SongSpan) []float64 {
	var out []float64
	for k := 0; ; k++ {
		t := float64(music.From) + float64(k)*60/evenBPM
		if t >= float64(music.To) && k > 0 {
			return out
		}
		out = append(out, t)
	}
}

// Clarity of the pulse that counts as none and as sure. Measured: noise,
// held chords and speech stay under 0.08, the generated songs start at 0.2.
const (
	noPulse   = 0.10
	surePulse = 0.45
	// Band flux below which nothing starts: a held chord has 0.001, real songs,
	// solo voices and the barest plucking have 0.1 and more.
	leastStarts = 0.01
)

// sureness returns how regular and strong the pulse is over the music, 0..1.
func sureness(h *heard, tempo *tempoCurve) float64 {
	var sum, n float64
	for k, c := range tempo.clarity {
		if h.music.Holds(film.SongTime(float64(k) * tempoHop)) {
			sum, n = sum+c, n+1
		}
	}
	if n == 0 || h.starts < leastStarts {
		return 0
	}
	return math.Min(1, math.Max(0, (sum/n-noPulse)/(surePulse-noPulse)))
}
