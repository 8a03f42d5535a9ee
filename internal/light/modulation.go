package light

import "math"

// Modulation returns in per cent how far light swings between its most and its
// least: 100 (a - b) / (a + b). Source: [IEEE1789].
func Modulation(most, least float64) float64 { return 100 * (most - least) / (most + least) }

// LowRisk returns up to which modulation in per cent light that flickers at a
// frequency in hertz is of low risk to people; +Inf where there is no limit. It
// says nothing about pictures. Source: [IEEE1789], recommended practice 1.
func LowRisk(hz float64) float64 { return modulationLimit(hz, 0.025, 0.08, 1250) }

// NoEffect returns the same for light without observable effect.
// Source: [IEEE1789], recommended practice 2.
func NoEffect(hz float64) float64 { return modulationLimit(hz, 0.01, 0.0333, 3000) }

func modulationLimit(hz, below90, from90, upToHz float64) float64 {
	switch {
	case hz < 90:
		return below90 * hz
	case hz <= upToHz:
		return from90 * hz
	}
	return math.Inf(1)
}
