package filmday

import (
	"math"
	"math/rand/v2"
	"slices"

	"takeweave/internal/dsp"
)

// throat is somebody's voice.
type throat struct {
	size         float64 // of the formants: 1 a man, 1.17 a woman
	vibratoHz    float64
	vibrato      float64 // semitones
	glide        float64 // seconds from pitch to pitch
	scoop        float64 // semitones below at the start of a line
	breath       float64
	hiss         float64 // loudness of consonants
	attack, fall float64 // seconds
}

func newThroat(r *rand.Rand) throat {
	return throat{
		size: 1 + 0.2*r.Float64(), vibratoHz: 4.7 + 1.3*r.Float64(), vibrato: 0.5 * r.Float64(), glide: 0.03 + 0.07*r.Float64(), scoop: 1.5 * r.Float64() * r.Float64(),
		breath: 0.04 * r.Float64(), hiss: 0.1 + 0.5*r.Float64(), attack: 0.02 + 0.03*r.Float64(), fall: 0.05,
	}
}

// The first three formants, in Hz, of men's vowels: heed, head, had, hod, hawed,
// who'd, hud. Source: [PetersonBarney1952], from memory.
var vowels = [][3]float64{{270, 2290, 3010}, {530, 1840, 2480}, {660, 1720, 2410}, {730, 1090, 2440}, {570, 840, 2410}, {300, 870, 2240}, {640, 1190, 2390}}

// hum is a closed mouth.
var hum = [3]float64{250, 1200, 2200}

// utter is a syllable.
type utter struct {
	at, length  float64 // seconds; at is where the vowel begins
	pitch, fall float64 // MIDI note, and semitones it falls over its length
	loud        float64
	hummed      bool
}

// syllables turns sung notes into syllables.
func syllables(notes []Sounded, part Part, pitchShift float64) (out []utter) {
	for _, n := range notes {
		if n.Part == part {
			out = append(out, utter{n.At, math.Max(n.Length, 0.08), float64(n.Pitch) + pitchShift, 0, n.Loud, part == Hum})
		}
	}
	slices.SortStableFunc(out, func(a, b utter) int { return int(math.Copysign(1, a.at-b.at)) })
	return out
}

// resonator is a second order band pass, retuned as vowels change.
//
// Source: the parallel formant synthesiser of [Klatt1980].
type resonator struct{ a, b, c, y1, y2 float64 }

func (f *resonator) tune(hz, width float64) {
	f.c = -math.Exp(-2 * math.Pi * width / Rate)
	f.b = 2 * math.Exp(-math.Pi*width/Rate) * math.Cos(2*math.Pi*hz/Rate)
	f.a = 1 - f.b - f.c
}

func (f *resonator) next(x float64) float64 {
	y := f.a*x + f.b*f.y1 + f.c*f.y2
	f.y1, f.y2 = y, f.y1
	return y
}

// utter adds syllables to out, one after the other: pulses of the glottis with
// vibrato through three formants, pitch gliding, and hisses before the vowels.
func (v throat) utter(r *rand.Rand, out []float32, all []utter, gain float64) {
	var formants [3]resonator
	var now [3]float64
	phase, wobble, slow, last := 0.0, 0.0, 0.0, 0.0
	end := -1.0
	for k, u := range all {
		vowel := vowels[r.IntN(len(vowels))]
		if u.hummed {
			vowel = hum
		} else if r.IntN(3) > 0 {
			v.consonant(r, out, u.at, gain*u.loud)
		}
		length := u.length
		if k+1 < len(all) {
			length = math.Min(length, all[k+1].at-u.at)
		}
		from := u.pitch - v.scoop
		joined := u.at-end < 0.1 && last > 0
		if joined {
			from = last
		} else {
			now = vowel
		}
		first := int(math.Round(u.at * Rate))
		n := int((length + v.fall) * Rate)
		var step float64
		for i := range n {
			t := float64(i) / Rate
			if i%32 == 0 {
				slow = 0.995*slow + 0.004*r.NormFloat64()
				wobble += 2 * math.Pi * v.vibratoHz * 32 / Rate
				pitch := u.pitch - u.fall*t/u.length + slow
				pitch += (from - u.pitch) * math.Exp(-t/v.glide*2)
				if t > 0.2 {
					pitch += v.vibrato * math.Min(1, (t-0.2)*4) * math.Sin(wobble)
				}
				step = dsp.MIDIHz(pitch) / Rate
				for j := range formants {
					now[j] += 0.06 * (vowel[j] - now[j])
					formants[j].tune(now[j]*v.size, 50+0.04*now[j])
				}
				last = pitch
			}
			phase += step
			phase -= math.Floor(phase)
			// A falling ramp without the sharpest edge: the flow through the glottis.
			x := 2*phase - 1
			if phase < step {
				d := phase/step - 1
				x += d * d
			} else if phase > 1-step {
				d := (phase-1)/step + 1
				x -= d * d
			}
			x += v.breath * r.NormFloat64()
			y := formants[0].next(x) + 0.5*formants[1].next(x) + 0.25*formants[2].next(x)
			e := math.Min(1, t/v.attack)
			if joined {
				e = math.Min(1, 0.5+t/v.attack)
			}
			if t > length {
				e *= math.Max(0, 1-(t-length)/v.fall)
			}
			if p := first + i; p >= 0 && p < len(out) {
				out[p] += float32(gain * u.loud * e * y)
			}
		}
		end = u.at + length
	}
}

// singOver adds all sung notes to what the hands play, as loud as balance says,
// in dB. A double is a little sharp.
func (v throat) singOver(r *rand.Rand, hands []float32, notes []Sounded, pitchShift, balance float64) {
	voice := make([]float32, len(hands))
	v.utter(r, voice, syllables(notes, Voice, pitchShift), mix[Voice])
	v.utter(r, voice, syllables(notes, Hum, pitchShift), mix[Hum])
	v.utter(r, voice, syllables(notes, Double, pitchShift+0.06), mix[Double])
	mixIn(hands, voice, balance)
}

// consonant adds a hiss or a burst that ends where the vowel begins.
func (v throat) consonant(r *rand.Rand, out []float32, at, gain float64) {
	length := 0.02 + 0.07*r.Float64()
	var f resonator
	f.tune(2500+3500*r.Float64(), 1500)
	n := int(length * Rate)
	burst := r.IntN(2) == 0
	for i := range n {
		x := float64(i) / float64(n)
		e := math.Sin(math.Pi * x)
		if burst {
			e = math.Exp(-8 * x)
		}
		if p := int((at-length)*Rate) + i; p >= 0 && p < len(out) {
			out[p] += float32(gain * v.hiss * e * f.next(r.NormFloat64()))
		}
	}
}

// talk invents speech over [from, to) seconds.
func talk(r *rand.Rand, from, to float64) (out []utter) {
	pitch := 43 + 14*r.Float64()
	for t := from; t < to-0.2; {
		length := 0.08 + 0.2*r.Float64()
		out = append(out, utter{t, length, pitch + 3*r.NormFloat64(), 4*r.Float64() - 1, 0.4 + 0.6*r.Float64(), false})
		t += length + 0.03*r.Float64()
		if r.IntN(7) == 0 {
			t += 0.2 + 0.8*r.Float64()
		}
	}
	return out
}
