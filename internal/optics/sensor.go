package optics

import "math"

// Sensor is the part of a sensor that records, in millimetres.
type Sensor struct {
	WidthMM  float64 `json:"width_mm"`
	HeightMM float64 `json:"height_mm"`
}

// Format is a common sensor by its generic name.
type Format struct {
	Name   string `json:"name"`
	Sensor Sensor `json:"sensor"`
}

// Formats are sensors to begin with; cameras differ from them by tenths of a
// millimetre and often record only a part. Source: common practice.
var Formats = []Format{
	{"full frame", Sensor{36, 24}},
	{"35 mm film", Sensor{24.89, 18.66}},
	{"APS-C", Sensor{23.5, 15.6}},
	{"four thirds", Sensor{17.3, 13}},
	{"one inch", Sensor{13.2, 8.8}},
}

// DiagonalMM returns the sensor's diagonal.
func (s Sensor) DiagonalMM() float64 { return math.Hypot(s.WidthMM, s.HeightMM) }

// Part returns the largest part of the sensor with a ratio of width to height.
func (s Sensor) Part(ratio float64) Sensor {
	return Sensor{min(s.WidthMM, s.HeightMM*ratio), min(s.HeightMM, s.WidthMM/ratio)}
}

// ViewDeg returns the field of view over a side of the sensor of a lens that is
// focused far away. Source: 2 atan(side / 2f), rectilinear lens (physics).
func ViewDeg(sideMM, focalMM float64) float64 {
	return 2 * math.Atan(sideMM/(2*focalMM)) * 180 / math.Pi
}
