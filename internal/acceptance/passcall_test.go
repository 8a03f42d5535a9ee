package acceptance

import (
	"bytes"
	"context"
	"encoding/binary"
	"math"
	"math/rand/v2"
	"os/exec"
	"testing"

	"takeweave/internal/dsp"
	"takeweave/internal/passcall"
)

// A pass call is still read after a camera's AAC at 96 kbit/s, noise 10 dB below
// it. The coder is FFmpeg's own.
func TestPassCallThroughAAC(t *testing.T) {
	const rate = 48000
	r := rand.New(rand.NewPCG(4, 8))
	read := 0
	const trials = 12
	for range trials {
		number := 1 + r.IntN(passcall.Highest)
		call := passcall.Samples(number, rate)
		var wav bytes.Buffer
		level := 0.1 * math.Pow(10, -10/20.0) / math.Sqrt2
		for i := range 4 * rate {
			v := level * r.NormFloat64()
			if k := i - rate; k >= 0 && k < len(call) {
				v += 0.1 * float64(call[k])
			}
			_ = binary.Write(&wav, binary.LittleEndian, float32(v))
		}
		sound := through(t, wav.Bytes())
		got, err := passcall.Find(context.Background(), dsp.Slice{Hz: dsp.AnalysisRate, Samples: sound})
		if err != nil {
			t.Fatal(err)
		}
		for _, h := range got {
			if h.Number != number {
				t.Errorf("call %d was read as %d", number, h.Number)
			}
			read++
		}
	}
	if read < trials*95/100 {
		t.Errorf("%d of %d calls read", read, trials)
	}
}

// through codes sound at 48 kHz as AAC and decodes it to the rate of analysis.
func through(t *testing.T, raw []byte) []float32 {
	t.Helper()
	code := exec.Command("ffmpeg", "-v", "error", "-f", "f32le", "-ar", "48000", "-ac", "1", "-i", "-", "-c:a", "aac", "-b:a", "96k", "-f", "adts", "-")
	code.Stdin = bytes.NewReader(raw)
	coded, err := code.Output()
	if err != nil {
		t.Fatal(err)
	}
	decode := exec.Command("ffmpeg", "-v", "error", "-f", "aac", "-i", "-", "-f", "f32le", "-ar", "22050", "-ac", "1", "-")
	decode.Stdin = bytes.NewReader(coded)
	back, err := decode.Output()
	if err != nil {
		t.Fatal(err)
	}
	out := make([]float32, len(back)/4)
	if err := binary.Read(bytes.NewReader(back), binary.LittleEndian, out); err != nil {
		t.Fatal(err)
	}
	return out
}
