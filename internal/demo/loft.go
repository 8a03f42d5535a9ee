package demo

import (
	"math"
	"math/rand/v2"
)

// lamp is a small lamp behind the player; it is a point to the lens.
type lamp struct {
	pt                // metres, in the plane drawnAt
	behind    float64 // metres behind the player: what its blur disc comes from
	drawnAt   float64 // metres behind the player of the plane that pt lies in
	light     colour
	beat      float64 // of its flicker, radians
	onGarland bool    // a wire leads to it from the lamp before
}

const wallBehind = 2.3 // metres from the player to the boards of the back wall

// lamps hangs two garlands across the loft, puts lanterns on shelves and crates
// and the lights of the harbour behind the window.
func lamps(rng *rand.Rand) []lamp {
	warm := rgb(255, 186, 104)
	var out []lamp
	add := func(x, y, behind float64, c colour, bright float64) {
		out = append(out, lamp{pt: pt{x, y}, behind: behind, drawnAt: math.Min(behind, wallBehind), light: c.fade(bright), beat: 6 * rng.Float64()})
	}
	garland := func(x1, y1, x2, y2, sag, behind float64, n int) {
		for i := range n {
			k := (float64(i) + 0.5) / float64(n)
			add(x1+(x2-x1)*k, y1+(y2-y1)*k+sag*4*k*(1-k)+0.01*rng.NormFloat64(), behind,
				warm.mix(rgb(255, 150, 70), 0.5*rng.Float64()), 0.75+0.25*rng.Float64())
			out[len(out)-1].onGarland = i > 0
		}
	}
	garland(-2.2, -1.02, 2.3, -1.12, 0.34, 1.25, 15)
	garland(-2.6, -0.78, 2.9, -1.30, 0.42, 1.95, 13)
	garland(-0.9, -0.62, 1.5, -0.40, 0.20, 1.6, 9)
	for range 14 { // lanterns and reflections low down
		add(-1.9+3.8*rng.Float64(), -0.30+0.85*rng.Float64(), 0.9+1.2*rng.Float64(), warm.mix(rgb(255, 120, 60), 0.6*rng.Float64()), 0.55+0.3*rng.Float64())
	}
	for range 11 { // the harbour: far away, seen where the window is in the wall
		add(-2.8+1.3*rng.Float64(), -0.33+0.13*rng.Float64(), 9+20*rng.Float64(),
			[]colour{rgb(120, 220, 200), rgb(255, 210, 150), rgb(255, 110, 90)}[rng.IntN(3)], 0.5)
	}
	return out
}

