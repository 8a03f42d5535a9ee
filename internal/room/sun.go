package room

import (
	"math"

	"takeweave/internal/sun"
)

// Sunlight is when the sun shines through one window onto a point.
type Sunlight struct {
	Window string     `json:"window"`
	Spans  []sun.Span `json:"spans"`
	Words  string     `json:"words"` // "direct sun 14:10 to 15:35"
}

// DirectSun returns, for each window through which the sun shines that day onto
// a point at a height, when it does if the sky is clear. The lens, the musician's
// face and the strings are points worth asking for.
func (r Room) DirectSun(day sun.Day, p Point, heightM float64) []Sunlight {
	var all []Sunlight
	for _, o := range r.Openings {
		if o.Kind != Window {
			continue
		}
		window, inside := r.windowTo(o, p, heightM)
		if inside.BackM < 0 {
			continue // behind the wall's line
		}
		spans := day.When(func(at sun.Position) bool {
			return window.Lights(inside, at) && r.Blocked(p, r.entry(o, window, inside, at)) == ""
		})
		if len(spans) > 0 {
			all = append(all, Sunlight{o.Name, spans, sun.Words(spans)})
		}
	}
	return all
}

// windowTo returns an opening as the sun sees it, and the point as the opening
// does.
func (r Room) windowTo(o Opening, p Point, heightM float64) (sun.Window, sun.Inside) {
	wall := r.wall(o.Wall)
	from := wall.at(o.FromM + o.WidthM/2).to(p)
	return sun.Window{
		BearingDeg: math.Mod(degreesOf(wall.outward())+r.UpDeg, 360),
		WidthM:     o.WidthM, SillM: o.SillM, LintelM: o.TopM, WallM: o.ThickM, SkylineDeg: o.SkylineDeg,
	}, sun.Inside{
		// Looking out of a wall, the way along it goes to the right.
		BackM: -from.dot(wall.outward()), RightM: from.dot(wall.along()), HeightM: heightM,
	}
}

// entry returns where in the wall's line the ray that reaches the point comes in.
func (r Room) entry(o Opening, w sun.Window, in sun.Inside, at sun.Position) Point {
	off := math.Remainder(at.AzimuthDeg-w.BearingDeg, 360) * math.Pi / 180
	return r.wall(o.Wall).at(o.FromM + o.WidthM/2 + in.RightM + in.BackM*math.Tan(off))
}
