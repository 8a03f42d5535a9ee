package dsp

import "math"

// Bank sums the bins of a power spectrum into bands with weights.
type Bank struct {
	first   []int
	weights [][]float32
}

// Bands returns the number of bands.
func (b *Bank) Bands() int { return len(b.weights) }

// top returns the highest bin that any band looks at.
func (b *Bank) top() int {
	top := 0
	for i, w := range b.weights {
		top = max(top, b.first[i]+len(w)-1)
	}
	return top
}

// apply writes the band powers of lanes spectra side by side to dst, one row of
// lanes values a band.
func (b *Bank) apply(dst [][lanes]float32, power []float32) {
	for i, w := range b.weights {
		weigh(&dst[i], power[b.first[i]*lanes:], w)
	}
}

// MIDIHz returns the frequency of a MIDI note number, A4 = 69 = 440 Hz.
// Source: ISO 16 for A4.
func MIDIHz(note float64) float64 { return 440 * math.Exp2((note-69)/12) }

// NewSemitoneBank returns bands centred on the MIDI notes lowest..highest, all
// raised by cents, for spectra of size samples at rate Hz. Each band is a
// gaussian of 0.35 semitones standard deviation, never under 0.6 bins.
func NewSemitoneBank(size, rate, lowest, highest int, cents float64) *Bank {
	const sigmaSemitones, sigmaBins, reach = 0.35, 0.6, 2.5
	b := &Bank{}
	binHz := float64(rate) / float64(size)
	for note := lowest; note <= highest; note++ {
		centre := MIDIHz(float64(note) + cents/100)
		sigma := math.Max(centre*(math.Exp2(sigmaSemitones/12)-1), sigmaBins*binHz)
		lo := max(1, int(math.Ceil((centre-reach*sigma)/binHz)))
		hi := min(size/2, int(math.Floor((centre+reach*sigma)/binHz)))
		w := make([]float32, 0, max(0, hi-lo+1))
		for k := lo; k <= hi; k++ {
			z := (float64(k)*binHz - centre) / sigma
			w = append(w, float32(math.Exp(-z*z/2)))
		}
		b.first, b.weights = append(b.first, min(lo, size/2)), append(b.weights, w)
	}
	return b
}

// NewMelBank returns triangular bands, evenly spaced in mel from lowHz to
// highHz, each with weights that sum to 1.
//
// Source: mel = 2595*log10(1 + f/700), [OShaughnessy1987].
func NewMelBank(size, rate, bands int, lowHz, highHz float64) *Bank {
	mel := func(f float64) float64 { return 2595 * math.Log10(1+f/700) }
	hz := func(m float64) float64 { return 700 * (math.Pow(10, m/2595) - 1) }
	binHz := float64(rate) / float64(size)
	edge := func(i int) float64 {
		return hz(mel(lowHz)+(mel(highHz)-mel(lowHz))*float64(i)/float64(bands+1)) / binHz
	}
	b := &Bank{}
	for i := range bands {
		lo, mid, hi := edge(i), edge(i+1), edge(i+2)
		lo, hi = math.Min(lo, mid-1), math.Max(hi, mid+1) // at least one bin inside
		from, to := max(1, int(math.Ceil(lo))), min(size/2, int(math.Floor(hi)))
		var w []float32
		var sum float32
		for k := from; k <= to; k++ {
			x := float64(k)
			g := float32(math.Max(0, math.Min((x-lo)/(mid-lo), (hi-x)/(hi-mid))))
			w = append(w, g)
			sum += g
		}
		for j := range w {
			w[j] /= sum
		}
		b.first, b.weights = append(b.first, from), append(b.weights, w)
	}
	return b
}