// drawWall paints the back of the loft, sharp: boards, beams, the window on
// the harbour at dusk, nets, floats, and the light that the lamps throw.
// The caller blurs it.
func drawWall(c *canvas, p place, rng *rand.Rand) {
	everything := []pt{{-9, -9}, {9, -9}, {9, 9}, {-9, 9}}
	c.fill(flat(rgb(40, 27, 24)), moved(p, everything))
	const board = 0.21
	for i := -24; i <= 24; i++ {
		x := float64(i) * board
		tone := 0.75 + 0.35*rng.Float64()
		top, low := rgb(92*tone, 56*tone, 36*tone), rgb(52*tone, 31*tone, 25*tone)
		c.fill(across(p.point(pt{x, -1.4}), p.point(pt{x, 1.0}), top, low),
			moved(p, []pt{{x + 0.004, -4}, {x + board - 0.004, -4}, {x + board - 0.004, 4}, {x + 0.004, 4}}))
		for range 5 { // grain and knots
			gx, gy := x+board*rng.Float64(), -1.6+3*rng.Float64()
			c.fill(flat(rgb(24, 14, 12).fade(0.28)), moved(p, oval(pt{gx, gy}, 0.004, 0.10+0.35*rng.Float64(), 0)))
		}
	}
	// Window: dusk over the water.
	sky, glow, sea := rgb(44, 74, 104), rgb(226, 142, 108), rgb(30, 58, 76)
	win := []pt{{-2.85, -1.28}, {-1.42, -1.28}, {-1.42, 0.12}, {-2.85, 0.12}}
	c.fill(flat(rgb(30, 20, 18)), moved(p, shifted([]pt{{-2.94, -1.37}, {-1.33, -1.37}, {-1.33, 0.21}, {-2.94, 0.21}}, pt{})))
	c.fill(across(p.point(pt{0, -1.3}), p.point(pt{0, -0.3}), sky, glow), moved(p, win))
	c.fill(across(p.point(pt{0, -0.3}), p.point(pt{0, 0.15}), glow.mix(sea, 0.45), sea), moved(p, []pt{{-2.85, -0.27}, {-1.42, -0.27}, {-1.42, 0.12}, {-2.85, 0.12}}))
	c.fill(flat(rgb(38, 50, 66)), moved(p, blob(pt{-2.9, -0.25}, pt{-2.6, -0.34}, pt{-2.3, -0.31}, pt{-2.0, -0.38}, pt{-1.6, -0.30}, pt{-1.4, -0.25}, pt{-2.0, -0.24})))
	for _, bar := range [][]pt{{{-2.16, -1.3}, {-2.11, -1.3}, {-2.11, 0.15}, {-2.16, 0.15}}, {{-2.9, -0.62}, {-1.4, -0.62}, {-1.4, -0.58}, {-2.9, -0.58}}} {
		c.fill(flat(rgb(42, 27, 22)), moved(p, bar))
	}
	c.fill(flat(rgb(70, 44, 30)), moved(p, []pt{{-2.98, 0.16}, {-1.29, 0.16}, {-1.27, 0.24}, {-3.0, 0.24}}))
	// A beam under the roof and a post.
	c.fill(across(p.point(pt{0, -1.75}), p.point(pt{0, -1.45}), rgb(70, 44, 30), rgb(34, 21, 18)), moved(p, []pt{{-5, -1.75}, {5, -1.66}, {5, -1.42}, {-5, -1.50}}))
	c.fill(across(p.point(pt{1.62, 0}), p.point(pt{1.92, 0}), rgb(104, 66, 42), rgb(40, 25, 20)), moved(p, []pt{{1.66, -3}, {1.90, -3}, {1.90, 3}, {1.66, 3}}))
	// Nets hang from the beam.
	drawNet(c, p, -1.25, 0.10, -1.5, 0.80, rgb(176, 140, 92).fade(0.50), rng)
	drawNet(c, p, 0.55, 1.75, -1.5, 0.95, rgb(70, 128, 124).fade(0.60), rng)
	drawNet(c, p, 2.0, 3.2, -1.45, 0.9, rgb(170, 104, 66).fade(0.45), rng)
	// Cork floats on their lines, and glass ones.
	for i := range 9 {
		x, y := -1.15+0.42*float64(i)+0.1*rng.Float64(), -0.95+0.7*rng.Float64()
		if i%3 == 2 {
			c.fill(around(p.point(pt{x - 0.03, y - 0.03}), 0.12*p.k, rgb(150, 196, 178), rgb(28, 60, 58)), moved(p, oval(pt{x, y}, 0.075, 0.075, 0)))
			continue
		}
		c.fill(flat(rgb(90, 64, 44)), moved(p, []pt{{x - 0.004, -1.6}, {x + 0.004, -1.6}, {x + 0.004, y}, {x - 0.004, y}}))
		c.fill(around(p.point(pt{x - 0.02, y - 0.02}), 0.09*p.k, rgb(206, 120, 66), rgb(104, 46, 30)), moved(p, oval(pt{x, y}, 0.05, 0.07, 0.2*rng.NormFloat64())))
	}
	// Fish boxes and a coil of rope by the wall.
	for i, b := range []struct{ x, y, w, h float64 }{{-1.1, 0.62, 0.7, 0.36}, {-0.95, 0.34, 0.55, 0.28}, {0.95, 0.58, 0.75, 0.40}, {2.1, 0.5, 0.6, 0.48}} {
		wood := []colour{rgb(112, 74, 46), rgb(72, 92, 90), rgb(120, 62, 42), rgb(98, 70, 48)}[i]
		for k := range 3 {
			y := b.y + b.h*float64(k)/3
			c.fill(across(p.point(pt{b.x, y}), p.point(pt{b.x + b.w, y + b.h/3}), wood, wood.mix(rgb(24, 14, 12), 0.55)),
				moved(p, []pt{{b.x, y}, {b.x + b.w, y}, {b.x + b.w, y + b.h/3 - 0.015}, {b.x, y + b.h/3 - 0.015}}))
		}
	}
	for k := range 5 {
		c.fill(flat(rgb(176-16*float64(k), 146-14*float64(k), 98-10*float64(k))), moved(p, oval(pt{0.55, 0.86 - 0.035*float64(k)}, 0.20, 0.07, 0)))
	}
	// The floor.
	c.fill(across(p.point(pt{0, 0.98}), p.point(pt{0, 1.9}), rgb(58, 37, 28), rgb(30, 20, 18)), moved(p, []pt{{-9, 0.98}, {9, 0.98}, {9, 9}, {-9, 9}}))
	for i := range 12 {
		y := 0.98 + 0.012*math.Pow(1.5, float64(i))
		c.fill(flat(rgb(22, 14, 13).fade(0.6)), moved(p, []pt{{-9, y}, {9, y}, {9, y + 0.006}, {-9, y + 0.006}}))
	}
	// Pools of light, and dark towards the edges of the room.
	pool := func(x, y, r float64, light colour) {
		c.fill(around(p.point(pt{x, y}), r*p.k, light, light.fade(0)), moved(p, oval(pt{x, y}, r, r, 0)))
	}
	pool(-1.35, -0.45, 1.5, rgb(70, 130, 160).fade(0.38)) // dusk from the window
	pool(0.35, -1.05, 1.1, rgb(255, 176, 92).fade(0.30))
	pool(1.15, -0.55, 0.9, rgb(255, 150, 70).fade(0.26))
	pool(-0.45, 0.35, 0.8, rgb(255, 140, 64).fade(0.20))
	c.fill(around(p.point(pt{-0.2, -0.5}), 2.7*p.k, rgb(14, 12, 20).fade(0), rgb(14, 12, 20).fade(0.66)), moved(p, everything))
}

