package plan

import (
	"fmt"
	"slices"

	"takeweave/internal/film"
	"takeweave/internal/optics"
	"takeweave/internal/room"
)

// camera is a setup in the numbers of optics, with what is known of them.
type camera struct {
	optics.Setup
	about   string // "setup face"
	angle   bool   // where it stands around the musician is known
	missing missing
	sharp   missing // what is missing for depth, beside
	placed  bool    // view is known
	view    room.View
}

// framed reports whether the size of its frame is known.
func (c *camera) framed() bool { return len(c.missing) == 0 }

// tellSetups says of each setup what its frame is, what is in it, and whether the
// room lets the camera stand there.
func (d *desk) tellSetups() {
	d.told.Setups = []Seen{}
	for i := range d.plan.Setups {
		s := &d.plan.Setups[i]
		c := d.camera(s, i)
		d.cameras = append(d.cameras, c)
		told := Seen{Name: s.Name, Camera: c.Setup, Shapes: []Shaped{}, InFrame: []room.Seen{}, Walls: []room.Seen{}, Serves: []string{}}
		d.tellFrame(s, &c, &told)
		d.tellSharp(s, &c, &told)
		d.tellMove(s, &c, &told)
		d.tellPlace(s, &c, &told)
		told.Light = d.lightOf(s, &c, &told)
		d.tellDiscs(&c, &told)
		d.told.Setups = append(d.told.Setups, told)
	}
	if len(d.plan.Setups) == 0 {
		d.say(OfSetups, "the setups", unknown("the setups: lens, stop, distance, height and what each serves"))
	}
	d.drawRoom()
}

// camera brings what is typed of a setup together.
func (d *desk) camera(s *Setup, i int) camera {
	c := camera{about: "setup " + orName(s.Name, "no.", i), angle: s.AngleDeg != nil}
	cam := &d.plan.Camera
	c.Setup = optics.Setup{
		Name: s.Name, Sensor: cam.sensor(), PixelsW: cam.PixelsW, PixelsH: cam.PixelsH,
		FocalMM: s.FocalMM, Stop: s.Stop, DistanceM: s.DistanceM, HeightM: s.HeightM, AimM: s.AimM, Move: s.Move,
	}
	if c.AimM == 0 {
		c.AimM = c.HeightM
	}
	c.AxisDeg = d.plan.Musician.FacesDeg
	if c.angle {
		c.AxisDeg += *s.AngleDeg
	}
	if lens, ok := cam.lens(s.Lens); ok {
		c.NearestM = max(0, lens.NearestM)
		if c.FocalMM == 0 {
			c.FocalMM = lens.FocalMM
		}
		if c.Stop > 0 && c.Stop < lens.WidestStop {
			d.say(OfSetups, c.about, failing("the lens %s opens to f/%g, not to f/%g", lens.Name, lens.WidestStop, c.Stop))
		}
	} else if s.Lens != "" {
		d.say(OfSetups, c.about, failing("there is no lens %q among the camera's", s.Lens))
	}
	c.missing.unless(c.Sensor.WidthMM > 0 && c.Sensor.HeightMM > 0, "the camera's sensor with the size of its picture in pixels")
	c.missing.unless(c.FocalMM > 0 && c.FocalMM < 2000, "the lens")
	c.missing.unless(c.DistanceM > 0 && c.DistanceM < farM, "the distance in metres")
	c.missing.unless(numbers(c.HeightM, c.AimM) && max(c.HeightM, c.AimM) < farM, "heights from 0 on")
	c.sharp.unless(c.Stop >= 0.5 && c.Stop <= 64, "the stop")
	return c
}

// sensor is the part of the sensor that records, the zero value while that is not
// known.
func (c Camera) sensor() optics.Sensor {
	s := c.Sensor
	if s.WidthMM <= 0 || s.HeightMM <= 0 {
		i := slices.IndexFunc(optics.Formats, func(f optics.Format) bool { return f.Name == c.Format })
		if i < 0 || c.PixelsW <= 0 || c.PixelsH <= 0 {
			return optics.Sensor{}
		}
		s = optics.Formats[i].Sensor
	}
	if c.PixelsW > 0 && c.PixelsH > 0 {
		s = s.Part(float64(c.PixelsW) / float64(c.PixelsH))
	}
	return s
}

