package plan

import (
	"fmt"
	"html"
	"html/template"
	"math"
	"strings"

	"takeweave/internal/room"
)

// How wide the room is drawn at most, and how much is left for names beside it.
const (
	drawnWideMM       = 122.0
	besideMM, aboveMM = 33.0, 10.0
)

// Drawing draws the room in millimetres of paper.
func (s *sheet) Drawing() template.HTML {
	d := s.Told.Room.Drawing
	if d == nil {
		return template.HTML(`<p class="none">The room is not drawn yet: type the lengths of its walls.</p>`)
	}
	w, h := d.High.X-d.Low.X, d.High.Y-d.Low.Y
	p := &pen{low: d.Low, high: d.High, scale: math.Min(drawnWideMM/w, (s.drawnHighMM()-2*aboveMM)/h)}
	p.open(w*p.scale, h*p.scale)
	for _, o := range d.Outlines {
		p.outline(o)
	}
	for _, shot := range s.Shots {
		if shot.Seen.At != nil {
			p.camera(shot.Number, *shot.Seen.At, s.Plan.Musician.At)
		}
	}
	p.out.WriteString("</svg>")
	return template.HTML(p.out.String())
}

// pen writes a drawing in metres as SVG in millimetres.
type pen struct {
	low, high room.Point
	scale     float64
	out       strings.Builder
}

func (p *pen) open(w, h float64) {
	w, h = w+2*besideMM, h+2*aboveMM
	fmt.Fprintf(&p.out, `<svg xmlns="http://www.w3.org/2000/svg" width="%.1fmm" height="%.1fmm" viewBox="%g %g %.1f %.1f" role="img" aria-label="plan of the room">`, w, h, -besideMM, -aboveMM, w, h)
	p.out.WriteString(`<defs><pattern id="hatch" width="2" height="2" patternUnits="userSpaceOnUse" patternTransform="rotate(45)"><path d="M0 0V2" stroke="#000" stroke-width=".25"/></pattern></defs>`)
}

func (p *pen) x(at room.Point) float64 { return (at.X - p.low.X) * p.scale }
func (p *pen) y(at room.Point) float64 { return (p.high.Y - at.Y) * p.scale }

// outline draws one shape by its kind. Views are left to the cameras.
func (p *pen) outline(o room.Outline) {
	switch o.Kind {
	case room.Wall:
		p.path(o.Points, true, `fill="#fff" stroke="#000" stroke-width="1.2" stroke-linejoin="miter"`)
	case room.Door:
		p.path(o.Points, false, `stroke="#fff" stroke-width="1.6"`)
		p.path(o.Points, false, `stroke="#000" stroke-width=".4" stroke-dasharray="1 1"`)
	case room.Window:
		p.path(o.Points, false, `stroke="#fff" stroke-width="1.6"`)
		p.path(o.Points, false, `stroke="#000" stroke-width=".4"`)
	case room.Mirror, room.Glass:
		p.path(o.Points, false, `stroke="#000" stroke-width="2.4" stroke-dasharray=".7 .5"`)
	case room.SocketMark:
		p.circle(o.Points[0], 1.1, `fill="#000"`)
	case room.Furniture:
		p.circle(o.Points[0], o.RadiusM*p.scale, `fill="url(#hatch)" stroke="#000" stroke-width=".3"`)
	case room.Musician:
		p.circle(o.Points[0], math.Max(3, o.RadiusM*p.scale), `fill="#000"`)
	case room.Lamp:
		p.circle(o.Points[0], 2.4, `fill="#fff" stroke="#000" stroke-width=".7"`)
		at := o.Points[0]
		fmt.Fprintf(&p.out, `<path d="M%.1f %.1fl3.4 3.4m0 -3.4l-3.4 3.4" stroke="#000" stroke-width=".5"/>`, p.x(at)-1.7, p.y(at)-1.7)
	case room.Practical:
		p.circle(o.Points[0], 1.2, `fill="#fff" stroke="#000" stroke-width=".6"`)
	case room.ViewArea:
		return
	}
	if o.Kind != room.Wall && o.Name != "" {
		p.label(o)
	}
}

// label names an outline: below what stands in the room, outside of it what is in
// a wall.
func (p *pen) label(o room.Outline) {
	at := o.Points[0]
	if len(o.Points) == 2 {
		at = room.Point{X: (o.Points[0].X + o.Points[1].X) / 2, Y: (o.Points[0].Y + o.Points[1].Y) / 2}
	}
	x, y, anchor := p.x(at), p.y(at), "middle"
	wide, high := (p.high.X-p.low.X)*p.scale, (p.high.Y-p.low.Y)*p.scale
	switch inWall := o.RadiusM == 0; {
	case !inWall:
		y += math.Max(2.4, o.RadiusM*p.scale) + 3.4
	case x < 2:
		x, y, anchor = x-2.5, y+1, "end"
	case x > wide-2:
		x, y, anchor = x+2.5, y+1, "start"
	case y > high/2:
		y += 4.6
	default:
		y -= 2.4
	}
	if o.Kind == room.SocketMark && anchor == "middle" { // further out than doors and windows
		y += math.Copysign(3.6, y-high/2)
	}
	fmt.Fprintf(&p.out, `<text x="%.1f" y="%.1f" text-anchor="%s" font-size="3.2" paint-order="stroke" stroke="#fff" stroke-width="1">%s</text>`, x, y, anchor, html.EscapeString(o.Name))
}

// camera draws a numbered camera, its nose towards the musician.
func (p *pen) camera(number int, at room.Point, musician *room.Point) {
	x, y := p.x(at), p.y(at)
	if musician != nil {
		dx, dy := p.x(*musician)-x, p.y(*musician)-y
		if long := math.Hypot(dx, dy); long > 1 {
			dx, dy = dx/long, dy/long
			fmt.Fprintf(&p.out, `<path d="M%.1f %.1fL%.1f %.1fL%.1f %.1fZ" fill="#000"/>`,
				x+2.2*-dy, y+2.2*dx, x-2.2*-dy, y-2.2*dx, x+6*dx, y+6*dy)
		}
	}
	fmt.Fprintf(&p.out, `<circle cx="%.1f" cy="%.1f" r="3" fill="#fff" stroke="#000" stroke-width=".8"/><text x="%.1f" y="%.1f" text-anchor="middle" font-size="4" font-weight="bold">%d</text>`, x, y, x, y+1.4, number)
}

func (p *pen) circle(at room.Point, r float64, style string) {
	fmt.Fprintf(&p.out, `<circle cx="%.1f" cy="%.1f" r="%.1f" %s/>`, p.x(at), p.y(at), r, style)
}

func (p *pen) path(points []room.Point, closed bool, style string) {
	p.out.WriteString(`<path fill="none" d="`)
	for i, at := range points {
		fmt.Fprintf(&p.out, "%s%.1f %.1f", []string{"L", "M"}[b2i(i == 0)], p.x(at), p.y(at))
	}
	if closed {
		p.out.WriteString("Z")
	}
	fmt.Fprintf(&p.out, `" %s/>`, style)
}

func b2i(b bool) int {
	if b {
		return 1
	}
	return 0
}
