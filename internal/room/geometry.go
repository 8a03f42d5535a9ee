package room

import "math"

// Point is a place in the plan in metres.
type Point struct {
	X float64 `json:"x"`
	Y float64 `json:"y"`
}

// plus returns the point that lies a vector of so many lengths further.
func (p Point) plus(v Point, times float64) Point { return Point{p.X + v.X*times, p.Y + v.Y*times} }

// to returns the vector from p to q.
func (p Point) to(q Point) Point { return Point{q.X - p.X, q.Y - p.Y} }

func (p Point) length() float64     { return math.Hypot(p.X, p.Y) }
func (p Point) dot(q Point) float64 { return p.X*q.X + p.Y*q.Y }

// cross is positive when q points to the left of p.
func (p Point) cross(q Point) float64 { return p.X*q.Y - p.Y*q.X }

// direction returns the unit vector so many degrees clockwise from up.
func direction(deg float64) Point {
	sin, cos := math.Sincos(deg * math.Pi / 180)
	return Point{sin, cos}
}

// degreesOf returns how many degrees clockwise from up a vector points, 0 to 360.
func degreesOf(v Point) float64 {
	deg := math.Atan2(v.X, v.Y) * 180 / math.Pi
	if deg < 0 {
		deg += 360
	}
	return deg
}

// segment is a straight piece of a wall.
type segment struct{ a, b Point }

func (s segment) length() float64 { return s.a.to(s.b).length() }

// along returns the unit vector from a to b.
func (s segment) along() Point {
	v := s.a.to(s.b)
	return Point{}.plus(v, 1/v.length())
}

// outward returns the unit vector away from the room, to the left of the way.
func (s segment) outward() Point {
	d := s.along()
	return Point{-d.Y, d.X}
}

// at returns the point so many metres from a.
func (s segment) at(m float64) Point { return s.a.plus(s.along(), m) }

// foot returns how many metres from a the point of the segment nearest to p is,
// and how far p is from it.
func (s segment) foot(p Point) (m, distance float64) {
	m = math.Max(0, math.Min(s.length(), s.a.to(p).dot(s.along())))
	return m, s.at(m).to(p).length()
}

// mirror returns the image of p behind the straight line through the segment.
func (s segment) mirror(p Point) Point {
	n := s.outward()
	return p.plus(n, -2*s.a.to(p).dot(n))
}

// hit returns how many lengths of v from p the segment is met, and how many
// metres from a.
func (s segment) hit(p, v Point) (times, m float64, ok bool) {
	d := s.a.to(s.b)
	across := v.cross(d)
	if math.Abs(across) < 1e-12 {
		return 0, 0, false // along each other
	}
	w := p.to(s.a)
	times, share := w.cross(d)/across, w.cross(v)/across
	return times, share * d.length(), times > 0 && share >= 0 && share <= 1
}
