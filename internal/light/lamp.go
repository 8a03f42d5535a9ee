package light

import "math"

// Role is what a lamp does for the musician.
type Role string

// The roles of lamps.
const (
	Key  Role = "key"
	Fill Role = "fill"
	Back Role = "back"
)

// Filter is what hangs before a lamp: net, diffusion, gel.
type Filter struct {
	Name  string  `json:"name"`
	Stops float64 `json:"stops"`           // that it adds: 0 or less
	Mired float64 `json:"mired,omitempty"` // that it adds: above 0 it warms
}

// Lamp is a lamp of the person's own, measured or typed, as it stands.
type Lamp struct {
	Name string `json:"name"`
	Role Role   `json:"role"`
	// LeastLux and MostLux are its light at MeasuredM with the dial at its bottom
	// and its top, without filters. MostLux is 0 for a lamp without a dial.
	LeastLux  float64 `json:"least_lux"`
	MostLux   float64 `json:"most_lux,omitempty"`
	MeasuredM float64 `json:"measured_at"` // 0 is 1 m
	// RadiusM is half the width of the face that shines; 0 is a bare point.
	RadiusM float64 `json:"radius"`
	Kelvin  float64 `json:"kelvin,omitempty"` // 0 is not known

	DialLux      float64  `json:"dial_lux,omitempty"` // its light at MeasuredM as set; 0 is the bottom
	Filters      []Filter `json:"filters,omitempty"`
	DistanceM    float64  `json:"distance"`
	BearingDeg   float64  `json:"bearing"`   // around the musician from the camera, clockwise from above
	ElevationDeg float64  `json:"elevation"` // above the face
	FurthestM    float64  `json:"furthest"`  // that the room allows; 0 is not known
}

// At returns the lux at a distance of a source that gives lux at another, for a
// disc of a radius that shines evenly and is looked at from its axis; radius 0 is
// a point. All in metres.
//
// Source: physics; E goes with 1 / (d² + r²).
func At(lux, measuredM, radiusM, distanceM float64) float64 {
	r2 := radiusM * radiusM
	return lux * (measuredM*measuredM + r2) / (distanceM*distanceM + r2)
}

// Lux returns the light on the musician, filters counted, as a meter reads that
// points at the lamp.
func (l Lamp) Lux() float64 {
	return At(l.dial(), l.measuredM(), l.RadiusM, l.DistanceM) * Times(l.FilterStops())
}

// FilterStops returns what all filters add, 0 or less.
func (l Lamp) FilterStops() float64 {
	stops := 0.0
	for _, f := range l.Filters {
		stops += f.Stops
	}
	return stops
}

// FilteredKelvin returns the colour of its light behind its filters, 0 if it is
// not known.
func (l Lamp) FilteredKelvin() float64 {
	if l.Kelvin == 0 {
		return 0
	}
	kelvin := l.Kelvin
	for _, f := range l.Filters {
		kelvin = Filtered(kelvin, f.Mired)
	}
	return kelvin
}

func (l Lamp) measuredM() float64 {
	if l.MeasuredM == 0 {
		return 1
	}
	return l.MeasuredM
}

func (l Lamp) dial() float64 { return max(l.DialLux, l.LeastLux) }

// top is the light at the dial's top.
func (l Lamp) top() float64 { return max(l.MostLux, l.LeastLux) }

// distanceFor returns how far the lamp stands to give so many stops less, or how
// near to give more; 0 if no distance is near enough.
func (l Lamp) distanceFor(lessStops float64) float64 {
	r2 := l.RadiusM * l.RadiusM
	return math.Sqrt(max(0, (l.DistanceM*l.DistanceM+r2)*Times(lessStops)-r2))
}

// OnPlane returns what all lamps together give on a plane at the musician that
// faces a bearing, upright: each by the cosine of the angle at which it falls in,
// those behind the plane nothing. Source: physics.
func OnPlane(lamps []Lamp, facingDeg float64) float64 {
	sum := 0.0
	for _, l := range lamps {
		sum += l.Lux() * max(0, math.Cos(radians(l.ElevationDeg))*math.Cos(radians(l.BearingDeg-facingDeg)))
	}
	return sum
}

func radians(deg float64) float64 { return deg * math.Pi / 180 }

// Supposed returns in lux at 1 m what a usual lamp with diodes gives, for plans
// before it is measured: its light spread evenly over a cone of a full angle, of
// which the optics keep a share. Source: physics, after LumensPerWatt.
func (l Limits) Supposed(watts, coneDeg, keptShare float64) float64 {
	cone := 2 * math.Pi * (1 - math.Cos(radians(coneDeg/2))) // steradians
	return l.LumensPerWatt * watts * keptShare / cone
}
