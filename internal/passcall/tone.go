package passcall

import "math"

// Highest is the greatest number that can be called; the least is 1.
const Highest = 999

// The shape of a call. Phones play and cameras record 1 to 5 kHz well (common
// practice); the lengths are what a call of about 1.2 s leaves room for.
const (
	sweepSeconds = 0.24
	sweepFromHz  = 1200.0
	sweepToHz    = 4800.0
	toneSeconds  = 0.064
	places       = 15
	alphabet     = 16 // tones that a place may have
	lowestHz     = 1300.0
	stepHz       = 100.0 // between tones; odd places use those half a step between
	edgeSeconds  = 0.006 // over which a tone comes and goes
)

// Seconds is how long a call lasts.
const Seconds = sweepSeconds + places*toneSeconds

// Tone is one tone of a call, gliding when its frequencies differ.
type Tone struct {
	At      float64 `json:"at_s"` // from the beginning of the call
	Seconds float64 `json:"seconds"`
	FromHz  float64 `json:"from_hz"`
	ToHz    float64 `json:"to_hz"`
}

// Call returns the tones that call a number of 1 to [Highest].
func Call(number int) []Tone {
	tones := []Tone{{0, sweepSeconds, sweepFromHz, sweepToHz}}
	for i, letter := range code(number) {
		hz := toneHz(i, letter)
		tones = append(tones, Tone{sweepSeconds + float64(i)*toneSeconds, toneSeconds, hz, hz})
	}
	return tones
}

// toneHz is the frequency of a letter at a place.
func toneHz(place, letter int) float64 {
	return lowestHz + stepHz*(2*float64(letter)+float64(place%2))
}

// shift is added to the letters. Without it the letters of a number, begun some
// places later, would be those of another number: the code is cyclic. Its digits
// are those of pi in hexadecimal, as good as any.
var shift = [places]int{0x3, 0x2, 0x4, 0x3, 0xf, 0x6, 0xa, 0x8, 0x8, 0x8, 0x5, 0xa, 0x3, 0x0, 0x8}

// code returns the letters of a number, 0..15 each.
func code(number int) (letters [places]int) {
	m0, m1, m2 := number&15, number>>4&15, number>>8&15
	power := 1 // a to the i
	for i := range letters {
		letters[i] = m0 ^ times(m1, power) ^ times(m2, times(power, power)) ^ shift[i]
		power = times(power, 2)
	}
	return letters
}

// times multiplies in GF(16) with the polynomial x⁴ + x + 1, of which 2 is a
// primitive element.
func times(a, b int) int {
	p := 0
	for ; b > 0; b >>= 1 {
		if b&1 == 1 {
			p ^= a
		}
		if a <<= 1; a&16 != 0 {
			a ^= 0b10011
		}
	}
	return p
}

// Samples returns the sound of a call at a rate in samples a second, full scale.
func Samples(number, rate int) []float32 {
	out := make([]float32, int(math.Ceil(Seconds*float64(rate))))
	for _, t := range Call(number) {
		t.add(out, rate)
	}
	return out
}

// add adds a tone to a call.
func (t Tone) add(out []float32, rate int) {
	first, n := int(t.At*float64(rate)), int(t.Seconds*float64(rate))
	for i := range min(n, len(out)-first) {
		at := float64(i) / float64(rate)
		phase := 2 * math.Pi * at * (t.FromHz + (t.ToHz-t.FromHz)*at/t.Seconds/2)
		edge := min(1, min(at, t.Seconds-at)/edgeSeconds)
		out[first+i] += float32(math.Sin(phase) * (1 - math.Cos(math.Pi*max(edge, 0))) / 2)
	}
}
