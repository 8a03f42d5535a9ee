package plan

import (
	"fmt"
	"slices"

	"takeweave/internal/crop"
	"takeweave/internal/film"
	"takeweave/internal/optics"
	"takeweave/internal/room"
)

// centre is where crops stand while the plan is made.
var centre = crop.Centre

// tellPlace says what the room means for a setup: where it stands, what is in its
// frame, what mirrors show.
func (d *desk) tellPlace(s *Setup, c *camera, told *Seen) {
	told.Side = d.side(c)
	var m missing
	m.unless(d.room != nil, "the room's walls")
	m.unless(d.placed() != nil, "where the musician is in the room")
	m.unless(c.angle, "where the camera stands around the musician, in degrees")
	m.unless(c.DistanceM > 0 && c.DistanceM < farM, "the distance in metres")
	if v, ok := m.verdict(); ok {
		told.Stand, told.Mirrors = v, v
		if d.room != nil && d.placed() != nil && c.framed() {
			d.say(OfRoom, c.about, v)
		}
		return
	}
	musician := *d.placed()
	stand := d.room.Stand(musician, c.AxisDeg, c.DistanceM, d.limits.room.ClearanceM)
	told.Nearest, told.Stand = &stand, works("%s", stand.Reason)
	if !stand.OK {
		told.Stand = failing("%s", stand.Reason)
	}
	d.say(OfRoom, c.about, told.Stand)
	at := room.Look(c.Setup, musician).Eye
	told.At = &at
	m = append(m, c.missing...)
	m.unless(c.HeightM > 0, "the height of the lens")
	if v, ok := m.verdict(); ok {
		told.Mirrors = v
		if c.framed() {
			d.say(OfSetups, c.about, v)
		}
		return
	}
	c.view, c.placed = room.Look(c.Setup, musician), true
	d.cameras[len(d.cameras)-1] = *c
	if !d.room.Inside(at) {
		told.Mirrors = unknown("a distance that the room allows")
		return
	}
	d.tellInFrame(s, c, told)
}

// tellInFrame says what the frame takes in.
func (d *desk) tellInFrame(s *Setup, c *camera, told *Seen) {
	r := d.lit(d.state(s))
	told.InFrame = append(told.InFrame, r.InFrame(c.view)...)
	told.Walls = append(told.Walls, r.Walls(c.view)...)
	for _, seen := range told.InFrame {
		if seen.Kind == room.Lamp {
			d.say(OfSetups, c.about, look("the lamp %s is in the frame", seen.Name))
		}
	}
	told.Mirror = r.SeesItself(c.view, d.limits.room.BodyM)
	told.Mirrors = d.mirrors(told.Mirror)
	d.say(OfRoom, c.about, told.Mirrors)
	if day, ok := d.sunDay(); ok && d.plan.Room.UpDeg != nil {
		told.Sun = r.DirectSun(day, c.view.Eye, c.HeightM)
	}
}

// mirrors judges reflections of the camera: a mirror shows it at any time, a pane
// when it is darker behind.
func (d *desk) mirrors(seen []room.Reflection) Verdict {
	mirror := func(o room.Opening) bool { return o.Kind == room.Mirror }
	var sure, perhaps []string
	for _, s := range seen {
		i := slices.IndexFunc(d.room.Openings, func(o room.Opening) bool { return o.Name == s.In })
		into := &perhaps
		if i >= 0 && mirror(d.room.Openings[i]) {
			into = &sure
		}
		if !slices.Contains(*into, s.In) {
			*into = append(*into, s.In)
		}
	}
	switch {
	case len(sure) > 0:
		return failing("the frame shows the camera itself in %s: turn it, cover it or move", words(sure))
	case len(perhaps) > 0:
		return look("%s shows the camera when it is dark behind it", words(perhaps))
	}
	return works("the camera does not see itself")
}

// side says on which side of the line of action a camera stands; the line is the
// musician's look.
func (d *desk) side(c *camera) Verdict {
	if !c.angle {
		return unknown("where the camera stands around the musician, in degrees")
	}
	switch c.Side(d.plan.Musician.FacesDeg, d.limits.optics) {
	case optics.Left:
		return works("left of the musician's look")
	case optics.Right:
		return works("right of the musician's look")
	}
	return works("on the line of the musician's look")
}

// tellDiscs adds the practicals behind the musician to the drawn frame.
func (d *desk) tellDiscs(c *camera, told *Seen) {
	if told.Frame == nil || !c.placed || len(c.sharp) > 0 {
		return
	}
	luminance := 0.0
	if e := told.Light.Exposure; e != nil {
		luminance = e.Luminance(d.limits.light.MeterK)
	}
	for _, p := range d.room.PointLights(c.Setup, *d.placed()) {
		for i, own := range d.plan.Practicals {
			if orName(own.Name, "practical", i) == p.Name {
				p.Candela = max(0, own.Candela)
			}
		}
		told.Frame.Discs = append(told.Frame.Discs, c.Disc(p, d.longPx(), luminance))
	}
}

// tellPairs says of every two setups whether they cut together.
func (d *desk) tellPairs() {
	d.told.Pairs = []Pair{}
	for i := range d.cameras {
		for j := i + 1; j < len(d.cameras); j++ {
			p := d.pair(&d.cameras[i], &d.cameras[j])
			d.told.Pairs = append(d.told.Pairs, p)
			if p.Verdict.Answer == Fails {
				d.say(OfSetups, "setups "+p.A+" and "+p.B, look("%s", p.Verdict.Say))
			}
			if p.Crosses {
				d.say(OfSetups, "setups "+p.A+" and "+p.B, look("a cut between them crosses the line of action"))
			}
		}
	}
}

func (d *desk) pair(a, b *camera) Pair {
	p := Pair{A: a.Name, B: b.Name}
	if !a.framed() || !b.framed() {
		p.Verdict = unknown("lens and distance of both")
		return p
	}
	lim := d.limits.optics
	pair := optics.Together(a.Setup, b.Setup, lim)
	p.Opposed = optics.Opposed(a.Move, b.Move)
	switch bySize := pair.SizeRatio >= lim.SizeRatio; {
	case a.angle && b.angle:
		p.Pair = &pair
		p.Crosses = optics.Crosses(a.Setup, b.Setup, d.plan.Musician.FacesDeg, lim)
		p.Verdict = works("%s", pair.Reason)
		if !pair.Together {
			p.Verdict = failing("%s", pair.Reason)
		}
	case bySize:
		p.Verdict = works("cuts together: size ratio %.2f (at least %.2g)", pair.SizeRatio, lim.SizeRatio)
	default:
		p.Verdict = Verdict{Unknown, fmt.Sprintf("size ratio %.2f (under %.2g); type where both cameras stand", pair.SizeRatio, lim.SizeRatio)}
	}
	return p
}

// sizeOf is the size of a setup for the film: as typed, else by its frame.
func sizeOf(s *Setup, f *optics.Frame) film.Size {
	switch {
	case s.Size != film.SizeUnknown:
		return s.Size
	case f == nil:
		return film.SizeUnknown
	}
	switch f.SizeName {
	case "extreme close-up":
		return film.SizeInsert
	case "close-up", "medium close-up":
		return film.SizeClose
	case "medium", "medium wide":
		return film.SizeMid
	}
	return film.SizeWide
}
