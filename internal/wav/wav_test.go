package wav

import (
	"bytes"
	"encoding/binary"
	"testing"
)

// The head byte by byte as the specification lays it out [RIFF1991].
func TestHeadAndSamples(t *testing.T) {
	var b bytes.Buffer
	if err := Write(&b, 22050, []float32{0, 1, -2}, []float32{0.5, -1, 2}); err != nil {
		t.Fatal(err)
	}
	got := b.Bytes()
	if len(got) != 44+12 {
		t.Fatalf("%d bytes", len(got))
	}
	for _, c := range []struct {
		at   int
		want string
	}{{0, "RIFF"}, {8, "WAVE"}, {12, "fmt "}, {36, "data"}} {
		if s := string(got[c.at : c.at+4]); s != c.want {
			t.Errorf("at %d: %q, want %q", c.at, s, c.want)
		}
	}
	for at, want := range map[int]uint32{4: 48, 16: 16, 24: 22050, 28: 88200, 40: 12} {
		if v := binary.LittleEndian.Uint32(got[at:]); v != want {
			t.Errorf("at %d: %d, want %d", at, v, want)
		}
	}
	for at, want := range map[int]int16{20: 1, 22: 2, 32: 4, 34: 16, 44: 0, 46: 16384, 48: 32767, 50: -32767, 52: -32767, 54: 32767} {
		if v := int16(binary.LittleEndian.Uint16(got[at:])); v != want {
			t.Errorf("at %d: %d, want %d", at, v, want)
		}
	}
}
