package demo

import "math"

// Nell Harrowgate, seated, in metres in the world of the guitar (origin at the
// sound hole, x to the right of the picture, y down).
var (
	headAt        = pt{0.035, -0.545}
	rightShoulder = pt{-0.150, -0.315}
	rightElbow    = pt{-0.405, -0.120}
	leftShoulder  = pt{0.217, -0.310}
	leftElbow     = pt{0.385, 0.085}
)

var (
	jumperLit  = rgb(86, 118, 118)
	jumper     = rgb(44, 68, 76)
	jumperDark = rgb(22, 34, 44)
	skinLit    = rgb(246, 196, 152)
	skin       = rgb(214, 150, 112)
	skinDark   = rgb(140, 82, 62)
	hairLit    = rgb(150, 74, 44)
	hair       = rgb(74, 34, 26)
	woolLit    = rgb(232, 178, 78)
	wool       = rgb(176, 116, 44)
)

// drawBody paints what hardly moves behind the guitar: crate, legs, jumper.
func drawBody(c *canvas, p place) {
	// The fish box she sits on.
	for k := range 3 {
		y := 0.24 + 0.15*float64(k)
		c.fill(across(p.point(pt{-0.36, y}), p.point(pt{0.42, y + 0.1}), rgb(142, 98, 62), rgb(58, 37, 28)),
			moved(p, []pt{{-0.35, y}, {0.42, y}, {0.42, y + 0.138}, {-0.35, y + 0.138}}))
	}
	denim, denimDark := rgb(104, 76, 62), rgb(42, 30, 30)
	for _, leg := range [][]pt{
		limb(joint{pt{-0.06, 0.15}, 0.105}, joint{pt{-0.205, 0.335}, 0.098}, joint{pt{-0.215, 0.48}, 0.078}, joint{pt{-0.20, 0.95}, 0.060}),
		limb(joint{pt{0.14, 0.15}, 0.105}, joint{pt{0.285, 0.335}, 0.098}, joint{pt{0.290, 0.48}, 0.078}, joint{pt{0.27, 0.95}, 0.060}),
	} {
		x := leg[0].x
		c.fill(across(p.point(pt{x - 0.22, 0.2}), p.point(pt{x + 0.12, 0.6}), denim, denimDark), moved(p, leg))
	}
	torso := moved(p, blob(pt{-0.030, -0.405}, pt{-0.125, -0.375}, pt{-0.200, -0.315}, pt{-0.205, -0.12}, pt{-0.195, 0.12}, pt{-0.20, 0.25},
		pt{0.03, 0.29}, pt{0.26, 0.25}, pt{0.255, 0.12}, pt{0.265, -0.12}, pt{0.272, -0.315}, pt{0.195, -0.375}, pt{0.100, -0.405}, pt{0.035, -0.39}))
	c.fill(across(p.point(pt{-0.22, -0.36}), p.point(pt{0.26, 0.1}), jumperLit, jumperDark), torso)
	// Ribs of the knit and three bands of pattern across the chest.
	for i := range 34 {
		x := -0.19 + 0.45*float64(i)/33
		lean := (x - 0.035) * 0.05
		c.fill(flat(jumperDark.fade(0.22)), moved(p, []pt{{x, -0.345}, {x + 0.004, -0.345}, {x + 0.004 + lean, 0.24}, {x + lean, 0.24}}))
	}
	for i := range 27 {
		x := -0.185 + 0.0165*float64(i)
		y := -0.262 + 0.35*(x-0.035)*(x-0.035)
		c.fill(flat(rgb(226, 206, 166).fade(0.55-0.35*smooth((x+0.1)/0.35))), moved(p, []pt{{x, y}, {x + 0.0055, y - 0.008}, {x + 0.011, y}, {x + 0.0055, y + 0.008}}))
		c.fill(flat(rgb(206, 112, 70).fade(0.5-0.3*smooth((x+0.1)/0.35))), moved(p, oval(pt{x + 0.0055, y + 0.018}, 0.003, 0.003, 0)))
	}
	// Roll-neck: its inside, the neck, then its front.
	knit := across(p.point(pt{-0.04, 0}), p.point(pt{0.12, 0}), jumperLit.mix(rgb(196, 214, 200), 0.15), jumperDark.mix(jumper, 0.4))
	c.fill(flat(rgb(20, 28, 36)), moved(p, oval(pt{0.035, -0.430}, 0.055, 0.020, 0)))
	c.fill(across(p.point(pt{-0.01, 0}), p.point(pt{0.08, 0}), skin, skinDark), moved(p, limb(joint{pt{0.035, -0.50}, 0.041}, joint{pt{0.035, -0.425}, 0.044})))
	c.fill(around(p.point(pt{0.037, -0.458}), 0.062*p.k, rgb(60, 26, 24).fade(0.70), rgb(60, 26, 24).fade(0)), moved(p, oval(pt{0.036, -0.452}, 0.047, 0.040, 0)))
	collar := blob(pt{-0.026, -0.434}, pt{0.000, -0.419}, pt{0.035, -0.413}, pt{0.070, -0.419}, pt{0.096, -0.434}, pt{0.105, -0.405}, pt{0.098, -0.378}, pt{0.070, -0.364}, pt{0.035, -0.359}, pt{0.000, -0.364}, pt{-0.028, -0.378}, pt{-0.035, -0.405})
	c.fill(flat(rgb(10, 18, 26).fade(0.35)), moved(p, shifted(collar, pt{0.003, 0.009})))
	c.fill(knit, moved(p, collar))
	for i := range 15 {
		k := (float64(i) - 7) / 7
		x := 0.035 + 0.064*k
		y := -0.413 - 0.020*k*k
		c.fill(flat(jumperDark.fade(0.32)), moved(p, limb(joint{pt{x, y + 0.003}, 0.0011}, joint{pt{x + 0.003*k, y + 0.026}, 0.0014}, joint{pt{x + 0.001*k, y + 0.049 - 0.004*k*k}, 0.0010})))
	}
	// Light of the dusk from the window's other side on her shoulder.
	c.fill(flat(rgb(110, 160, 170).fade(0.35)), moved(p, limb(joint{pt{0.205, -0.372}, 0.003}, joint{pt{0.262, -0.325}, 0.0045}, joint{pt{0.274, -0.22}, 0.002})))
}