func (c Camera) lens(name string) (Lens, bool) {
	i := slices.IndexFunc(c.Lenses, func(l Lens) bool { return l.Name == name })
	if i < 0 || name == "" {
		return Lens{}, false
	}
	return c.Lenses[i], true
}

// tellFrame says what the frame is and what every shape keeps.
func (d *desk) tellFrame(s *Setup, c *camera, told *Seen) {
	if v, ok := c.missing.verdict(); ok {
		told.Picture = v
		d.say(OfSetups, c.about, v)
		return
	}
	told.FigureKnown = c.AimM > 0
	scene := optics.Scene{Figure: d.figure, LongPx: d.longPx(), ShortPx: d.longPx() * 9 / 16}
	need := numbers(s.NeedHigh, s.NeedWide) && s.NeedHigh+s.NeedWide > 0
	if !need {
		d.say(OfSetups, c.about, needUnknown)
	}
	for _, shape := range d.told.Shapes {
		if shaped, ok := d.shape(s, c, shape, scene, need); ok {
			told.Shapes = append(told.Shapes, shaped)
			scene.Shapes = append(scene.Shapes, shape)
		}
	}
	frame, err := d.complete(c).Frame(scene, d.limits.optics)
	if err != nil {
		told.Picture = failing("%s", sayError(err))
		d.say(OfSetups, c.about, told.Picture)
		return
	}
	if len(c.sharp) > 0 {
		frame.Depth, frame.Band = optics.Depth{}, optics.Band{}
	}
	if !told.FigureKnown {
		frame.Figure = nil
	}
	told.Frame = &frame
	told.Picture = works("%s, frame %.2f × %.2f m at %.2f m", frame.SizeName, frame.WidthM, frame.HeightM, c.DistanceM)
}

// complete fills in what a frame's size does not depend on, so that it can be
// asked for.
func (d *desk) complete(c *camera) optics.Setup {
	s := c.Setup
	if len(c.sharp) > 0 {
		s.Stop = 8
	}
	if s.PixelsW <= 0 || s.PixelsH <= 0 { // the shape of the part that records
		s.PixelsW = 10_000
		s.PixelsH = max(1, int(10_000*s.Sensor.HeightMM/s.Sensor.WidthMM))
	}
	return s
}

var needUnknown = unknown("how many metres of the musician must be in the frame")

// shape says what one shape keeps; ok is false for what is no shape.
func (d *desk) shape(s *Setup, c *camera, shape film.Shape, scene optics.Scene, need bool) (told Shaped, ok bool) {
	told.Shape = shape
	about := c.about + " in " + string(shape)
	kept, err := d.complete(c).Keeps(shape, centre, scene.LongPx, scene.ShortPx, d.limits.optics)
	if err != nil {
		d.wrong(OfSetups, "shape "+string(shape), err)
		return told, false
	}
	if d.plan.Camera.PixelsW > 0 {
		told.Grows = kept.Warning
	}
	if c.AimM > 0 {
		told.Cuts = c.Cut(d.figure, kept)
		headroom := kept.Headroom(c.Parts(d.figure)[0].Box.Y)
		told.Headroom = &headroom
	}
	told.Verdict = needUnknown
	if need {
		fit, err := c.Fit(shape, s.NeedWide, s.NeedHigh, d.limits.optics)
		switch {
		case err != nil:
			told.Verdict = failing("%s", sayError(err))
		case fit.OK():
			told.Fit, told.Verdict = &fit, works("%s", fit)
		default:
			told.Fit, told.Verdict = &fit, failing("%s", fit)
		}
	}
	if need {
		d.say(OfSetups, about, told.Verdict)
	}
	if told.Grows != "" {
		d.say(OfSetups, c.about, look("%s", told.Grows))
	}
	return told, true
}

