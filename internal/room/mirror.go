package room

// Reflection is something that the frame shows in a mirror or in glass.
type Reflection struct {
	In string  `json:"in"` // which mirror or glass
	X  float64 `json:"x"`  // where in the frame, in shares 0..1
	Y  float64 `json:"y"`
}

// SeesItself returns the mirrors and panes in which the frame shows its own
// camera: a body so many metres to either side, above and below the lens.
// Windows count too: after dark they are mirrors.
func (r Room) SeesItself(v View, bodyM float64) []Reflection {
	return r.Reflected(v, v.Eye, v.EyeHeightM, bodyM)
}

// Reflected returns the mirrors and panes in which the frame shows a body of
// half a width at a point and a height, one reflection each. Middle and edges are
// tried; what furniture hides is taken for seen, since it is seldom as high.
func (r Room) Reflected(v View, p Point, heightM, bodyM float64) []Reflection {
	var found []Reflection
	for _, o := range r.Openings {
		if o.Kind == Door {
			continue
		}
		along := r.wall(o.Wall).along()
		for _, d := range []Point{{}, {-1, 0}, {1, 0}, {0, -1}, {0, 1}} { // along the mirror, up
			if hit, ok := r.in(o, v, p.plus(along, d.X*bodyM), heightM+d.Y*bodyM); ok {
				found = append(found, hit)
				break
			}
		}
	}
	return found
}

// in returns where the frame shows a point in one mirror: along the straight way
// from the eye to the point's image behind it.
func (r Room) in(o Opening, v View, p Point, heightM float64) (Reflection, bool) {
	wall := r.wall(o.Wall)
	image := wall.mirror(p)
	times, m, ok := wall.hit(v.Eye, v.Eye.to(image))
	if !ok || times >= 1 || m < o.FromM || m > o.FromM+o.WidthM {
		return Reflection{}, false
	}
	at := wall.at(m)
	height := v.EyeHeightM + times*(heightM-v.EyeHeightM)
	if height < o.SillM || height > o.TopM {
		return Reflection{}, false
	}
	x, y, depth := v.Place(at, height)
	if depth <= 0 || x < 0 || x > 1 || y < 0 || y > 1 {
		return Reflection{}, false
	}
	bare := r
	bare.Things = nil
	if bare.Blocked(v.Eye, at) != "" || bare.Blocked(p, at) != "" {
		return Reflection{}, false
	}
	return Reflection{o.Name, x, y}, true
}