// drawHead paints the head without eyes and mouth.
func drawHead(c *canvas, p place) {
	h := func(x, y float64) pt { return headAt.add(pt{x, y}) }
	q := func(x, y float64) pt { return p.point(h(x, y)) }
	soft := func(x, y, r float64, k colour) {
		c.fill(around(q(x, y), r*p.k, k, k.fade(0)), moved(p, oval(h(x, y), r, r, 0)))
	}
	// Hair behind.
	c.fill(across(q(-0.1, -0.05), q(0.1, 0.1), hair.mix(hairLit, 0.4), hair.mix(rgb(30, 14, 14), 0.4)), moved(p, blob(h(0, -0.13), h(0.082, -0.09), h(0.100, 0), h(0.108, 0.075), h(0.088, 0.138),
		h(0.045, 0.118), h(-0.045, 0.118), h(-0.090, 0.140), h(-0.110, 0.075), h(-0.100, 0), h(-0.082, -0.09))))
	face := moved(p, blob(h(0, -0.118), h(0.056, -0.10), h(0.074, -0.03), h(0.0725, 0.020), h(0.060, 0.066), h(0.034, 0.100), h(0, 0.113), h(-0.034, 0.100), h(-0.060, 0.066), h(-0.0725, 0.020), h(-0.074, -0.03), h(-0.056, -0.10)))
	c.fill(across(q(-0.07, -0.02), q(0.085, 0.06), skinLit, skinDark.mix(skin, 0.42)), face)
	soft(-0.028, 0.025, 0.060, rgb(255, 226, 186).fade(0.34))
	soft(0.062, 0.050, 0.045, rgb(110, 56, 52).fade(0.22))
	// Cheeks, sockets, the nose's shadow side and light.
	for _, side := range []float64{-1, 1} {
		soft(0.043*side, 0.044, 0.027, rgb(226, 96, 72).fade(0.38))
		soft(0.030*side, -0.004, 0.025, rgb(150, 76, 58).fade(0.24))
	}
	c.fill(flat(rgb(168, 96, 70).fade(0.34)), moved(p, blob(h(0.005, 0.002), h(0.008, 0.020), h(0.0150, 0.040), h(0.010, 0.047), h(0.002, 0.047), h(0.004, 0.030))))
	soft(-0.0015, 0.036, 0.011, rgb(255, 236, 204).fade(0.70))
	for _, side := range []float64{-1, 1} {
		c.fill(flat(rgb(112, 52, 42).fade(0.55)), moved(p, limb(joint{h(0.0045*side, 0.0470), 0.0008}, joint{h(0.0085*side, 0.0462), 0.0015}, joint{h(0.0108*side, 0.0440), 0.0006})))
	}
	soft(0.002, 0.091, 0.014, rgb(150, 80, 64).fade(0.22))
	// Freckles.
	for i := range 14 {
		a := float64(i)
		x, y := 0.043*math.Sin(a*2.4)+0.004*math.Sin(a*7), 0.033+0.010*math.Sin(a*3.7)
		c.fill(flat(rgb(160, 84, 54).fade(0.36)), moved(p, oval(h(x, y), 0.0013, 0.0012, 0)))
	}
	// The cap's shadow on the brow.
	c.fill(across(q(0, -0.062), q(0, -0.028), rgb(90, 40, 30).fade(0.42), rgb(90, 40, 30).fade(0)), moved(p, blob(h(-0.074, -0.066), h(0, -0.078), h(0.074, -0.066), h(0.072, -0.030), h(0, -0.036), h(-0.072, -0.030))))
	// Hair at both sides of the face, in strands.
	for _, side := range []float64{-1, 1} {
		base := hair
		if side < 0 {
			base = hair.mix(hairLit, 0.35)
		}
		lock := blob(h(0.046*side, -0.105), h(0.069*side, -0.058), h(0.0635*side, -0.010), h(0.067*side, 0.040), h(0.056*side, 0.092), h(0.064*side, 0.132), h(0.094*side, 0.140), h(0.113*side, 0.085), h(0.104*side, 0.0), h(0.088*side, -0.09))
		c.fill(flat(rgb(70, 28, 22).fade(0.30)), moved(p, shifted(lock, pt{-0.004 * side, 0.004})))
		c.fill(across(q(0.06*side, -0.05), q(0.1*side, 0.13), base.mix(hairLit, 0.25), base.mix(rgb(34, 14, 14), 0.35)), moved(p, lock))
		for i := range 11 {
			k := float64(i) / 10
			x := 0.070 + 0.032*k
			lit := hairLit.mix(rgb(226, 132, 78), 0.5).fade((0.50 - 0.30*(side+1)/2) * (0.5 + 0.5*math.Sin(3*k+1)))
			c.fill(flat(lit), moved(p, limb(joint{h((x-0.010)*side, -0.07), 0.0006}, joint{h((x-0.002)*side, -0.005), 0.0014}, joint{h((x+0.001)*side, 0.055), 0.0013}, joint{h((x-0.010+0.010*k)*side, 0.100), 0.0010}, joint{h((x-0.012+0.012*k)*side, 0.130), 0.0004})))
		}
	}
	// A knitted cap with a turned-up edge.
	cap := blob(h(-0.090, -0.060), h(-0.094, -0.112), h(-0.066, -0.168), h(0, -0.190), h(0.066, -0.168), h(0.094, -0.112), h(0.090, -0.060), h(0, -0.075))
	c.fill(across(q(-0.08, -0.16), q(0.09, -0.08), woolLit, wool.mix(rgb(70, 40, 24), 0.55)), moved(p, cap))
	for i := range 15 {
		k := (float64(i) - 7) / 7
		c.fill(flat(rgb(92, 54, 22).fade(0.30)), moved(p, limb(joint{h(0.020*k, -0.186), 0.0006}, joint{h(0.066*k, -0.150+0.01*k*k), 0.0012}, joint{h(0.088*k, -0.085), 0.0013})))
	}
	edge := limb(joint{h(-0.088, -0.066), 0.019}, joint{h(-0.04, -0.080), 0.019}, joint{h(0.04, -0.080), 0.019}, joint{h(0.088, -0.066), 0.019})
	c.fill(flat(rgb(60, 26, 20).fade(0.35)), moved(p, shifted(edge, pt{0.002, 0.006})))
	c.fill(across(q(-0.09, -0.08), q(0.1, -0.06), woolLit.mix(rgb(255, 226, 150), 0.35), wool.mix(rgb(70, 40, 24), 0.4)), moved(p, edge))
	for i := range 23 {
		k := (float64(i) - 11) / 11
		c.fill(flat(rgb(110, 64, 24).fade(0.42)), moved(p, limb(joint{h(0.094*k, -0.097+0.012*k*k), 0.0011}, joint{h(0.096*k, -0.063+0.012*k*k), 0.0011})))
	}
	c.fill(around(q(0, -0.205), 0.028*p.k, woolLit.mix(rgb(255, 240, 200), 0.4), wool), moved(p, oval(h(0, -0.200), 0.023, 0.021, 0)))
}

