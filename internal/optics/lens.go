package optics

import "math"

// Lens is a thin lens of a focal length and an f-number, focused at a distance
// from its front principal plane that is larger than the focal length. All in
// millimetres.
type Lens struct {
	FocalMM float64
	Stop    float64
	FocusMM float64
}

// FieldMM returns how much of a plane at a distance from the front principal
// plane a side of the sensor shows. In focus it is side (s - f) / f.
func (l Lens) FieldMM(sideMM, atMM float64) float64 {
	image := l.FocalMM * l.FocusMM / (l.FocusMM - l.FocalMM) // lens to sensor
	return sideMM * atMM / image
}

// FocusFor returns from which distance a side of the sensor shows a wanted
// length in focus: f (1 + wanted / side).
func FocusFor(focalMM, sideMM, wantedMM float64) float64 { return focalMM * (1 + wantedMM/sideMM) }

// HyperfocalMM returns the nearest focus distance at which what is infinitely
// far is still within the circle of confusion: f^2 / (N c) + f.
func (l Lens) HyperfocalMM(circleMM float64) float64 { return l.reach(circleMM) + l.FocalMM }

// reach is f^2 / (N c), the hyperfocal distance from the front focal point.
func (l Lens) reach(circleMM float64) float64 { return l.FocalMM * l.FocalMM / (l.Stop * circleMM) }

// SharpMM returns between which distances points are blurred to no more than the
// circle of confusion. far is math.Inf(1) from the hyperfocal distance on.
// Source: exact thin lens, s (H - f) / (H + s - 2f) and s (H - f) / (H - s).
func (l Lens) SharpMM(circleMM float64) (near, far float64) {
	k, x := l.reach(circleMM), l.FocusMM-l.FocalMM
	near = l.FocusMM * k / (k + x)
	if x >= k {
		return near, math.Inf(1)
	}
	return near, l.FocusMM * k / (k - x)
}

// StopFor returns the smallest f-number at which everything from sway before to
// sway behind the focus distance stays within the circle of confusion;
// math.Inf(1) if the sway reaches the lens. The near side decides: it is always
// the shorter one.
func (l Lens) StopFor(swayMM, circleMM float64) float64 {
	if swayMM >= l.FocusMM {
		return math.Inf(1)
	}
	return l.FocalMM * l.FocalMM * swayMM / (circleMM * (l.FocusMM - swayMM) * (l.FocusMM - l.FocalMM))
}

// DiscMM returns the diameter on the sensor of the blur disc of a point at a
// distance from the front principal plane; math.Inf(1) is infinitely far.
// Source: thin lens, f^2 / (N (s - f)) |x - s| / x.
func (l Lens) DiscMM(atMM float64) float64 {
	most := l.FocalMM * l.FocalMM / (l.Stop * (l.FocusMM - l.FocalMM))
	if math.IsInf(atMM, 1) {
		return most
	}
	return most * math.Abs(atMM-l.FocusMM) / atMM
}

// DiscStops returns by how many stops the disc of a point light of so many
// candela at a distance outshines a surface of a luminance in cd/m^2, for
// instance the musician's lit face.
//
// The light that passes the aperture is spread over the disc, so the disc's
// illuminance does not change with the f-number, while the scene's is
// pi L / (4 N^2): the ratio goes with N^2 ((s - f) / (f (x - s)))^2. Opening by a
// stop makes discs a stop weaker against the scene.
func (l Lens) DiscStops(atMM, candela, luminance float64) float64 {
	perM := (l.FocusMM - l.FocalMM) / (l.FocalMM * (atMM - l.FocusMM)) * 1000 // 1/m
	return math.Log2(4 * l.Stop * l.Stop * candela * perM * perM / (math.Pi * luminance))
}

// AiryMM returns the diameter of the disc that diffraction makes of a point, to
// the first dark ring: 2.44 times wavelength times f-number.
func AiryMM(stop, wavelengthMM float64) float64 { return 2.44 * wavelengthMM * stop }
