// Package wav writes sound as WAVE files, which everything can play.
package wav

import (
	"bufio"
	"encoding/binary"
	"fmt"
	"io"
	"math"
)

// WriteStereo writes two channels as 16 bit PCM at rateHz. Both channels have
// the same length; values outside [-1, 1] are held there. More samples than a
// WAVE file can hold (4 GiB) are an error.
//
// Source: [RIFF1991], WAVE form with WAVE_FORMAT_PCM.
func WriteStereo(w io.Writer, rateHz int, left, right []float32) error {
	const blockAlign = 4
	bytes := len(left) * blockAlign
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
	}{16, 1, 2, uint32(rateHz), uint32(rateHz * blockAlign), blockAlign, 16})
	b.WriteString("data")
	binary.Write(b, binary.LittleEndian, uint32(bytes))
	var frame [blockAlign]byte
	for i := range left {
		binary.LittleEndian.PutUint16(frame[0:], uint16(pcm16(left[i])))
		binary.LittleEndian.PutUint16(frame[2:], uint16(pcm16(right[i])))
		b.Write(frame[:])
	}
	return b.Flush() // bufio keeps the first error of any write above
}

func pcm16(v float32) int16 {
	return int16(math.Round(32767 * math.Max(-1, math.Min(1, float64(v)))))
}