// drawFace paints what moves in the face: eyes by how far they are open (0..1),
// mouth by how far it opens and widens (0..1).
func drawFace(c *canvas, p place, eyes, open, wide float64) {
	h := func(x, y float64) pt { return headAt.add(pt{x, y}) }
	for _, side := range []float64{-1, 1} {
		x, y := 0.0300*side, 0.001
		up, low := 0.0105*eyes, 0.0058*eyes
		if eyes > 0.12 {
			white := moved(p, blob(h(x-0.0165, y+0.001), h(x-0.007, y-up*0.9), h(x+0.007, y-up*0.9), h(x+0.0165, y+0.001), h(x, y+low)))
			top, bottom := p.point(h(x, y-up)).y, p.point(h(x, y+low)).y
			c.fill(flat(rgb(240, 226, 208)), white)
			look := h(x+0.001, y+0.0040)
			c.fill(flat(rgb(46, 84, 76)), clipped(moved(p, oval(look, 0.0080, 0.0080, 0)), top, bottom))
			c.fill(flat(rgb(92, 136, 112).fade(0.8)), clipped(moved(p, oval(look.add(pt{0, 0.003}), 0.0050, 0.0036, 0)), top, bottom))
			c.fill(flat(rgb(16, 14, 16)), clipped(moved(p, oval(look, 0.0040, 0.0040, 0)), top, bottom))
			c.fill(flat(rgb(255, 246, 230)), moved(p, oval(look.add(pt{-0.0032, -0.0030}), 0.0015, 0.0015, 0)))
		}
		lid := y - up + 0.006*(1-eyes)
		c.fill(flat(rgb(58, 26, 24)), moved(p, limb(joint{h(x-0.0180, y+0.0020), 0.0007}, joint{h(x-0.007, lid+0.0012), 0.0017}, joint{h(x+0.007, lid+0.0012), 0.0017}, joint{h(x+0.0180, y+0.0020), 0.0007})))
		c.fill(flat(rgb(58, 26, 24)), moved(p, limb(joint{h(x+0.0150*side, y), 0.0010}, joint{h(x+0.0205*side, y-0.0025+0.004*(1-eyes)), 0.0004})))
		c.fill(flat(rgb(140, 72, 54).fade(0.5)), moved(p, limb(joint{h(x-0.015, y-0.008), 0.0005}, joint{h(x, y-0.0150), 0.0009}, joint{h(x+0.015, y-0.008), 0.0005})))
		lift := 0.0045 * open
		c.fill(flat(hair.mix(hairLit, 0.25).fade(0.85)), moved(p, limb(joint{h(x-0.016*side, y-0.0195-lift), 0.0021}, joint{h(x+0.004*side, y-0.0245-lift), 0.0020}, joint{h(x+0.020*side, y-0.0170-lift*0.4), 0.0007})))
	}
	half := 0.0195 + 0.0085*(wide-0.5)
	gap := 0.0235 * open
	y := 0.0725
	lip, lipLit := rgb(186, 80, 70), rgb(222, 124, 104)
	left, right := h(-half, y), h(half, y)
	if gap > 0.0012 {
		c.fill(flat(rgb(62, 20, 24)), moved(p, blob(left, h(-half*0.55, y-gap*0.40), h(half*0.55, y-gap*0.40), right, h(half*0.55, y+gap*0.62), h(-half*0.55, y+gap*0.62))))
		if gap > 0.006 {
			c.fill(flat(rgb(240, 226, 208)), moved(p, blob(h(-half*0.62, y-gap*0.33), h(0, y-gap*0.40), h(half*0.62, y-gap*0.33), h(half*0.42, y-gap*0.33+0.0032), h(-half*0.42, y-gap*0.33+0.0032))))
			c.fill(flat(rgb(196, 90, 84)), moved(p, oval(h(0, y+gap*0.42), half*0.45, gap*0.16, 0)))
		}
	}
	c.fill(flat(lip), moved(p, limb(joint{left, 0.0008}, joint{h(-half*0.4, y-gap*0.43-0.0016), 0.0028}, joint{h(0, y-gap*0.43-0.0004), 0.0022}, joint{h(half*0.4, y-gap*0.43-0.0016), 0.0028}, joint{right, 0.0008})))
	c.fill(flat(lip.mix(lipLit, 0.5)), moved(p, limb(joint{left, 0.0008}, joint{h(-half*0.4, y+gap*0.62+0.0014), 0.0032}, joint{h(half*0.4, y+gap*0.62+0.0014), 0.0032}, joint{right, 0.0008})))
	c.fill(flat(lipLit.fade(0.7)), moved(p, limb(joint{h(-half*0.35, y+gap*0.62+0.0012), 0.0010}, joint{h(half*0.2, y+gap*0.62+0.0012), 0.0010})))
}

