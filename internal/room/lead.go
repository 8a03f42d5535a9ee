package room

import (
	"cmp"
	"math"
	"slices"
)

// Lead is a way for a lead from a socket to something in the room.
type Lead struct {
	Socket  string   `json:"socket"`
	Circuit string   `json:"circuit"`
	LengthM float64  `json:"length"`          // to bring along, with slack
	Doors   []string `json:"doors,omitempty"` // that it passes: tape it down or lead it over, and keep the way free
}

// Leads returns the ways from every socket to a point, with so much lead hanging
// from a height there, the shortest first. A lead goes down from the socket,
// along the foot of the walls to the place nearest to the point, and across the
// floor; it goes around the room the way that passes fewer doors, and of two such
// the shorter. slack is a share of the way.
func (r Room) Leads(to Point, heightM, slack float64) []Lead {
	end, across := r.nearestWall(to)
	leads := make([]Lead, 0, len(r.Sockets))
	for _, s := range r.Sockets {
		start := r.aroundM(s.Wall, s.AtM)
		way, doors := r.around(start, end)
		leads = append(leads, Lead{s.Name, s.Circuit, (s.HeightM + way + across + heightM) * (1 + slack), doors})
	}
	slices.SortStableFunc(leads, func(a, b Lead) int { return cmp.Compare(a.LengthM, b.LengthM) })
	return leads
}

// aroundM returns how far around the room, from its first corner, a place on a
// wall is.
func (r Room) aroundM(wall int, m float64) float64 {
	for i := range wall {
		m += r.wall(i).length()
	}
	return m
}

// nearestWall returns the place on the walls nearest to a point, as metres
// around the room, and how far it is.
func (r Room) nearestWall(p Point) (around, distance float64) {
	distance = math.Inf(1)
	for i := range r.Corners {
		if m, d := r.wall(i).foot(p); d < distance {
			around, distance = r.aroundM(i, m), d
		}
	}
	return around, distance
}

// around returns the length of the better way along the walls between two
// places, and the doors it passes.
func (r Room) around(a, b float64) (way float64, doors []string) {
	low, high := math.Min(a, b), math.Max(a, b)
	whole := r.aroundM(len(r.Corners), 0)
	var inner, outer []string
	for _, o := range r.Openings {
		if o.Kind != Door {
			continue
		}
		from := r.aroundM(o.Wall, o.FromM)
		to := from + o.WidthM
		if from < high && to > low {
			inner = append(inner, o.Name)
		}
		if from < low || to > high {
			outer = append(outer, o.Name)
		}
	}
	direct, back := high-low, whole-(high-low)
	if len(outer) < len(inner) || len(outer) == len(inner) && back < direct {
		return back, outer
	}
	return direct, inner
}
