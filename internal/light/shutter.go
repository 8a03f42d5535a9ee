package light

import (
	"fmt"
	"math"

	"takeweave/internal/film"
)

// ShutterCheck is a shutter against the mains.
type ShutterCheck struct {
	Safe        bool    `json:"safe"`
	BeatHz      float64 `json:"beat_hz"`
	SwingStops  float64 `json:"swing_stops"`            // at most: of a lamp that goes out between pulses
	SafeSeconds float64 `json:"safe_seconds,omitempty"` // the nearest safe time, 0 if there is none at this rate
	Words       string  `json:"words"`
}

// CheckShutter tells whether lamps on the mains flicker or band at a shutter, and
// which time near it is safe. A test picture of the dimmed lamps tells more, see
// [Banding].
func (l Limits) CheckShutter(seconds float64, rate film.Rate, mainsHz float64) ShutterCheck {
	ripple := Ripple(seconds, PulseHz(mainsHz), 1)
	c := ShutterCheck{Safe: ripple <= l.BandShare, BeatHz: BeatHz(mainsHz, rate), SwingStops: SwingStops(ripple)}
	for _, s := range SafeSeconds(mainsHz, rate.FrameSeconds()) {
		if c.SafeSeconds == 0 || math.Abs(StopsOf(s/seconds)) < math.Abs(StopsOf(c.SafeSeconds/seconds)) {
			c.SafeSeconds = s
		}
	}
	c.Words = fmt.Sprintf("1/%s s on %s Hz", plain(1/seconds), plain(mainsHz))
	switch {
	case c.Safe:
		c.Words += " is safe"
		return c
	case c.BeatHz < 1e-9:
		c.Words += fmt.Sprintf(": every picture is alike, but bands of up to %.2f stops may stand in it", c.SwingStops)
	default:
		c.Words += fmt.Sprintf(": bands of up to %.2f stops, %s times a second", c.SwingStops, plain(c.BeatHz))
	}
	if c.SafeSeconds == 0 {
		c.Words += "; no shutter is safe at this rate"
	} else {
		c.Words += fmt.Sprintf("; 1/%s s (%.1f degrees) is safe", plain(1/c.SafeSeconds), ShutterDeg(c.SafeSeconds, rate))
	}
	return c
}