// clipped keeps the part of a polygon between two heights by moving the rest to them.
func clipped(s []pt, top, bottom float64) []pt {
	for i := range s {
		s[i].y = math.Max(top, math.Min(bottom, s[i].y))
	}
	return s
}

// drawLeftArm paints the fretting arm and the part of its hand behind the neck.
func drawLeftArm(c *canvas, p place, hand fretting) {
	wrist := onGuitar(hand.u+0.030, 0.098)
	palm := onGuitar(hand.u+0.012, 0.040)
	sleeve := limb(joint{leftShoulder, 0.056}, joint{pt{0.325, -0.11}, 0.058}, joint{leftElbow, 0.053}, joint{leftElbow.to(wrist, 0.40), 0.041})
	c.fill(across(p.point(wrist.add(pt{-0.03, 0})), p.point(wrist.add(pt{0.04, 0.02})), skin, skinDark), moved(p, limb(joint{leftElbow.to(wrist, 0.62), 0.027}, joint{wrist, 0.024}, joint{palm, 0.031})))
	c.fill(flat(rgb(8, 14, 20).fade(0.30)), moved(p, shifted(limb(joint{pt{0.300, -0.16}, 0.050}, joint{leftElbow, 0.053}, joint{leftElbow.to(wrist, 0.40), 0.041}), pt{-0.010, 0.012})))
	c.fill(across(p.point(pt{-0.22, -0.36}), p.point(pt{0.30, 0.06}), jumperLit, jumperDark), moved(p, sleeve))
	c.fill(flat(rgb(120, 170, 176).fade(0.30)), moved(p, limb(joint{pt{0.270, -0.335}, 0.001}, joint{pt{0.380, -0.11}, 0.0035}, joint{pt{0.437, 0.07}, 0.001})))
	cuff := leftElbow.to(wrist, 0.72)
	side := wrist.sub(leftElbow)
	n := pt{-side.y, side.x}.mul(0.036 / side.len())
	c.fill(flat(jumperLit.mix(jumper, 0.5)), moved(p, limb(joint{cuff.add(n), 0.011}, joint{cuff.sub(n), 0.011})))
	// The thumb behind the neck, seen above it.
	c.fill(across(p.point(palm), p.point(onGuitar(hand.u, -0.05)), skinDark, skin), moved(p, limb(joint{palm, 0.016}, joint{onGuitar(hand.u-0.006, -0.012), 0.013}, joint{onGuitar(hand.u-0.014, -0.034), 0.0095})))
}

