package room

import "takeweave/internal/optics"

// PointLights returns the practicals behind the musician as a setup's frame
// takes them, to become discs. How bright they are is not the room's business:
// Candela is 0.
func (r Room) PointLights(s optics.Setup, musician Point) []optics.PointLight {
	v := Look(s, musician)
	ahead, right := v.axes()
	var lights []optics.PointLight
	for _, t := range r.Things {
		from := musician.to(t.At)
		if behind := from.dot(ahead); t.Kind == Practical && behind > 0 {
			lights = append(lights, optics.PointLight{Name: t.Name, BehindM: behind, RightM: from.dot(right), HeightM: t.HeightM})
		}
	}
	return lights
}
