package light

import (
	"math"

	"takeweave/internal/film"
)

// PulseHz is how often lamps on the mains pulse: twice in each period. Lamps that
// dim their diodes by switching pulse at a frequency of their own.
func PulseHz(mainsHz float64) float64 { return 2 * mainsHz }

// SafeSeconds returns the exposure times that hold whole pulses, up to the
// longest: no two pictures differ then at any rate. Source: physics.
func SafeSeconds(mainsHz, longest float64) []float64 {
	var safe []float64
	for k := 1.0; k/PulseHz(mainsHz) <= longest*(1+1e-9); k++ {
		safe = append(safe, k/PulseHz(mainsHz))
	}
	return safe
}

// SafeDegrees returns the same as angles of the shutter, 360 at most.
func SafeDegrees(mainsHz float64, rate film.Rate) []float64 {
	safe := SafeSeconds(mainsHz, rate.FrameSeconds())
	for i, s := range safe {
		safe[i] = ShutterDeg(s, rate)
	}
	return safe
}

// BeatHz returns how often pictures at a rate brighten and darken, or bands roll
// by, at a shutter that is not safe; 0 if the rate divides the pulses, so that
// every picture is alike at any shutter, bands in it included. Source: physics.
func BeatHz(mainsHz float64, rate film.Rate) float64 {
	pulse, fps := PulseHz(mainsHz), rate.PerSecond()
	return math.Abs(pulse - fps*math.Round(pulse/fps))
}

// Ripple returns how much of a light's pulsing an exposure keeps: the amplitude
// against the mean, for light that swings as a sine by a share of its mean.
// Source: physics, |sin(pi f T) / (pi f T)|.
func Ripple(seconds, pulseHz, modulation float64) float64 {
	x := math.Pi * pulseHz * seconds
	return modulation * math.Abs(math.Sin(x)/x)
}

// SwingStops returns an amplitude against the mean, below 1, as stops from the
// brightest to the darkest.
func SwingStops(ripple float64) float64 { return StopsOf((1 + ripple) / (1 - ripple)) }

// BandRows returns how many rows of the picture a band of the mains takes in a
// camera that reads row after row. Source: physics.
func BandRows(pulseHz, rowSeconds float64) float64 { return 1 / (pulseHz * rowSeconds) }