// drawLeftFingers paints the four fingers on the strings.
func drawLeftFingers(c *canvas, p place, hand fretting) {
	for f := 3; f >= 0; f-- {
		tip := onGuitar(hand.tip[f].x, hand.tip[f].y)
		ku := hand.u + 0.034 - 0.021*float64(f)
		knuckle := onGuitar(ku, 0.050)
		bend := onGuitar((ku+hand.tip[f].x)/2+0.003, (0.050+hand.tip[f].y)/2+0.004).add(pt{0, -0.004})
		finger := limb(joint{knuckle, 0.0118}, joint{bend, 0.0104}, joint{tip, 0.0078})
		c.fill(flat(rgb(40, 18, 14).fade(0.40)), moved(p, shifted(finger, pt{0.0035, 0.0045})))
		c.fill(across(p.point(knuckle.add(pt{-0.012, -0.01})), p.point(knuckle.add(pt{0.014, 0.02})), skinLit.mix(skin, 0.4), skin.mix(skinDark, 0.55)), moved(p, finger))
		c.fill(flat(rgb(244, 206, 176).fade(0.65)), moved(p, oval(tip.add(pt{-0.001, 0.001}), 0.0040, 0.0048, guitarTurn)))
	}
}

// drawRightArm paints the plucking arm and hand.
func drawRightArm(c *canvas, p place, hand plucking) {
	wrist := onGuitar(hand.wrist.x, hand.wrist.y)
	elbow := rightElbow.add(pt{0, 0.12 * hand.offset})
	sleeve := limb(joint{rightShoulder, 0.060}, joint{rightShoulder.to(elbow, 0.55).add(pt{-0.030, 0}), 0.062}, joint{elbow, 0.057}, joint{elbow.to(wrist, 0.56), 0.042})
	c.fill(flat(rgb(20, 12, 12).fade(0.34)), moved(p, shifted(limb(joint{elbow, 0.052}, joint{wrist, 0.032}), pt{0.012, 0.026})))
	lit := across(p.point(wrist.add(pt{-0.02, -0.03})), p.point(wrist.add(pt{0.05, 0.06})), skinLit, skin.mix(skinDark, 0.6))
	c.fill(lit, moved(p, limb(joint{elbow.to(wrist, 0.60), 0.031}, joint{wrist, 0.0245})))
	c.fill(across(p.point(pt{-0.30, -0.36}), p.point(pt{-0.17, 0.03}), jumperLit.mix(rgb(150, 176, 168), 0.12), jumperDark.mix(jumper, 0.35)), moved(p, sleeve))
	c.fill(flat(jumperDark.fade(0.30)), moved(p, limb(joint{pt{-0.205, -0.225}, 0.002}, joint{pt{-0.270, -0.180}, 0.006}, joint{elbow.add(pt{0.055, 0.005}), 0.002})))
	for i := range 9 { // folds and ribs
		k := 0.08 + 0.075*float64(i)
		at := elbow.to(wrist, k)
		d := wrist.sub(elbow)
		n := pt{-d.y, d.x}.mul((0.050 - 0.018*k) / d.len())
		c.fill(flat(jumperDark.fade(0.20)), moved(p, limb(joint{at.add(n), 0.0012}, joint{at.add(pt{0.008, 0}), 0.0022}, joint{at.sub(n), 0.0012})))
	}
	d := wrist.sub(elbow)
	n := pt{-d.y, d.x}.mul(0.037 / d.len())
	cuff := elbow.to(wrist, 0.685)
	c.fill(flat(jumperLit.mix(jumper, 0.35)), moved(p, limb(joint{cuff.add(n), 0.012}, joint{cuff.sub(n), 0.012})))

	knuckle := func(f int) pt { return onGuitar(hand.knuckle[f].x, hand.knuckle[f].y) }
	tip := func(f int) pt { return onGuitar(hand.tip[f].x, hand.tip[f].y) }
	shadow := flat(rgb(40, 18, 12).fade(0.38))
	finger := func(f int) []pt {
		k, t := hand.knuckle[f], hand.tip[f]
		bend := onGuitar((k.x+t.x)/2+0.017, (k.y+t.y)/2-0.004)
		return limb(joint{knuckle(f), 0.0112}, joint{bend, 0.0098}, joint{tip(f), 0.0070})
	}
	for f := 4; f >= 1; f-- {
		c.fill(shadow, moved(p, shifted(finger(f), pt{0.006, 0.009})))
	}
	back := onGuitar(hand.knuckle[2].x, hand.knuckle[2].y)
	c.fill(lit, moved(p, limb(joint{wrist, 0.0245}, joint{wrist.to(back, 0.55), 0.031}, joint{back.to(wrist, 0.12), 0.027})))
	for f := 4; f >= 1; f-- {
		c.fill(across(p.point(knuckle(f).add(pt{-0.006, -0.016})), p.point(tip(f).add(pt{0.012, 0.012})), skinLit.mix(skin, 0.12*float64(f)), skin.mix(skinDark, 0.35)), moved(p, finger(f)))
		c.fill(flat(rgb(250, 220, 192).fade(0.7)), moved(p, oval(tip(f).to(knuckle(f), 0.06), 0.0036, 0.0046, guitarTurn+0.5)))
	}
	thumb := limb(joint{wrist.to(back, 0.45).add(pt{0.012, -0.012}), 0.017}, joint{onGuitar(hand.knuckle[0].x, hand.knuckle[0].y), 0.0125}, joint{tip(0), 0.0085})
	c.fill(shadow, moved(p, shifted(thumb, pt{0.005, 0.008})))
	c.fill(across(p.point(knuckle(0).add(pt{-0.01, -0.02})), p.point(tip(0).add(pt{0.01, 0.02})), skinLit, skin), moved(p, thumb))
	c.fill(flat(rgb(252, 224, 198).fade(0.7)), moved(p, oval(tip(0).to(knuckle(0), 0.10), 0.0048, 0.0036, guitarTurn+0.6)))
}
