package filmday

import (
	"math"
	"math/rand/v2"

	"takeweave/internal/dsp"
)

// timbre is how the instruments of one recording sound.
type timbre struct {
	tilt, decay, attack, click float64
	harmonics                  int
	cents                      float64
	made                       map[[2]int][]float32
}

func newTimbre(r *rand.Rand, cents float64) *timbre {
	return &timbre{
		tilt: 0.7 + 0.8*r.Float64(), decay: 0.6 + 1.1*r.Float64(), attack: 0.001 + 0.004*r.Float64(), click: 0.25 * r.Float64(),
		harmonics: 7 + r.IntN(7), cents: cents, made: map[[2]int][]float32{},
	}
}

// loudness of the parts against each other.
var mix = [parts]float64{Guitar: 0.16, Piano: 0.16, Bass: 0.3, Voice: 0.3, Hum: 0.25, Second: 0.09, BandBass: 0.25, Double: 0.2, Pad: 0.04, Drum: 0.25}

// add plays all notes but the sung ones into out.
func (c *timbre) add(r *rand.Rand, out []float32, notes []Sounded, semitones int) {
	const release = Rate / 20
	for _, n := range notes {
		if n.Part.Sings() {
			continue
		}
		pitch := n.Pitch
		if n.Part != Drum {
			pitch += semitones
		}
		key := [2]int{pitch, int(n.Part)}
		wave, ok := c.made[key]
		if !ok {
			wave = c.wave(r, pitch, n.Part)
			c.made[key] = wave
		}
		length := int(math.Max(n.Length, 0.03) * Rate)
		if n.Part == Drum {
			length = len(wave)
		}
		gain := float32(n.Loud * mix[n.Part])
		from := int(math.Round(n.At * Rate))
		for i := range min(len(wave), length+release) {
			k := from + i
			if k < 0 || k >= len(out) {
				continue
			}
			g := gain
			if i > length {
				g *= 1 - float32(i-length)/release
			}
			out[k] += g * wave[i]
		}
	}
}

// wave returns a note as long as it may ring: a sum of decaying partials, of
// strings slightly too high, with a click at the start.
func (c *timbre) wave(r *rand.Rand, pitch int, part Part) []float32 {
	if part == Drum {
		return drum(r, pitch)
	}
	seconds, attack, stretch := 2.0, c.attack, 5e-5
	if part == Pad {
		seconds, attack, stretch = 5, 0.35, 0
	}
	out := make([]float32, int(seconds*Rate))
	hz := dsp.MIDIHz(float64(pitch) + c.cents/100)
	place := 0.12 + 0.1*r.Float64() // where the string is struck
	for k := 1; k <= c.harmonics; k++ {
		f := hz * float64(k) * math.Sqrt(1+stretch*float64(k*k))
		if f > 9000 {
			break
		}
		strength, decay := math.Pow(float64(k), -c.tilt), (0.7+0.3*float64(k))/c.decay
		switch part {
		case Guitar, Second:
			strength *= 0.2 + math.Abs(math.Sin(math.Pi*place*float64(k)))
		case Piano:
			decay *= 0.6
		case Bass, BandBass:
			strength, decay = strength/math.Sqrt(float64(k)), decay*0.8
		case Pad:
			decay = 0
		}
		s, co := math.Sincos(2 * math.Pi * r.Float64())
		x, y := float32(strength*co), float32(strength*s)
		sn, cs := math.Sincos(2 * math.Pi * f / Rate)
		shrink := math.Exp(-decay / Rate)
		stepX, stepY := float32(cs*shrink), float32(sn*shrink)
		for i := range out {
			out[i] += y
			x, y = x*stepX-y*stepY, x*stepY+y*stepX
		}
	}
	for i := range min(len(out), int(attack*Rate)) {
		out[i] *= float32(float64(i) / (attack * Rate))
	}
	if part == Guitar || part == Second || part == Piano {
		for i := range Rate / 25 {
			out[i] += float32(c.click * r.NormFloat64() * math.Exp(-float64(i)/Rate/0.005))
		}
	}
	return out
}

// drum returns kick, snare or hat.
func drum(r *rand.Rand, which int) []float32 {
	out := make([]float32, Rate*4/10)
	for i := range out {
		t := float64(i) / Rate
		switch which {
		case 0:
			out[i] = float32(math.Sin(2*math.Pi*(55*t-3*math.Exp(-40*t))) * math.Exp(-t*12))
		case 1:
			out[i] = float32(0.7*r.NormFloat64()*math.Exp(-t*18) + 0.5*math.Sin(2*math.Pi*190*t)*math.Exp(-t*20))
		default:
			out[i] = float32(0.3 * r.NormFloat64() * math.Exp(-t*60))
		}
	}
	return out
}
