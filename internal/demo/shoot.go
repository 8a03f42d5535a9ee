package demo

import "math"

// Swing is one slow sine of the picture's movement in one direction, in pixels
// of the clip's picture.
type Swing struct {
	Px      float64 `json:"px"`
	PeriodS float64 `json:"period_s"`
	Phase   float64 `json:"phase_rad"`
}

func swingAt(all []Swing, t float64) float64 {
	sum := 0.0
	for _, s := range all {
		sum += s.Px * math.Sin(2*math.Pi*t/s.PeriodS+s.Phase)
	}
	return sum
}

// scene is one pass as the camera sees it, ready to be drawn frame by frame.
type scene struct {
	view         view
	wall         *canvas // behind, blurred, with a margin
	body, guitar *canvas // the player's layers, with a margin; nil where nobody sits
	head         *canvas
	lamps        []lamp
	swayX, swayY []Swing // of the picture in the player's plane
	beatSeconds  float64 // she nods with the beat
	perf         *performance
	hands        *hands
	last         lastPlucks
	frame        *canvas
}

const margin = 24 // pixels around a layer, more than any sway

// newScene paints the layers of a pass. Nobody sits there when perf is nil.
func newScene(v view, all []lamp, wall func(c *canvas, p place), perf *performance) *scene {
	s := &scene{view: v, lamps: all, perf: perf, frame: newCanvas(v.width, v.height)}
	layer := func(behind float64, draw func(c *canvas, p place)) *canvas {
		c := newCanvas(v.width+2*margin, v.height+2*margin)
		p := v.at(behind, 0, 0)
		p.x, p.y = p.x+margin, p.y+margin
		draw(c, p)
		return c
	}
	s.wall = layer(wallBehind, wall)
	s.wall.blur(v.discPx(wallBehind))
	haloLamps(s.wall, v, all)
	s.wall.seal()
	if perf == nil {
		return s
	}
	s.body, s.guitar, s.head = layer(0, drawBody), layer(0, drawGuitar), layer(0, drawHead)
	for _, c := range []*canvas{s.body, s.guitar, s.head} {
		c.seal()
	}
	s.hands = newHands(perf)
	s.last = newLastPlucks(perf.plucks)
	return s
}

// draw returns the picture at pass time t. It is good until the next call.
func (s *scene) draw(t float64) *canvas {
	k0 := s.view.pxPerMetre(0)
	swayX, swayY := swingAt(s.swayX, t), swingAt(s.swayY, t)
	dx, dy := -swayX/k0, -swayY/k0 // the camera goes one way, the picture the other
	c := s.frame
	nearX, nearY := swayX-margin, swayY-margin
	k := s.view.pxPerMetre(wallBehind)
	c.lay(s.wall, -margin-dx*k, -margin-dy*k, s.body, nearX, nearY)
	drawLamps(c, s.view, s.lamps, t, dx, dy)
	if s.perf == nil {
		return c
	}
	p := s.view.at(0, dx, dy)
	left, right := s.hands.frettingAt(t), s.hands.pluckingAt(t)
	c.lay(s.body, nearX, nearY, s.guitar, nearX, nearY)
	drawLeftArm(c, p, left)
	c.lay(s.guitar, nearX, nearY, nil, 0, 0)
	s.drawSwings(p, t)
	if s.view.showsHands() {
		drawInlay(c, p, &s.last, t)
	}
	drawLeftFingers(c, p, left)
	nod := s.nodAt(t)
	hp := p
	hp.x, hp.y = p.x+nod.x*p.k, p.y+nod.y*p.k
	c.lay(s.head, nearX+nod.x*p.k, nearY+nod.y*p.k, nil, 0, 0)
	open, wide := mouthAt(s.perf.syllables, t)
	drawFace(c, hp, eyesAt(t), open, wide)
	drawRightArm(c, p, right)
	return c
}

// showsHands reports whether the inlay lies inside the picture.
func (v view) showsHands() bool {
	p := v.at(0, 0, 0)
	for _, m := range inlay() {
		q := p.point(m)
		if q.x < margin/2 || q.y < margin/2 || q.x > float64(v.width)-margin/2 || q.y > float64(v.height)-margin/2 {
			return false
		}
	}
	return true
}

// nodAt moves the head in metres: a little with the beat, a little at will.
func (s *scene) nodAt(t float64) pt {
	bar := 2 * math.Pi * t / (4 * s.beatSeconds)
	open, _ := mouthAt(s.perf.syllables, t)
	return pt{0.010*math.Sin(bar/2+0.5) + 0.004*math.Sin(0.9*t), 0.0035*math.Sin(2*bar) - 0.004*open + 0.003*math.Sin(0.63*t)}
}

// eyesAt is how far the eyes are open: mostly half down, looking at the hands;
// now and then closed.
func eyesAt(t float64) float64 {
	open := 0.58 + 0.16*math.Sin(0.37*t)
	if blink := math.Mod(t+0.4*math.Sin(t*0.7), 3.7); blink < 0.22 {
		open *= math.Abs(blink-0.11) / 0.11
	}
	if dreamy := math.Sin(0.21*t + 1); dreamy > 0.55 {
		open *= 1 - smooth((dreamy-0.55)/0.15)
	}
	return open
}

// drawSwings paints how far each string swings, over the strings at rest.
func (s *scene) drawSwings(p place, t float64) {
	for n := range openStrings {
		dt := s.last.since(n, t)
		if dt > 0.9 {
			continue
		}
		swing := 0.0046 * math.Exp(-dt/0.30) * (1 - 0.08*float64(n))
		tone := flat(stringTone(n).fade(0.45))
		const pieces = 8 // each with a small box to fill
		edge := func(i int) (up, down pt) {
			k := float64(i) / pieces
			u := bridgeU + (nutU-bridgeU)*k
			w := 0.0006 + swing*math.Sin(math.Pi*k)
			return p.point(onGuitar(u, stringV(n, u)-w)), p.point(onGuitar(u, stringV(n, u)+w))
		}
		a, b := edge(0)
		for i := 1; i <= pieces; i++ {
			c, d := edge(i)
			s.frame.fill(tone, []pt{a, c, d, b})
			a, b = c, d
		}
	}
}
