package demo

import (
	"math"
	"math/rand/v2"
)

// vowelShape is the sound and the look of a vowel: the first three formants of
// a woman's voice in Hz, and how far the mouth opens and widens (0..1).
// Source: formants rounded from the women's averages of [PetersonBarney1952].
type vowelShape struct {
	f          [3]float64
	open, wide float64
}

var vowels = map[byte]vowelShape{
	'i': {[3]float64{310, 2790, 3310}, 0.28, 0.95},
	'e': {[3]float64{610, 2330, 2990}, 0.55, 0.80},
	'a': {[3]float64{860, 2050, 2850}, 0.85, 0.75},
	'A': {[3]float64{850, 1220, 2810}, 1.00, 0.55},
	'O': {[3]float64{590, 920, 2710}, 0.75, 0.35},
	'o': {[3]float64{520, 1000, 2700}, 0.60, 0.25},
	'u': {[3]float64{370, 950, 2670}, 0.30, 0.12},
	'U': {[3]float64{760, 1400, 2780}, 0.70, 0.50},
}

// Lengths of what happens at the edges of a syllable, in seconds.
const (
	syllableRise = 0.055
	syllableFall = 0.075
	glideSeconds = 0.060 // pitch and mouth move from one syllable to the next
)

// addVoice adds the sung or spoken syllables to dst (mono, sampleRate).
//
// A pulse train with the slope of a voice goes through resonators side by side
// that glide from vowel to vowel. Source: [Klatt1980], parallel branch, and the
// pulse of [Rosenberg1971].
func addVoice(dst []float64, syllables []syllable, rng *rand.Rand) {
	if len(syllables) == 0 {
		return
	}
	var formants [5]resonator
	formants[3].tune(4100, 300)
	formants[4].tune(5000, 450)
	f := vowels[syllables[0].vowel].f
	midi := syllables[0].midi
	const step = 64 // samples between updates of pitch and vowel
	glide := 1 - math.Exp(-step/(glideSeconds/2.2*sampleRate))

	phase, level, drift, breathY := 0.0, 0.0, 0.0, 0.0
	k := 0
	first := max(0, int(syllables[0].at*sampleRate)-step)
	last := syllables[len(syllables)-1]
	end := min(len(dst), int((last.at+last.seconds+0.3)*sampleRate))
	hz, wanted := midiHz(midi), 0.0
	for i := first; i < end; i++ {
		t := float64(i) / sampleRate
		if (i-first)%step == 0 {
			for k+1 < len(syllables) && syllables[k+1].at <= t {
				k++
			}
			s := syllables[k]
			into, left := t-s.at, s.at+s.seconds-t
			wanted = 0
			if into >= 0 && left > 0 {
				wanted = s.level * math.Min(1, math.Min(into/syllableRise, left/syllableFall))
			}
			for j, want := range vowels[s.vowel].f {
				f[j] += glide * (want - f[j])
				formants[j].tune(f[j], 75+0.03*f[j])
			}
			midi += glide * (s.midi - midi)
			drift = 0.98*drift + 0.012*rng.NormFloat64()
			vibrato := 0.0
			if s.seconds > 0.45 && into > 0.25 { // long notes come to life after a while
				vibrato = 0.22 * math.Min(1, (into-0.25)/0.3) * math.Sin(2*math.Pi*5.3*t)
			}
			hz = midiHz(midi + drift + vibrato)
		}
		level += 0.004 * (wanted - level)
		phase += hz / sampleRate
		if phase >= 1 {
			phase--
		}
		pulse := glottalSlope(phase)
		breathY += 0.3 * (rng.NormFloat64() - breathY)
		x := level * (pulse + 0.02*breathY)
		y := 0.0
		for j := range formants {
			y += formants[j].step(x) * formantGain[j]
		}
		dst[i] += voiceGain * y
	}
	for _, s := range syllables {
		addConsonant(dst, s, rng)
	}
}

// formantGain weighs the resonators; neighbours have opposite signs, so that
// they do not cancel between their peaks. voiceGain puts the voice a little
// over the strings.
var formantGain = [5]float64{1, -0.70, 0.50, -0.34, 0.18}

const voiceGain = 0.55

// glottalSlope is the slope of the air flow through the vocal folds over one
// period, phase 0..1: opening, quicker closing, closed.
func glottalSlope(phase float64) float64 {
	const opens, closes = 0.42, 0.18
	switch {
	case phase < opens:
		return 0.5 * math.Pi / opens * math.Sin(math.Pi*phase/opens) * 0.3
	case phase < opens+closes:
		return -0.5 * math.Pi / closes * math.Sin(0.5*math.Pi*(phase-opens)/closes) * 0.3
	}
	return 0
}

// addConsonant gives a syllable that begins with a hiss or a stop its noise,
// just before the vowel.
func addConsonant(dst []float64, s syllable, rng *rand.Rand) {
	var hz, width, seconds, gain float64
	switch s.text[0] {
	case 's', 'S':
		hz, width, seconds, gain = 6800, 2600, 0.085, 0.10
	case 'h', 'H', 'f':
		hz, width, seconds, gain = 2600, 2400, 0.060, 0.05
	case 't', 'k', 'c', 'p', 'T':
		hz, width, seconds, gain = 3800, 2600, 0.018, 0.12
	default:
		return
	}
	var r resonator
	r.tune(hz, width)
	n := int(seconds * sampleRate)
	start := int(s.at*sampleRate) - n*2/3
	for i := range n {
		if start+i < 0 || start+i >= len(dst) {
			continue
		}
		shape := math.Sin(math.Pi * (float64(i) + 0.5) / float64(n))
		dst[start+i] += s.level * gain * shape * r.step(rng.NormFloat64())
	}
}

// mouthAt returns how far the mouth is open and how wide it is, 0..1, at time t.
func mouthAt(syllables []syllable, t float64) (open, wide float64) {
	wide = 0.5
	k := lastBefore(len(syllables), func(i int) bool { return syllables[i].at-glideSeconds > t })
	if k < 0 {
		return 0, wide
	}
	s := syllables[k]
	v := vowels[s.vowel]
	into, left := t-s.at+glideSeconds, s.at+s.seconds-t
	amount := smooth(into/(syllableRise+glideSeconds)) * smooth(left/syllableFall)
	from := 0.0
	if k > 0 && s.at-(syllables[k-1].at+syllables[k-1].seconds) < 0.03 { // sung on: the mouth does not close
		from = 0.45 * vowels[syllables[k-1].vowel].open * (1 - smooth(into/(syllableRise+glideSeconds)))
	}
	return math.Max(from, amount*v.open) * math.Min(1, 0.5+0.5*s.level), wide + (v.wide-wide)*amount
}
