package optics

import (
	"math"

	"takeweave/internal/crop"
	"takeweave/internal/film"
)

// PointLight is a lamp behind the subject, small enough to be a point.
type PointLight struct {
	Name    string  `json:"name"`
	BehindM float64 `json:"behind"`  // the subject, along the axis, more than 0
	RightM  float64 `json:"right"`   // of the axis, as the camera sees it
	HeightM float64 `json:"height"`  // above the floor
	Candela float64 `json:"candela"` // towards the camera; 0 is unknown
}

// Disc is a point light as the frame shows it.
type Disc struct {
	Name     string  `json:"name"`
	X        float64 `json:"x"` // the middle, in shares of the frame
	Y        float64 `json:"y"`
	Diameter float64 `json:"diameter"` // in shares of the frame's width
	MM       float64 `json:"mm"`       // on the sensor
	Pixels   float64 `json:"pixels"`   // of the delivered width
	Stops    float64 `json:"stops"`    // over the scene
	Known    bool    `json:"known"`    // whether Stops is; without a lamp's candela it is not
}

// Part is a piece of the figure, to be drawn.
type Part struct {
	Name string `json:"name"`
	Box  Box    `json:"box"`
}

// Band is the depth of field on an axis from the lens, 0, to twice the subject's
// distance, 1.
type Band struct {
	Near     float64 `json:"near"`
	Far      float64 `json:"far"` // 1 where it goes on
	Subject  float64 `json:"subject"`
	SwayNear float64 `json:"sway_near"`
	SwayFar  float64 `json:"sway_far"`
}

// Frame is a setup's picture as numbers: all that is drawn of it, in shares of
// the recorded picture.
type Frame struct {
	WidthM   float64 `json:"width"` // at the subject
	HeightM  float64 `json:"height"`
	SizeName string  `json:"size_name"`
	Figure   []Part  `json:"figure"`
	Crops    []Kept  `json:"crops"`
	Core     Box     `json:"core"`
	Discs    []Disc  `json:"discs"`
	Depth    Depth   `json:"depth"`
	Band     Band    `json:"band"`
}

// Scene is what stands before the camera, and what is ordered.
type Scene struct {
	Figure    Figure       `json:"figure"`
	Lights    []PointLight `json:"lights"`
	Luminance float64      `json:"luminance"` // of the lit musician, cd/m²; 0 is unknown
	Shapes    []film.Shape `json:"shapes"`
	LongPx    int          `json:"long"` // delivered: the longer side of 16:9
	ShortPx   int          `json:"short"`
}

// Frame returns the setup's picture of a scene, or an error when the setup or a
// shape makes no sense.
func (s Setup) Frame(scene Scene, limits Limits) (Frame, error) {
	if err := s.Check(); err != nil {
		return Frame{}, err
	}
	f := Frame{SizeName: s.SizeName(scene.Figure), Figure: s.Parts(scene.Figure)}
	f.WidthM, f.HeightM = s.FrameM()
	for _, shape := range scene.Shapes {
		kept, err := s.Keeps(shape, crop.Centre, scene.LongPx, scene.ShortPx, limits)
		if err != nil {
			return Frame{}, err
		}
		f.Crops = append(f.Crops, kept)
	}
	f.Core = Core(f.Crops)
	for _, light := range scene.Lights {
		f.Discs = append(f.Discs, s.Disc(light, scene.LongPx, scene.Luminance))
	}
	f.Depth = s.Depth(scene.LongPx, limits)
	f.Band = s.band(f.Depth)
	return f, nil
}

// Disc returns a point light as a picture delivered so many pixels wide shows
// it. The lens looks along a straight line from its own height through the aim.
func (s Setup) Disc(p PointLight, outputW int, luminance float64) Disc {
	l, at := s.Lens(), s.fromPlane(s.DistanceM+p.BehindM)
	mm := l.DiscMM(at)
	d := Disc{Name: p.Name, MM: mm, Diameter: mm / s.Sensor.WidthMM, Pixels: mm / s.Sensor.WidthMM * float64(outputW)}
	width, height := s.fieldM(p.BehindM)
	axis := s.AimM + (s.AimM-s.HeightM)*p.BehindM/s.DistanceM
	d.X, d.Y = 0.5+p.RightM/width, 0.5-(p.HeightM-axis)/height
	if p.Candela > 0 && luminance > 0 && p.BehindM > 0 {
		d.Stops, d.Known = l.DiscStops(at, p.Candela, luminance), true
	}
	return d
}

// Parts returns a figure in the middle of the frame as boxes: head, trunk, and
// legs to the knees and below.
func (s Setup) Parts(f Figure) []Part {
	width, height := s.FrameM()
	box := func(name string, top, bottom, wide float64) Part {
		return Part{name, Box{0.5 - wide/width/2, s.yOf(top), wide / width, (top - bottom) / height}}
	}
	across := func(share float64) float64 { return share * f.HeightM }
	return []Part{
		box("head", f.at("head"), f.at("chin"), across(headShare)),
		box("neck", f.at("chin"), f.at("shoulders"), across(headShare/2)),
		box("trunk", f.at("shoulders"), f.at("hips"), across(shoulderShare)),
		box("thighs", f.at("hips"), f.at("knees"), across(hipShare)),
		box("shanks", f.at("knees"), f.at("feet"), across(hipShare)),
	}
}

// band puts a depth on the axis of [Band].
func (s Setup) band(d Depth) Band {
	on := func(m float64) float64 { return math.Min(1, m/(2*s.DistanceM)) }
	b := Band{
		Near: on(d.NearM), Far: 1, Subject: 0.5,
		SwayNear: on(s.DistanceM - d.SwayM), SwayFar: on(s.DistanceM + d.SwayM),
	}
	if !d.Endless {
		b.Far = on(d.FarM)
	}
	return b
}
