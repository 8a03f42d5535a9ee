package optics

import (
	"fmt"

	"takeweave/internal/film"
)

// Setup is a camera set up in front of a musician, in numbers a person types in.
type Setup struct {
	Name      string  `json:"name"`
	Sensor    Sensor  `json:"sensor"` // the part that records
	PixelsW   int     `json:"pixels_width"`
	PixelsH   int     `json:"pixels_height"`
	FocalMM   float64 `json:"focal_mm"`
	Stop      float64 `json:"stop"`
	DistanceM float64 `json:"distance"` // by tape from the front of the lens to the subject
	NearestM  float64 `json:"nearest"`  // the lens's nearest focus, from the sensor; 0 is unknown
	HeightM   float64 `json:"height"`   // of the lens above the floor
	AimM      float64 `json:"aim"`      // what stands in the frame's middle at the subject, above the floor
	AxisDeg   float64 `json:"axis"`     // where the camera stands around the subject, clockwise from above, from any zero
	Move      Move    `json:"move"`
}

// Check returns an error for numbers no camera has.
func (s Setup) Check() error {
	for _, c := range []struct {
		ok   bool
		what string
	}{
		{s.Sensor.WidthMM > 0 && s.Sensor.HeightMM > 0, "the sensor's size"},
		{s.PixelsW > 0 && s.PixelsH > 0, "the size of the recorded picture"},
		{s.FocalMM > 0 && s.FocalMM < 2000, "the focal length"},
		{s.Stop >= 0.5 && s.Stop <= 64, "the f-number"},
		{s.DistanceM > 0 && s.DistanceM < 1000, "the distance"},
	} {
		if !c.ok {
			return &film.Error{
				Code: film.CodeUsage, Msg: fmt.Sprintf("setup %q: %s is missing or impossible", s.Name, c.what),
				Hint: "millimetres for sensor and lens, metres for distances, pixels for the picture",
			}
		}
	}
	return nil
}

// Lens returns the setup's lens, focused on the subject.
func (s Setup) Lens() Lens { return Lens{s.FocalMM, s.Stop, s.fromPlane(s.DistanceM)} }

// fromPlane turns a distance from the front focal point in metres into one from
// the principal plane in millimetres.
func (s Setup) fromPlane(m float64) float64 { return 1000*m + s.FocalMM }

// FrameM returns the size of the frame at the subject in metres.
func (s Setup) FrameM() (width, height float64) {
	return s.DistanceM * s.Sensor.WidthMM / s.FocalMM, s.DistanceM * s.Sensor.HeightMM / s.FocalMM
}

// fieldM returns the size of the field in metres at so many metres behind the
// subject.
func (s Setup) fieldM(behindM float64) (width, height float64) {
	at := s.fromPlane(s.DistanceM + behindM)
	l := s.Lens()
	return l.FieldMM(s.Sensor.WidthMM, at) / 1000, l.FieldMM(s.Sensor.HeightMM, at) / 1000
}

// CircleMM returns the circle of confusion for a picture delivered so many
// pixels wide: [Limits.CirclePx] of its pixels.
func (s Setup) CircleMM(outputW int, limits Limits) float64 {
	return limits.CirclePx * s.Sensor.WidthMM / float64(outputW)
}

// Focuses reports whether the lens can be focused on the subject, and how far
// the subject is from the sensor in metres, which is how nearest focus is told.
func (s Setup) Focuses() (ok bool, fromSensorM float64) {
	l := s.Lens()
	image := l.FocalMM * l.FocusMM / (l.FocusMM - l.FocalMM)
	fromSensorM = (l.FocusMM + image) / 1000
	return fromSensorM >= s.NearestM, fromSensorM
}
