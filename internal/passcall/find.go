package passcall

import (
	"context"
	"math"
	"sync"

	"takeweave/internal/dsp"
)

// Heard is a call that was read.
type Heard struct {
	Number int     `json:"number"`
	At     float64 `json:"at_s"` // where it begins
	// Share is the part of the power of the tones that lies where this number has
	// them, 0..1.
	Share float64 `json:"share"`
}

// When a call is read. Set by simulated calls in rooms under noise and music, so
// that in 10,000 of them no wrong number came out; see docs/pass-call.md.
const (
	likeSweep  = 0.12 // least likeness of the sweep, 0..1, to look for tones
	leastShare = 0.27
	leastLead  = 0.10 // over the next likely number, in share
)

// Find reads all calls in a sound, in order. The sound should hold what lies
// between 1 and 5 kHz. Errors are those of src and of ctx.
func Find(ctx context.Context, src dsp.Source) ([]Heard, error) {
	rate := src.Rate()
	sweep := Samples(1, rate)[:int(sweepSeconds*float64(rate))]
	size := math.Sqrt(float64(dsp.Dot(sweep, sweep)))
	// The tones are few and short: the transform of a block this long fits a cache.
	step := 1<<17 - 2*len(sweep)
	block := make([]float32, step+len(sweep))
	var all []Heard
	for from := 0; from < src.Len(); from += step {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		if err := src.Read(block, from); err != nil {
			return nil, err
		}
		for _, at := range sweeps(block, sweep, size) {
			h, ok, err := read(src, from+at)
			if err != nil {
				return nil, err
			}
			if n := len(all); ok && (n == 0 || h.At-all[n-1].At > Seconds) {
				all = append(all, h)
			}
		}
	}
	return all, nil
}

// sweeps returns where in a block the sweep may begin, in samples, in order.
func sweeps(block, sweep []float32, size float64) []int {
	n := len(sweep)
	like := dsp.Correlate(sweep, block)[n-1:]
	var power float64
	for _, v := range block[:n] {
		power += float64(v) * float64(v)
	}
	var found []int
	apart, best := n, 0.0
	for i := range len(block) - n {
		if l := math.Abs(float64(like[i])) / (size*math.Sqrt(math.Max(power, 0)) + 1e-9); l > likeSweep {
			switch last := len(found) - 1; {
			case last < 0 || i-found[last] > apart:
				found, best = append(found, i), l
			case l > best:
				found[last], best = i, l
			}
		}
		power += float64(block[i+n])*float64(block[i+n]) - float64(block[i])*float64(block[i])
	}
	return found
}

// read reads the tones of a call whose sweep begins at sample first.
func read(src dsp.Source, first int) (h Heard, ok bool, err error) {
	rate := float64(src.Rate())
	tones := make([]float32, int((Seconds-sweepSeconds+toneSeconds)*rate))
	// A tone's length before the first, to know what sounded already.
	if err := src.Read(tones, first+int((sweepSeconds-toneSeconds)*rate)); err != nil {
		return h, false, err
	}
	shares := sharesOf(tones, rate)
	best, next, number := 0.0, 0.0, 0
	for n, word := range words() {
		var s float64
		for i, letter := range word {
			s += shares[i][letter]
		}
		if s /= places; s > best {
			best, next, number = s, best, n
		} else if s > next {
			next = s
		}
	}
	h = Heard{Number: number, At: float64(first) / rate, Share: best}
	return h, number >= 1 && number <= Highest && best >= leastShare && best-next >= leastLead, nil
}

// words are the letters of all numbers.
var words = sync.OnceValue(func() (all [1 << 12][places]int) {
	for n := range all {
		all[n] = code(n)
	}
	return all
})

// sharesOf returns for each place what share of the power of all letters each has.
// tones begins one tone before the first place. What sounded just before counts
// against a letter: it is an echo, or music.
func sharesOf(tones []float32, rate float64) (shares [places][alphabet]float64) {
	length := int(toneSeconds * rate)
	window := dsp.Hann(length)
	cut := make([]float32, length)
	at := func(slot int) []float32 {
		first := int(math.Round(float64(slot) * toneSeconds * rate))
		for i := range cut {
			cut[i] = tones[first+i] * window[i]
		}
		return cut
	}
	for place := range places {
		var sum float64
		for letter := range alphabet {
			hz := toneHz(place, letter)
			fresh := math.Max(0, power(at(place+1), hz/rate)-power(at(place), hz/rate))
			shares[place][letter] = fresh
			sum += fresh
		}
		for letter := range alphabet {
			shares[place][letter] /= sum + 1e-20
		}
	}
	return shares
}

// power returns the power of x at a frequency in cycles a sample. Source:
// [Goertzel1958].
func power(x []float32, cycles float64) float64 {
	w := 2 * math.Cos(2*math.Pi*cycles)
	var a, b float64
	for _, v := range x {
		a, b = float64(v)+w*a-b, a
	}
	return a*a + b*b - w*a*b
}
