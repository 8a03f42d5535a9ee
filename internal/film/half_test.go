package film

import (
	"math"
	"testing"
)

// TestHalfValue: bits that [IEEE754] gives as examples of binary16 (from memory).
func TestHalfValue(t *testing.T) {
	for bits, want := range map[uint16]float64{
		0x0000: 0, 0x3c00: 1, 0xc000: -2, 0x7bff: 65504, 0x0400: 0x1p-14, 0x03ff: 1023 * 0x1p-24, 0x0001: 0x1p-24,
		0x3555: 0.333251953125, 0x7c00: math.Inf(1), 0xfc00: math.Inf(-1),
	} {
		if got := HalfValue(bits); got != want {
			t.Errorf("%04x is %g, want %g", bits, got, want)
		}
	}
	if !math.IsNaN(HalfValue(0x7e00)) {
		t.Error("7e00 is a number")
	}
}
