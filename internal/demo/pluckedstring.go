package demo

import (
	"math"
	"math/rand/v2"
)

// sampleRate is that of all the demo's sound, in Hz.
const sampleRate = 48000

// ringString is the voice of one string: the share of a two-point average in
// its loop (how fast high partials die) and its 60 dB decay at low frequency.
var ringString = [openStrings]struct{ dull, t60 float64 }{
	{0.42, 4.6}, {0.40, 4.4}, {0.38, 4.0}, {0.34, 3.5}, {0.30, 3.0}, {0.28, 2.6},
}

// addPlucks adds the plucked strings to dst (mono, sampleRate). A string rings
// until it is plucked again.
//
// The string is a delay line closed by a two-point average and an all-pass
// that supplies the fraction of a sample which the pitch needs.
// Source: [KarplusStrong1983], fractional delay and pick position as in
// [JaffeSmith1983].
func addPlucks(dst []float64, plucks []pluck, rng *rand.Rand) {
	next := make([]float64, len(plucks))
	var later [openStrings]float64
	for s := range later {
		later[s] = math.Inf(1)
	}
	for i := len(plucks) - 1; i >= 0; i-- {
		next[i] = later[plucks[i].string]
		later[plucks[i].string] = plucks[i].at
	}
	for i, p := range plucks {
		addPluck(dst, p, math.Min(next[i]-p.at, 5), rng)
	}
}

// addPluck renders one note that is damped after the given seconds.
func addPluck(dst []float64, p pluck, seconds float64, rng *rand.Rand) {
	voice := ringString[p.string]
	hz := midiHz(float64(p.midi()) + p.cents/100)
	period := sampleRate / hz
	whole := int(period - voice.dull - 0.3)
	frac := period - voice.dull - float64(whole) // 0.3..1.3, where the all-pass is well behaved
	allpass := (1 - frac) / (1 + frac)
	gain := math.Pow(10, -3*period/sampleRate/voice.t60)

	// What the finger leaves on the string: the slope of a string drawn aside at a
	// seventh of its length, rounded the more the softer the pluck, and a little
	// of the finger's own noise.
	shaped := make([]float64, whole)
	corner := max(1, whole/7)
	bright := 0.30 + 0.45*math.Min(1, p.force)
	y, mean := 0.0, 0.0
	for range 2 { // twice round, so that its end meets its beginning
		mean = 0
		for i := range shaped {
			x := -1 / float64(whole-corner)
			if i < corner {
				x = 1 / float64(corner)
			}
			x = x*float64(corner) + 0.25*(2*rng.Float64()-1)
			y += bright * (x - y)
			shaped[i] = y
			mean += y / float64(whole)
		}
	}
	energy := 1e-9
	for i := range shaped {
		shaped[i] -= mean
		energy += shaped[i] * shaped[i] / float64(whole)
	}
	level := 0.3 * p.force / math.Sqrt(energy)

	start := int(math.Round(p.at * sampleRate))
	n := int(seconds * sampleRate)
	const damp = 240 // samples: a finger stops the string within 5 ms
	var last, apIn, apOut float64
	k := 0
	for i := range n {
		if start+i >= len(dst) {
			break
		}
		v := shaped[k]
		avg := gain * ((1-voice.dull)*v + voice.dull*last)
		last = v
		ap := allpass*avg + apIn - allpass*apOut
		apIn, apOut = avg, ap
		shaped[k] = ap
		if k++; k == whole {
			k = 0
		}
		fade := 1.0
		if left := n - i; left < damp {
			fade = float64(left) / damp
		}
		if start+i >= 0 {
			dst[start+i] += level * fade * v
		}
	}
}

// addKnocks adds taps with a knuckle on the guitar's top.
func addKnocks(dst []float64, at []float64, rng *rand.Rand) {
	for _, t := range at {
		start := int(t * sampleRate)
		var box resonator
		box.tune(190, 60)
		for i := range sampleRate / 5 {
			if start+i < 0 || start+i >= len(dst) {
				continue
			}
			hit := 0.0
			if i < 120 {
				hit = (2*rng.Float64() - 1) * 0.5
			}
			dst[start+i] += 9 * box.step(hit)
		}
	}
}

// body passes the strings through the guitar's top: the air and wood
// resonances that make a string sound like a guitar.
// Source: the frequencies are common values for a flat-top guitar (common practice).
func body(x []float64) {
	modes := []struct{ hz, width, gain float64 }{{102, 26, 1.1}, {198, 34, 1.0}, {390, 70, 0.5}, {1150, 500, 0.28}}
	var r [4]resonator
	for i, m := range modes {
		r[i].tune(m.hz, m.width)
	}
	low := 0.0
	for i, v := range x {
		low += 0.145 * (v - low) // 1.1 kHz; what lies above is what a stiff top radiates best
		sum := 0.72*v + 0.9*(v-low)
		for k := range r {
			sum += modes[k].gain * r[k].step(v)
		}
		x[i] = sum
	}
}

// resonator is a two-pole filter with unit gain at its frequency.
type resonator struct{ a1, a2, gain, y1, y2 float64 }

// tune sets the centre frequency and bandwidth in Hz; the state goes on.
func (r *resonator) tune(hz, width float64) {
	radius := math.Exp(-math.Pi * width / sampleRate)
	w := 2 * math.Pi * hz / sampleRate
	r.a1, r.a2 = 2*radius*math.Cos(w), -radius*radius
	r.gain = (1 - radius) * math.Sqrt(1-2*radius*math.Cos(2*w)+radius*radius)
}

func (r *resonator) step(x float64) float64 {
	y := r.gain*x + r.a1*r.y1 + r.a2*r.y2
	r.y2, r.y1 = r.y1, y
	return y
}