// tellSharp says whether the lens focuses there, and whether the sway stays sharp.
func (d *desk) tellSharp(s *Setup, c *camera, told *Seen) {
	var m missing
	m = append(m, c.missing...)
	told.Focus = d.focus(c, m)
	m = append(m, c.sharp...)
	if v, ok := m.verdict(); ok {
		told.Depth = v
	} else if depth := c.Depth(d.longPx(), d.limits.optics); depth.Holds {
		told.Depth = works("%s", depth.Reason)
	} else {
		told.Depth = failing("%s", depth.Reason)
	}
	if c.framed() { // else it was said already
		d.say(OfSetups, c.about, told.Focus)
		if s.Shows != film.ShowsNeither { // nobody sways in it
			d.say(OfSetups, c.about, told.Depth)
		}
	}
}

func (d *desk) focus(c *camera, m missing) Verdict {
	m.unless(c.NearestM > 0, "the nearest focus of the lens")
	if v, ok := m.verdict(); ok {
		return v
	}
	focuses, m1 := c.Focuses()
	if focuses {
		return works("focuses at %.2f m, from %.2f m on", m1, c.NearestM)
	}
	return failing("%.2f m from the sensor is nearer than the lens focuses, %.2f m", m1, c.NearestM)
}

// leastLegS is the shortest leg of a move, in seconds. Our own: nobody runs a rail
// faster.
const leastLegS = 0.5

// tellMove says how the move looks, and which reversals fall into a line.
func (d *desk) tellMove(s *Setup, c *camera, told *Seen) {
	switch s.Move.Way {
	case optics.Still:
		told.Move = works("stands still")
		return
	case optics.Rightward, optics.Leftward, optics.Inward, optics.Outward:
	default:
		told.Move = failing("%q is no way to move: right, left, in or out", s.Move.Way)
		d.say(OfSetups, c.about, told.Move)
		return
	}
	m := append(missing{}, c.missing...)
	m.unless(s.Move.LengthM > 0 && numbers(s.Move.LengthM), "how far the camera moves")
	m.unless(s.Move.LegS >= leastLegS && numbers(s.Move.LegS), fmt.Sprintf("how many seconds that takes, %g at least", leastLegS))
	if v, ok := m.verdict(); ok {
		told.Move = v
		d.say(OfSetups, c.about, v)
		return
	}
	pace := c.Pace(d.limits.optics)
	told.Pace = &pace
	told.Move = works("%.2f m/s, a frame's width in %.0f s", pace.MetresPerS, pace.AcrossS)
	if pace.Warning != "" {
		told.Move = look("%s", pace.Warning)
	}
	d.tellTurns(s, told)
	d.say(OfSetups, c.about, told.Move)
}

// tellTurns finds the reversals that fall into lines.
func (d *desk) tellTurns(s *Setup, told *Seen) {
	if d.song == nil {
		return
	}
	lines := make([]optics.Stretch, len(d.song.Lines))
	for i, l := range d.song.Lines {
		lines[i] = optics.Stretch{FromS: float64(l.Span.From), ToS: float64(l.Span.To)}
	}
	var in []string
	for _, t := range s.Move.Turns(0, float64(d.song.Duration), lines) {
		if t.Line >= 0 && !atEdge(t.AtS, lines[t.Line]) {
			name := d.song.LineName(t.Line)
			told.Turns = append(told.Turns, Turned{AtS: t.AtS, Line: name})
			if !slices.Contains(in, name) {
				in = append(in, name)
			}
		}
	}
	if len(in) > 0 && told.Move.Answer == Works {
		told.Move = look("%s; it turns inside of %s when it starts with the song", told.Move.Say, words(firsts(in, 4)))
	}
}

// atEdge reports whether a time is so near to where a line begins or ends that a
// move turns in the breath. A quarter of a second is our own choice.
func atEdge(atS float64, line optics.Stretch) bool {
	const breathS = 0.25
	return atS < line.FromS+breathS || atS > line.ToS-breathS
}

// firsts keeps the first few of a list and says how many more there are.
func firsts(all []string, n int) []string {
	if len(all) <= n+1 {
		return all
	}
	return append(slices.Clone(all[:n]), fmt.Sprintf("%d more", len(all)-n))
}