// drawNet hangs a net with diamond meshes between x1 and x2.
func drawNet(c *canvas, p place, x1, x2, top, depth float64, cord colour, rng *rand.Rand) {
	const cols = 13
	rows := int(depth / (x2 - x1) * cols * 1.2)
	lean := 0.05 * rng.NormFloat64()
	knot := func(i, j int) pt {
		k := float64(i) / cols
		r := float64(j) / float64(rows)
		sag := 1 - 0.55*math.Sin(math.Pi*k) // shorter in the middle: it hangs in a swag
		return pt{
			x1 + (x2-x1)*(k+(0.5-k)*0.35*r) + lean*r + 0.012*math.Sin(9*r+5*k),
			top + depth*(1.5-sag*0.8)*r + 0.012*math.Sin(7*k),
		}
	}
	line := func(a, b pt) {
		d := b.sub(a)
		n := pt{-d.y, d.x}.mul(0.0035 / (d.len() + 1e-9))
		c.fill(flat(cord), moved(p, []pt{a.add(n), b.add(n), b.sub(n), a.sub(n)}))
	}
	var drape []pt // the many folds behind, as one dim cloth
	for i := range cols + 1 {
		drape = append(drape, knot(i, 0))
	}
	for i := cols; i >= 0; i-- {
		drape = append(drape, knot(i, rows))
	}
	c.fill(across(p.point(pt{x1, top}), p.point(pt{x2, top + depth}), cord.fade(0.75), cord.fade(0.25)), moved(p, drape))
	for f := range 4 { // folds
		i := 2 + 3*f
		c.fill(flat(rgb(16, 12, 14).fade(0.22)), moved(p, limb(joint{knot(i, 0), 0.012}, joint{knot(i, rows/2), 0.03}, joint{knot(i, rows), 0.045})))
	}
	for j := range rows {
		for i := range cols {
			if (i+j)%2 == 0 {
				line(knot(i, j), knot(i+1, j+1))
			} else {
				line(knot(i+1, j), knot(i, j+1))
			}
		}
	}
}

// drawLamps lights the lamps that are seen behind the player: blur discs of
// the size that the lens makes. A disc of equal light gets
// dimmer as it grows; it is kept visible.
func drawLamps(c *canvas, v view, all []lamp, t, dx, dy float64) {
	for _, l := range all {
		q := v.at(l.drawnAt, dx, dy).point(l.pt)
		r := math.Max(0.9, v.discPx(l.behind)/2)
		if q.x < -3*r-20 || q.y < -3*r-20 || q.x > float64(c.w)+3*r+20 || q.y > float64(c.h)+3*r+20 {
			continue
		}
		flicker := 1 + 0.05*math.Sin(2.1*t+l.beat) + 0.03*math.Sin(7.3*t+2*l.beat)
		strength := l.light.a * flicker * (0.42 + 0.58/(1+0.04*r*r))
		c.disc(q, r, l.light, strength)
	}
}

// haloLamps paints the wires of the garlands and the soft light around the
// lamps into the wall's layer.
func haloLamps(wall *canvas, v view, all []lamp) {
	place := func(l lamp) pt { return v.at(l.drawnAt, 0, 0).point(l.pt).add(pt{margin, margin}) }
	for i, l := range all {
		if l.onGarland {
			a, b := place(all[i-1]), place(l)
			sag := pt{0, 0.06 * b.sub(a).len()}
			wide := math.Max(0.6, v.discPx(l.behind)/2)
			wire := limb(joint{a, wide}, joint{a.to(b, 0.5).add(sag), wide}, joint{b, wide})
			wall.fill(flat(rgb(24, 16, 14).fade(0.55/wide)), wire)
		}
	}
	for _, l := range all {
		q := place(l)
		r := v.discPx(l.behind) / 2
		wall.glow(q, 0, r*2+18, l.light.fade(0.20))
	}
}

// disc adds an even disc of light with a slightly brighter rim and an edge
// one pixel wide.
func (c *canvas) disc(centre pt, r float64, light colour, strength float64) {
	for y := max(0, int(centre.y-r-1)); y <= min(c.h-1, int(centre.y+r+1)); y++ {
		for x := max(0, int(centre.x-r-1)); x <= min(c.w-1, int(centre.x+r+1)); x++ {
			d := math.Hypot(float64(x)+0.5-centre.x, float64(y)+0.5-centre.y)
			k := math.Min(1, r+0.5-d)
			if k <= 0 {
				continue
			}
			if d > r-2 && r > 4 {
				k *= 1.15
			}
			i := y*c.w + x
			c.pix[i] = addLight(c.pix[i], light, k*strength)
		}
	}
}
