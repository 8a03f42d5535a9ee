// Package wav writes sound as WAVE files, which everything can play.
package wav

import (
	"bufio"
	"encoding/binary"
	"fmt"
	"io"
	"math"
)

// Write writes channels of the same length as 16 bit PCM at rateHz; values
// outside [-1, 1] are held there. More samples than a WAVE file can hold (4 GiB)
// are an error.
//
// Source: [RIFF1991], WAVE form with WAVE_FORMAT_PCM.
func Write(w io.Writer, rateHz int, channels ...[]float32) error {
	blockAlign := 2 * len(channels)
	bytes := len(channels[0]) * blockAlign
	if int64(bytes) > math.MaxUint32-36 {
		return fmt.Errorf("a WAV file cannot hold %d bytes", bytes)
	}
	b := bufio.NewWriterSize(w, 1<<16)
	b.WriteString("RIFF")
	binary.Write(b, binary.LittleEndian, uint32(36+bytes))
	b.WriteString("WAVEfmt ")
	binary.Write(b, binary.LittleEndian, struct {
		Size             uint32
		Format, Channels uint16
		Rate, ByteRate   uint32
		BlockAlign, Bits uint16
	}{16, 1, uint16(len(channels)), uint32(rateHz), uint32(rateHz * blockAlign), uint16(blockAlign), 16})
	b.WriteString("data")
	binary.Write(b, binary.LittleEndian, uint32(bytes))
	var sample [2]byte
	for i := range channels[0] {
		for _, c := range channels {
			binary.LittleEndian.PutUint16(sample[:], uint16(pcm16(c[i])))
			b.Write(sample[:])
		}
	}
	return b.Flush() // bufio keeps the first error of any write above
}

func pcm16(v float32) int16 {
	return int16(math.Round(32767 * math.Max(-1, math.Min(1, float64(v)))))
}
