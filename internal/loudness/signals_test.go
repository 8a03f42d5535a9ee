package loudness

import (
	"math"
	"testing"
)

const testHz = 48000

// part is a stretch of a test signal: a sine of levelDBFS (its peak) in every
// channel that is listed, or silence.
type part struct {
	seconds   float64
	levelDBFS []float64 // per channel; nil is silence
}

func stereo(seconds, levelDBFS float64) part {
	return part{seconds, []float64{levelDBFS, levelDBFS}}
}

func silence(seconds float64) part { return part{seconds: seconds} }

// signal makes a 1000 Hz sine of the parts, phase running on.
func signal(rateHz, channels int, parts ...part) []float32 {
	var out []float32
	at := 0
	for _, p := range parts {
		amplitude := make([]float64, channels)
		for c, l := range p.levelDBFS {
			amplitude[c] = math.Pow(10, l/20)
		}
		for range int(math.Round(p.seconds * float64(rateHz))) {
			s := math.Sin(2 * math.Pi * 1000 * float64(at) / float64(rateHz))
			at++
			for _, a := range amplitude {
				out = append(out, float32(s*a))
			}
		}
	}
	return out
}

func meterOf(t *testing.T, rateHz, channels int, samples []float32) *Meter {
	t.Helper()
	m, err := NewMeter(rateHz, channels)
	if err != nil {
		t.Fatal(err)
	}
	m.Add(samples)
	return m
}

func near(t *testing.T, name string, got Level, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(float64(got)-want) <= tolerance) {
		t.Errorf("%s is %.3f, want %.3f ±%g", name, float64(got), want, tolerance)
	}
}
