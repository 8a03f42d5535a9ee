package film

import "math"

// HalfValue returns the number that the bits of an IEEE 754 half-precision float
// stand for. Source: [IEEE754], binary16.
func HalfValue(bits uint16) float64 {
	sign := 1.0
	if bits&0x8000 != 0 {
		sign = -1
	}
	exponent, fraction := int(bits>>10&31), float64(bits&1023)
	switch exponent {
	case 0:
		return sign * math.Ldexp(fraction, -24)
	case 31:
		if fraction != 0 {
			return math.NaN()
		}
		return math.Inf(int(sign))
	}
	return sign * math.Ldexp(1024+fraction, exponent-25)
}
