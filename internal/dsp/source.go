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
	skip := min(max(0, -from), len(dst))
	clear(dst[:skip])
	n := copy(dst[skip:], s.Samples[min(max(0, from), len(s.Samples)):])
	clear(dst[skip+n:])
	return nil
}

// FromInt16 fills dst with little-endian 16-bit samples, full scale 1. raw holds
// two bytes a sample.
func FromInt16(dst []float32, raw []byte) { fromInt16(dst, raw, 1.0/32768) }

// Seconds returns how long the source lasts.
func Seconds(s Source) float64 { return float64(s.Len()) / float64(s.Rate()) }
