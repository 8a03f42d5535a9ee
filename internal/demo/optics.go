package demo

import "math"

// The sensor of the demo's camera in millimetres, full width in 16:9.
const (
	sensorWidthMM  = 36.0
	sensorHeightMM = 20.25
)

// lens is a camera set up: focal length, f-number and focus distance, the
// distance counted from the front principal plane of a thin lens.
type lens struct {
	focalMM float64
	stop    float64
	focusMM float64
}

// fieldWidthMM is how wide a stretch the sensor sees at a distance. For the
// focus distance it is w (s - f) / f; elsewhere the picture of the central rays
// on the same sensor. Source: thin lens (common practice).
func (l lens) fieldWidthMM(atMM float64) float64 {
	image := l.focalMM * l.focusMM / (l.focusMM - l.focalMM)
	return sensorWidthMM * atMM / image
}

// discMM is the diameter on the sensor of the blur disc of a point at xMM;
// math.Inf(1) is a point infinitely far.
// Source: thin lens, b = f^2 / (N (s - f)) |x - s| / x (common practice).
func (l lens) discMM(xMM float64) float64 {
	b := l.focalMM * l.focalMM / (l.stop * (l.focusMM - l.focalMM))
	if math.IsInf(xMM, 1) {
		return b
	}
	return b * math.Abs(xMM-l.focusMM) / xMM
}

// view is a lens with its framing: what lies on the axis in the player's
// plane, in metres, and the size of the picture.
type view struct {
	lens
	centreX, centreY float64 // metres in the player's plane, y down
	width, height    int
}

// pxPerMetre is the scale of the picture at so many metres behind the player.
func (v view) pxPerMetre(behind float64) float64 {
	return float64(v.width) / v.fieldWidthMM(v.focusMM+1000*behind) * 1000
}

// discPx is the diameter in pixels of the blur disc of a point so many metres
// behind the player.
func (v view) discPx(behind float64) float64 {
	return v.discMM(v.focusMM+1000*behind) / sensorWidthMM * float64(v.width)
}

// at returns the projection of the plane so many metres behind the player for
// a camera that has moved by (dx, dy) metres.
func (v view) at(behind, dx, dy float64) place {
	k := v.pxPerMetre(behind)
	return place{
		k: k,
		x: float64(v.width)/2 - (v.centreX+dx)*k,
		y: float64(v.height)/2 - (v.centreY+dy)*k,
	}
}

// place maps metres in one plane to pixels: pixel = k·metre + (x, y).
type place struct{ k, x, y float64 }

func (p place) point(m pt) pt { return pt{m.x*p.k + p.x, m.y*p.k + p.y} }
