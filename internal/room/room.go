package room

import (
	"fmt"

	"takeweave/internal/film"
)

// Room is a room in plan with what is built into it and what stands in it.
type Room struct {
	Corners  []Point   `json:"corners"` // as [Walk] gives them
	CeilingM float64   `json:"ceiling"`
	UpDeg    float64   `json:"up"` // where the plan's up points, from true north
	Openings []Opening `json:"openings"`
	Sockets  []Socket  `json:"sockets"`
	Things   []Thing   `json:"things"`
}

// Kind is what an opening or a thing is.
type Kind string

// The kinds. Mirrors and glass reflect; windows let the sun in and reflect.
const (
	Door      Kind = "door"
	Window    Kind = "window"
	Mirror    Kind = "mirror"
	Glass     Kind = "glass" // a picture behind glass, a cabinet's pane
	Wall      Kind = "wall"
	Musician  Kind = "musician"
	Lamp      Kind = "lamp"
	Practical Kind = "practical" // a lamp that may be seen
	Furniture Kind = "furniture"
)

// Opening is a part of a wall that is not wall.
type Opening struct {
	Name       string  `json:"name"`
	Kind       Kind    `json:"kind"`
	Wall       int     `json:"wall"` // counted from 0
	FromM      float64 `json:"from"` // from the wall's first corner
	WidthM     float64 `json:"width"`
	SillM      float64 `json:"sill"`
	TopM       float64 `json:"top"`
	ThickM     float64 `json:"thick"`   // how thick the wall is, for windows
	SkylineDeg float64 `json:"skyline"` // what stands outside hides the sun below this elevation
}

// Socket is where current is had.
type Socket struct {
	Name    string  `json:"name"`
	Circuit string  `json:"circuit"`
	Wall    int     `json:"wall"`
	AtM     float64 `json:"at"` // from the wall's first corner
	HeightM float64 `json:"height"`
}

// Thing is what stands in the room, round, from the floor up.
type Thing struct {
	Name    string  `json:"name"`
	Kind    Kind    `json:"kind"`
	At      Point   `json:"at"`
	RadiusM float64 `json:"radius"`
	HeightM float64 `json:"height"`
}

// covers reports whether a point is within a thing.
func (t Thing) covers(p Point) bool { return t.At.to(p).length() <= t.RadiusM }

// Defaults are the numbers to begin with. Each question takes its own.
var Defaults = []film.Default{
	{Name: "a camera with who works it keeps from walls and furniture", Value: ClearanceM, Unit: "metres", Source: film.RuleOfThumb, From: "common practice"},
	{Name: "half the width of camera and who works it", Value: BodyM, Unit: "metres", Source: film.RuleOfThumb, From: "common practice"},
	{Name: "slack of a lead", Value: SlackShare, Unit: "of its way", Source: film.RuleOfThumb, From: "common practice: leads lie loose and are taped at corners"},
}

// The defaults' values.
const (
	ClearanceM = 0.4
	BodyM      = 0.25
	SlackShare = 0.1
)

// wall returns wall i.
func (r Room) wall(i int) segment { return segment{r.Corners[i], r.Corners[(i+1)%len(r.Corners)]} }

func wallName(i int) string { return fmt.Sprintf("wall %d", i+1) }
