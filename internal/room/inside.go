package room

import "math"

// area returns the floor in square metres, below 0 for corners that go around
// the wrong way.
func (r Room) area() float64 {
	sum := 0.0
	for i := range r.Corners {
		w := r.wall(i)
		sum -= w.a.cross(w.b) / 2
	}
	return sum
}

// Inside reports whether a point lies within the walls.
func (r Room) Inside(p Point) bool {
	in := false
	for i := range r.Corners {
		a, b := r.wall(i).a, r.wall(i).b
		if (a.Y > p.Y) != (b.Y > p.Y) && p.X < a.X+(p.Y-a.Y)/(b.Y-a.Y)*(b.X-a.X) {
			in = !in
		}
	}
	return in
}

// freeM returns how far the nearest wall or furniture is from a point, below 0
// outside the walls or within furniture.
func (r Room) freeM(p Point) float64 {
	free := math.Inf(1)
	for i := range r.Corners {
		_, d := r.wall(i).foot(p)
		free = math.Min(free, d)
	}
	if !r.Inside(p) {
		free = -free
	}
	for _, t := range r.Things {
		if t.Kind == Furniture {
			free = math.Min(free, t.At.to(p).length()-t.RadiusM)
		}
	}
	return free
}

// Blocked returns which wall or furniture is in the straight way between two
// points in plan, and "" when nothing is. A wall that ends at a point, and
// furniture around one, is not in the way.
func (r Room) Blocked(from, to Point) string {
	way := from.to(to)
	const end = 1e-9 // of the way
	for i := range r.Corners {
		if times, _, ok := r.wall(i).hit(from, way); ok && times > end && times < 1-end {
			return wallName(i)
		}
	}
	line := segment{from, to}
	for _, t := range r.Things {
		if t.Kind != Furniture || t.covers(from) || t.covers(to) {
			continue
		}
		if _, d := line.foot(t.At); d < t.RadiusM {
			return t.Name
		}
	}
	return ""
}
