package room

import (
	"fmt"
	"slices"
)

// Check returns an error when walls cross, an opening or socket does not fit its
// wall, or a thing does not fit the room. All other questions expect a room that passes.
func (r Room) Check() error {
	for _, check := range []func() error{r.checkWalls, r.checkOpenings, r.checkSockets, r.checkThings} {
		if err := check(); err != nil {
			return err
		}
	}
	return nil
}

func (r Room) checkWalls() error {
	if len(r.Corners) < 3 {
		return usage("a room has three corners or more", "give the walls' lengths first")
	}
	for i := range r.Corners {
		for j := i + 2; j < len(r.Corners); j++ {
			if i == 0 && j == len(r.Corners)-1 {
				continue // neighbours
			}
			a, b := r.wall(i), r.wall(j)
			if times, _, ok := b.hit(a.a, a.a.to(a.b)); ok && times <= 1 {
				return usage(fmt.Sprintf("wall %d crosses wall %d", i+1, j+1), "check lengths and turns")
			}
		}
	}
	if r.area() <= 0 {
		return usage("the corners go around the wrong way", "list them so that the room lies on the right")
	}
	return nil
}

func (r Room) checkOpenings() error {
	for _, o := range r.Openings {
		if !slices.Contains([]Kind{Door, Window, Mirror, Glass}, o.Kind) {
			return usage(fmt.Sprintf("%q is a %s, which walls do not have", o.Name, o.Kind), "use door, window, mirror or glass")
		}
		if !r.holds(o.Wall, o.FromM, o.FromM+o.WidthM) || o.WidthM <= 0 || o.SillM < 0 || o.TopM <= o.SillM || o.TopM > r.CeilingM {
			return usage(fmt.Sprintf("%s %q does not fit its wall", o.Kind, o.Name), "check wall, distance from its corner, width and heights")
		}
	}
	return nil
}

func (r Room) checkSockets() error {
	for _, s := range r.Sockets {
		if !r.holds(s.Wall, s.AtM, s.AtM) {
			return usage(fmt.Sprintf("socket %q is not on its wall", s.Name), "check wall and distance from its corner")
		}
	}
	return nil
}

func (r Room) checkThings() error {
	for _, t := range r.Things {
		if !r.Inside(t.At) {
			return usage(fmt.Sprintf("%s %q stands outside the walls", t.Kind, t.Name), "move it into the room")
		}
		if t.HeightM > r.CeilingM {
			return usage(fmt.Sprintf("%s %q is %.2f m high under a ceiling of %.2f m", t.Kind, t.Name, t.HeightM, r.CeilingM), "lower it, or check the ceiling")
		}
	}
	return nil
}

// holds reports whether a wall exists and is long enough, but for a millimetre.
func (r Room) holds(wall int, from, to float64) bool {
	return wall >= 0 && wall < len(r.Corners) && from >= -0.001 && to <= r.wall(wall).length()+0.001
}
