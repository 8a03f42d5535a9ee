package plan

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"takeweave/internal/film"
	"takeweave/internal/light"
	"takeweave/internal/optics"
	"takeweave/internal/room"
	"takeweave/internal/titles"
)

// Known is what the film knows beside the plan.
type Known struct {
	Song *film.Song // the map of the record; nil while there is none
	// StudiedOn is the map of the record that the plan was made for, when that was
	// another one, a rehearsal.
	StudiedOn *film.Song
	Shapes    []film.Shape  // of the films that are ordered
	Facts     *titles.Facts // nil while nothing is typed
	Memory    *Memory       // of orders that were solved; nil for none
}

// desk is a plan while it is computed.
type desk struct {
	plan   Plan
	known  Known
	limits *limits
	told   Told

	song    *film.Song // nil is not known
	figure  optics.Figure
	room    *room.Room // with musician and furniture; nil is not known
	cameras []camera   // by setup
}

// Compute tells everything that follows from a plan. It takes a few milliseconds
// but for the order of the day, which takes up to two seconds with 20 setups when
// it is not in the memory. Neither plan nor song are altered.
func Compute(p Plan, known Known) Told {
	d := &desk{plan: p, known: known, told: Told{Gates: []string{}, Cautions: []light.Caution{}}}
	d.limits, d.told.Defaults, d.told.Findings = limitsOf(p.Changed)
	d.figure = optics.Figure{HeightM: p.Musician.HeightM, SeatM: p.Musician.SeatM}
	if !(d.figure.HeightM > 0) {
		d.figure.HeightM = d.limits.optics.FigureM
	}
	if f := known.Facts; f != nil {
		d.told.Title, d.told.Artist = f.Title, f.Artist
	}
	d.tellSong()
	d.tellRoom()
	d.tellShapes()
	d.tellSetups()
	d.tellPairs()
	d.tellLights()
	d.tellPower()
	d.tellDay()
	d.tellSun()
	d.tellCards()
	d.tellBatteries()
	d.tellHours()
	d.tellGates()
	d.tellCautions()
	d.tellPacking()
	d.sortFindings()
	return d.told
}

// tellShapes lists what is ordered: by the film, by the plan, and the recorded
// picture itself.
func (d *desk) tellShapes() {
	shapes := []film.Shape{}
	for _, s := range slices.Concat(d.known.Shapes, d.plan.Shapes) {
		if s == "" {
			s = d.plan.Camera.shape()
		}
		if s != "" && !slices.Contains(shapes, s) {
			shapes = append(shapes, s)
		}
	}
	d.told.Shapes = shapes
}

// shape is that of the recorded picture, "" while it is not known.
func (c Camera) shape() film.Shape {
	if c.PixelsW <= 0 || c.PixelsH <= 0 {
		return ""
	}
	a, b := c.PixelsW, c.PixelsH
	for b > 0 {
		a, b = b, a%b
	}
	return film.Shape(fmt.Sprintf("%d:%d", c.PixelsW/a, c.PixelsH/a))
}

// faceM is how high the musician's eyes are.
func (d *desk) faceM() float64 {
	for _, m := range d.figure.Marks() {
		if m.Name == "eyes" {
			return m.HeightM
		}
	}
	return 0
}

// longPx is the longer side of what is delivered in 16:9.
func (d *desk) longPx() int {
	if d.plan.Job.LongPx > 0 {
		return d.plan.Job.LongPx
	}
	return 1920
}

func (d *desk) tellGates() {
	facts := d.known.Facts
	if facts == nil {
		facts = &titles.Facts{}
	}
	d.told.Gates = append(d.told.Gates, facts.Gates()...)
	if n := len(d.told.Gates); n > 0 {
		d.say(OfGates, "permissions", look("%d open: they block a release, never the day", n))
	}
}

// tellCautions takes the cautions that the plan gives reason for.
func (d *desk) tellCautions() {
	p := &d.plan
	mains := slices.ContainsFunc(p.Lamps, func(l Lamp) bool { return !l.Battery }) || len(p.Power.Loads) > 0
	battery := len(p.Camera.Batteries) > 0 || slices.ContainsFunc(p.Lamps, func(l Lamp) bool { return l.Battery })
	loops := slices.ContainsFunc(p.Setups, func(s Setup) bool { return s.Tries > 0 })
	applies := map[light.Where]bool{
		light.AtPower: mains || len(p.Power.Circuits) > 0, light.AtLeads: mains, light.AtExits: mains,
		light.AtLamps: len(p.Lamps)+len(p.Practicals) > 0, light.AtBattery: battery,
		light.AtStands: len(p.Lamps)+len(p.Setups) > 0, light.AtHearing: loops,
		light.AtFlashing: len(p.Practicals) > 0, light.AtPeople: true, light.AtRights: true,
		light.AtData: len(p.Camera.Cards) > 0,
	}
	for _, c := range light.Cautions {
		if applies[c.Where] {
			d.told.Cautions = append(d.told.Cautions, c)
		}
	}
}

// sayError is an error in one line, with what to do.
func sayError(err error) string {
	var e *film.Error
	if errors.As(err, &e) && e.Hint != "" {
		return e.Msg + "; " + e.Hint
	}
	return err.Error()
}

// numbers reports whether all are from 0 on and no larger than anything that is
// typed: a milliard.
func numbers(all ...float64) bool {
	return !slices.ContainsFunc(all, func(v float64) bool { return !(v >= 0 && v <= 1e9) })
}

func orName(name string, otherwise string, i int) string {
	if strings.TrimSpace(name) == "" {
		return fmt.Sprintf("%s %d", otherwise, i+1)
	}
	return name
}
