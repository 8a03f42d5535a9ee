package room

import (
	"cmp"
	"math"
	"slices"

	"takeweave/internal/optics"
)

// View is a camera's look into the room: what lies in its frame at a depth of
// one metre is WidthM wide and HeightM high, and grows with depth.
type View struct {
	Name       string  `json:"name"`
	Eye        Point   `json:"eye"`
	EyeHeightM float64 `json:"eye_height"`
	TowardsDeg float64 `json:"towards"`
	Slope      float64 `json:"slope"` // how many metres the axis rises per metre
	WidthM     float64 `json:"width"`
	HeightM    float64 `json:"height"`
}

// Look returns the view of a setup on a musician: the camera stands at the
// setup's distance, in the direction of its axis from the musician, and looks
// back at the aim.
func Look(s optics.Setup, musician Point) View {
	width, height := s.FrameM()
	return View{
		Name: s.Name,
		Eye:  musician.plus(direction(s.AxisDeg), s.DistanceM), EyeHeightM: s.HeightM,
		TowardsDeg: math.Mod(s.AxisDeg+180, 360), Slope: (s.AimM - s.HeightM) / s.DistanceM,
		WidthM: width / s.DistanceM, HeightM: height / s.DistanceM,
	}
}

// axes returns the view's unit vectors ahead and to the right.
func (v View) axes() (ahead, right Point) {
	ahead = direction(v.TowardsDeg)
	return ahead, Point{ahead.Y, -ahead.X}
}

// Place returns where a point at a height lies in the frame, in shares 0..1 from
// its top left, and at what depth along the axis; behind the camera depth is 0
// or less, and the shares say nothing.
func (v View) Place(p Point, heightM float64) (x, y, depthM float64) {
	ahead, right := v.axes()
	to := v.Eye.to(p)
	depthM = to.dot(ahead)
	x = 0.5 + to.dot(right)/(depthM*v.WidthM)
	return x, v.yAt(heightM, depthM), depthM
}

// yAt returns where a height lies in the frame at a depth.
func (v View) yAt(heightM, depthM float64) float64 {
	return 0.5 - (heightM-v.EyeHeightM-v.Slope*depthM)/(depthM*v.HeightM)
}

// Seen is something in the frame.
type Seen struct {
	Name   string     `json:"name"`
	Kind   Kind       `json:"kind"`
	Box    optics.Box `json:"box"`
	DepthM float64    `json:"depth"` // the nearest of it
}

// columns is into how many columns a frame is cut to see which wall is behind
// each; its edges are known to that share of the frame's width.
const columns = 1000

// Walls returns the walls and openings behind the frame from left to right, each
// stretch by itself, hidden parts left out. A Box reaches from top to bottom of
// what could be seen if nothing stood before it, cut at the frame.
func (r Room) Walls(v View) []Seen {
	var seen []Seen
	last := ""
	for i, h := range r.hits(v) {
		what := r.behind(v, h)
		if what.Name == "" {
			last = ""
			continue
		}
		if what.Name != last {
			what.Box.X = float64(i) / columns
			seen = append(seen, what)
		}
		last = what.Name
		s := &seen[len(seen)-1]
		s.Box.W = float64(i+1)/columns - s.Box.X
		s.DepthM = math.Min(s.DepthM, what.DepthM)
		bottom := math.Max(s.Box.Y+s.Box.H, what.Box.Y+what.Box.H)
		s.Box.Y = math.Min(s.Box.Y, what.Box.Y)
		s.Box.H = bottom - s.Box.Y
	}
	return seen
}

// hit is where a column's ray meets a wall.
type hit struct {
	wall   int // -1 where it meets none
	m      float64
	depthM float64
}

// hits returns the first wall behind the middle of each column of a frame.
func (r Room) hits(v View) []hit {
	ahead, right := v.axes()
	hits := make([]hit, columns)
	for i := range hits {
		x := (float64(i) + 0.5) / columns
		ray := ahead.plus(right, (x-0.5)*v.WidthM)
		hits[i] = hit{wall: -1, depthM: math.Inf(1)}
		for w := range r.Corners {
			if times, m, ok := r.wall(w).hit(v.Eye, ray); ok && times < hits[i].depthM {
				hits[i] = hit{w, m, times}
			}
		}
	}
	return hits
}

// behind returns what a column shows: an opening if one is there within the
// frame's height, else the wall. The name is "" where the ray met no wall.
func (r Room) behind(v View, h hit) Seen {
	if h.wall < 0 {
		return Seen{}
	}
	upright := func(name string, kind Kind, low, high float64) (Seen, bool) {
		top, bottom := math.Max(0, v.yAt(high, h.depthM)), math.Min(1, v.yAt(low, h.depthM))
		return Seen{Name: name, Kind: kind, DepthM: h.depthM, Box: optics.Box{Y: top, H: bottom - top}}, bottom > top
	}
	for _, o := range r.Openings {
		if o.Wall == h.wall && h.m >= o.FromM && h.m <= o.FromM+o.WidthM {
			if seen, ok := upright(o.Name, o.Kind, o.SillM, o.TopM); ok {
				return seen
			}
		}
	}
	seen, _ := upright(wallName(h.wall), Wall, 0, r.CeilingM)
	return seen
}

// InFrame returns the things that are in the frame, wholly or in part, the
// nearest first; those behind walls or furniture are not. A lamp in frame shows
// its stand and itself.
func (r Room) InFrame(v View) []Seen {
	var seen []Seen
	for _, t := range r.Things {
		box, depth, ok := v.boxOf(t)
		if ok && r.Blocked(v.Eye, t.At) == "" {
			seen = append(seen, Seen{t.Name, t.Kind, box, depth})
		}
	}
	slices.SortStableFunc(seen, func(a, b Seen) int { return cmp.Compare(a.DepthM, b.DepthM) })
	return seen
}

// boxOf returns the box of a thing in the frame, and whether it touches it.
func (v View) boxOf(t Thing) (box optics.Box, depth float64, ok bool) {
	x, top, depth := v.Place(t.At, t.HeightM)
	if depth <= 0 {
		return box, depth, false
	}
	half := t.RadiusM / (depth * v.WidthM)
	box = optics.Box{X: x - half, Y: top, W: 2 * half, H: v.yAt(0, depth) - top}
	return box, depth, box.X < 1 && box.X+box.W > 0 && box.Y < 1 && box.Y+box.H > 0
}
