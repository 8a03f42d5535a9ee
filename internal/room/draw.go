package room

// Outline is a shape of the plan to be drawn: closed if it is an area, a line if
// not, and a circle where it has a radius around its one point.
type Outline struct {
	Kind    Kind    `json:"kind"`
	Name    string  `json:"name"`
	Points  []Point `json:"points"`
	Closed  bool    `json:"closed,omitempty"`
	RadiusM float64 `json:"radius,omitempty"`
}

// The kinds that only the drawing has.
const (
	SocketMark Kind = "socket"
	ViewArea   Kind = "view"
)

// Drawing is the plan as outlines in metres, y up.
type Drawing struct {
	Low      Point     `json:"low"` // lower left of the walls
	High     Point     `json:"high"`
	Outlines []Outline `json:"outlines"`
}

// Draw returns the plan: walls, openings on them, sockets, things, and for each
// view the floor that its frame takes in up to the walls.
func (r Room) Draw(views []View) Drawing {
	var d Drawing
	d.Low, d.High = r.bounds()
	add := func(o Outline) { d.Outlines = append(d.Outlines, o) }
	add(Outline{Kind: Wall, Name: "walls", Points: r.Corners, Closed: true})
	for _, o := range r.Openings {
		w := r.wall(o.Wall)
		add(Outline{Kind: o.Kind, Name: o.Name, Points: []Point{w.at(o.FromM), w.at(o.FromM + o.WidthM)}})
	}
	for _, s := range r.Sockets {
		add(Outline{Kind: SocketMark, Name: s.Name, Points: []Point{r.wall(s.Wall).at(s.AtM)}})
	}
	for _, t := range r.Things {
		add(Outline{Kind: t.Kind, Name: t.Name, Points: []Point{t.At}, RadiusM: t.RadiusM})
	}
	for _, v := range views {
		add(Outline{Kind: ViewArea, Name: v.Name, Points: r.floor(v), Closed: true})
	}
	return d
}

// floor returns the outline of what a view takes in: the eye, and where its first
// and last column on each wall end.
func (r Room) floor(v View) []Point {
	points := []Point{v.Eye}
	hits := r.hits(v)
	for i, h := range hits {
		first := i == 0 || hits[i-1].wall != h.wall
		last := i == len(hits)-1 || hits[i+1].wall != h.wall
		if h.wall >= 0 && (first || last) {
			points = append(points, r.wall(h.wall).at(h.m))
		}
	}
	return points
}
