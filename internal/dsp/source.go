package dsp

// AnalysisRate is the sample rate, in Hz, at which all line-up and agreement
// work is done. Everything used lies below 9 kHz.
const AnalysisRate = 22050

// Source is mono sound on one clock; sample 0 is time 0.
type Source interface {
	Rate() int // samples per second
	Len() int  // number of samples
	// Read fills dst with the samples [from, from+len(dst)), zeros outside
	// [0, Len()). from may be negative.
	Read(dst []float32, from int) error
}

// Slice is sound held in memory.
type Slice struct {
	Hz      int
	Samples []float32
}

// Rate returns the sample rate in Hz.
func (s Slice) Rate() int { return s.Hz }

// Len returns the number of samples.
func (s Slice) Len() int { return len(s.Samples) }

// Read fills dst as Source says; it never fails.
func (s Slice) Read(dst []float32, from int) error {
	clear(dst)
	skip := max(0, -from)
	if skip < len(dst) && from+skip < len(s.Samples) {
		copy(dst[skip:], s.Samples[from+skip:])
	}
	return nil
}

// Seconds returns how long the source lasts.
func Seconds(s Source) float64 { return float64(s.Len()) / float64(s.Rate()) }
