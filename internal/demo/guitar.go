package demo

import "math"

// The guitar's own measures in metres: u runs along the neck towards its head,
// v across the strings towards the floor, both from the middle of the sound
// hole. The world's origin is there too.
const (
	guitarTurn   = -14 * math.Pi / 180 // the neck points up to the right
	scaleLength  = 0.650
	nutU         = 0.490
	bridgeU      = nutU - scaleLength
	headEndU     = 0.660
	bodyEndU     = 0.143 // where neck and body meet
	stringGapNut = 0.0074
	stringGapBr  = 0.0110
)

// onGuitar maps the guitar's measures to the world's.
func onGuitar(u, v float64) pt {
	sin, cos := math.Sincos(guitarTurn)
	return pt{u*cos - v*sin, u*sin + v*cos}
}

// stringV returns how far string s (0 is the low E, nearest to the face) lies
// from the middle of the neck at u.
func stringV(s int, u float64) float64 {
	gap := stringGapBr + (stringGapNut-stringGapBr)*(u-bridgeU)/scaleLength
	return (float64(s) - 2.5) * gap
}

// fretU returns where fret n lies; a string shortens by a twelfth of an octave a fret.
func fretU(n float64) float64 { return nutU - scaleLength*(1-math.Exp2(-n/12)) }

// lowerEdge is the body's outline on the side of the floor, tail to neck.
var lowerEdge = []pt{
	{-0.354, 0},
	{-0.350, 0.052},
	{-0.330, 0.112},
	{-0.285, 0.163},
	{-0.225, 0.189},
	{-0.165, 0.188},
	{-0.105, 0.164},
	{-0.055, 0.137},
	{-0.010, 0.124},
	{0.035, 0.128},
	{0.078, 0.136},
	{0.112, 0.125},
	{0.134, 0.094},
	{0.142, 0.050},
	{0.143, 0},
}

// lowerLine is lowerEdge drawn smooth and moved into the body by inset; in the
// guitar's measures.
func lowerLine(inset float64) []pt {
	n := len(lowerEdge)
	get := func(i int) pt { // goes on mirrored at both ends
		switch {
		case i < 0:
			return pt{lowerEdge[-i].x, -lowerEdge[-i].y}
		case i >= n:
			return pt{lowerEdge[2*n-2-i].x, -lowerEdge[2*n-2-i].y}
		}
		return lowerEdge[i]
	}
	var smoothed []pt
	for i := 0; i < n-1; i++ {
		for k := range 8 {
			smoothed = append(smoothed, spline(get(i-1), get(i), get(i+1), get(i+2), float64(k)/8))
		}
	}
	smoothed = append(smoothed, lowerEdge[n-1])
	out := make([]pt, len(smoothed))
	for i, q := range smoothed {
		var d pt // along the edge; straight across the body at the ends
		switch i {
		case 0:
			d = pt{0, 1}
		case len(smoothed) - 1:
			d = pt{0, -1}
		default:
			d = smoothed[i+1].sub(smoothed[i-1])
		}
		out[i] = q.add(pt{d.y, -d.x}.mul(inset / d.len()))
	}
	return out
}

// bodyOutline is the body as a closed line, drawn smaller by inset.
func bodyOutline(inset float64) []pt {
	lower := lowerLine(inset)
	var s []pt
	for _, q := range lower {
		s = append(s, onGuitar(q.x, q.y))
	}
	for i := len(lower) - 2; i > 0; i-- {
		s = append(s, onGuitar(lower[i].x, -lower[i].y))
	}
	return s
}

// The inlay along the lower edge: a dark band with eight round places. The
// first is pearl and always bright, the last jet and always dark; each of the
// six between belongs to a string and sparks when the string is plucked.
const (
	inlayPlaces = openStrings + 2
	inlayInset  = 0.024
)

// inlay returns the places along the band, evenly spaced: pearl, strings 0 to
// 5, jet.
func inlay() [inlayPlaces]pt {
	line := inlayLine()
	length := 0.0
	for i := 1; i < len(line); i++ {
		length += line[i].sub(line[i-1]).len()
	}
	var out [inlayPlaces]pt
	const margin = 0.02
	k, walked := 1, 0.0
	for n := range out {
		want := margin + (length-2*margin)*float64(n)/(inlayPlaces-1)
		for k < len(line)-1 && walked+line[k].sub(line[k-1]).len() < want {
			walked += line[k].sub(line[k-1]).len()
			k++
		}
		step := line[k].sub(line[k-1]).len()
		out[n] = line[k-1].to(line[k], (want-walked)/step)
	}
	return out
}

// inlayLine is the middle of the band, from the tail to the upper bout.
func inlayLine() []pt {
	var line []pt
	for _, q := range lowerLine(inlayInset) {
		if q.x < 0.098 || q.y > 0.1 {
			line = append(line, onGuitar(q.x, q.y))
		}
	}
	return line
}

// strip is a straight strip from (u1, v1) to (u2, v2) with a half width at each end.
func strip(u1, v1, u2, v2, half1, half2 float64) []pt {
	return []pt{onGuitar(u1, v1-half1), onGuitar(u2, v2-half2), onGuitar(u2, v2+half2), onGuitar(u1, v1+half1)}
}

// drawGuitar paints everything of the guitar that does not move.
func drawGuitar(c *canvas, p place) {
	honey, burnt := rgb(214, 148, 78), rgb(96, 46, 26)
	outline := moved(p, bodyOutline(0))
	centre := p.point(onGuitar(-0.15, -0.02))
	c.fill(flat(rgb(44, 24, 17)), moved(p, shifted(bodyOutline(-0.004), pt{0.004, 0.010}))) // its side, and a shadow
	c.fill(around(centre, 0.26*p.k, honey, burnt), outline)
	c.fill(across(p.point(pt{-0.3, -0.2}), p.point(pt{0.0, 0.1}), rgb(255, 214, 150).fade(0.30), rgb(120, 60, 30).fade(0)), moved(p, bodyOutline(0.008)))
	// Grain of the top.
	for i := range 46 {
		v := -0.19 + 0.38*float64(i)/45
		w := 0.0005 + 0.0004*math.Sin(float64(i)*2.3)
		u1, u2 := grainEnds(v)
		c.fill(flat(rgb(120, 66, 32).fade(0.16)), moved(p, strip(u1, v, u2, v, w, w)))
	}
	// Cream binding: the ring between two outlines.
	c.fill(flat(rgb(238, 214, 170).fade(0.85)), outline, reversed(moved(p, bodyOutline(0.0045))))
	// The dark band of the inlay.
	line := inlayLine()
	var band []joint
	for _, q := range line {
		band = append(band, joint{q, 0.0118})
	}
	c.fill(flat(inlayDark), moved(p, limb(band...)))
	// Rosette and sound hole.
	hole := onGuitar(0, 0)
	for _, ring := range []struct {
		r float64
		c colour
	}{{0.068, rgb(70, 34, 22)}, {0.0655, rgb(228, 190, 130)}, {0.0635, rgb(88, 40, 26)}, {0.058, rgb(206, 120, 70)}, {0.055, rgb(60, 30, 22)}, {0.0505, rgb(24, 14, 12)}} {
		c.fill(flat(ring.c), moved(p, oval(hole, ring.r, ring.r, 0)))
	}
	c.fill(around(p.point(onGuitar(0.01, 0.02)), 0.055*p.k, rgb(70, 38, 24).fade(0.8), rgb(24, 14, 12).fade(0)), moved(p, oval(hole, 0.0495, 0.0495, 0)))
	// Bridge.
	bridge := onGuitar(bridgeU-0.012, 0)
	c.fill(flat(rgb(20, 12, 10).fade(0.5)), moved(p, shifted(strip(bridgeU-0.012, -0.075, bridgeU-0.012, 0.075, 0, 0), pt{0, 0})))
	c.fill(across(p.point(bridge.add(pt{-0.01, -0.05})), p.point(bridge.add(pt{0.02, 0.06})), rgb(74, 50, 38), rgb(30, 20, 17)),
		moved(p, guitarBlob([]pt{{bridgeU - 0.030, -0.03}, {bridgeU - 0.020, -0.082}, {bridgeU - 0.006, -0.082}, {bridgeU + 0.006, -0.03}, {bridgeU + 0.006, 0.03}, {bridgeU - 0.006, 0.082}, {bridgeU - 0.020, 0.082}, {bridgeU - 0.030, 0.03}})))
	c.fill(flat(rgb(240, 230, 205)), moved(p, strip(bridgeU-0.0015, -0.034, bridgeU+0.0015, -0.034, 0, 0)), moved(p, saddle()))
	for s := range openStrings {
		c.fill(flat(rgb(232, 220, 190)), moved(p, oval(onGuitar(bridgeU-0.014, stringV(s, bridgeU)), 0.0027, 0.0027, 0)))
	}
	// Neck, frets, head.
	c.fill(flat(rgb(60, 32, 22)), moved(p, strip(bodyEndU-0.07, 0.003, nutU+0.02, 0.003, 0.030, 0.025)))
	c.fill(across(p.point(onGuitar(0.3, -0.03)), p.point(onGuitar(0.3, 0.03)), rgb(78, 52, 42), rgb(38, 24, 21)),
		moved(p, strip(0.062, 0, nutU, 0, 0.0285, 0.0225)))
	for n := 1; n <= 18; n++ {
		u := fretU(float64(n))
		half := 0.0225 + (0.0285-0.0225)*(nutU-u)/(nutU-0.062)
		c.fill(flat(rgb(206, 190, 160).fade(0.9)), moved(p, strip(u-0.0009, 0, u+0.0009, 0, half, half)))
	}
	for _, n := range []float64{2.5, 4.5, 6.5, 8.5} {
		c.fill(flat(rgb(226, 214, 190).fade(0.9)), moved(p, oval(onGuitar(fretU(n), 0), 0.0032, 0.0032, 0)))
	}
	c.fill(flat(rgb(240, 228, 200)), moved(p, strip(nutU, 0, nutU+0.005, 0, 0.0225, 0.0225)))
	c.fill(across(p.point(onGuitar(nutU, -0.04)), p.point(onGuitar(headEndU, 0.04)), rgb(126, 66, 38), rgb(58, 28, 20)),
		moved(p, guitarBlob([]pt{{nutU + 0.005, -0.024}, {nutU + 0.045, -0.036}, {headEndU - 0.02, -0.042}, {headEndU, -0.02}, {headEndU - 0.008, 0}, {headEndU, 0.02}, {headEndU - 0.02, 0.042}, {nutU + 0.045, 0.036}, {nutU + 0.005, 0.024}})))
	for s := range openStrings {
		u, v := nutU+0.045+0.04*float64(s%3), 0.046
		if s < 3 {
			v = -v
		}
		c.fill(flat(rgb(236, 220, 186)), moved(p, oval(onGuitar(u, v*1.12), 0.010, 0.006, guitarTurn+math.Pi/2)))
		c.fill(flat(rgb(190, 170, 130)), moved(p, oval(onGuitar(u, v*0.5), 0.0045, 0.0045, 0)))
	}
	drawStrings(c, p)
}

// stringTone is bronze for the low strings and steel for the high ones.
func stringTone(s int) colour { return rgb(222, 186, 124).mix(rgb(238, 236, 228), float64(s)/5) }

// drawStrings paints the strings at rest with the shadow that they throw.
func drawStrings(c *canvas, p place) {
	for s := range openStrings {
		half := 0.0010 - 0.00011*float64(s)
		v1, v2 := stringV(s, bridgeU), stringV(s, nutU)
		c.fill(flat(rgb(30, 14, 10).fade(0.35)), moved(p, shifted(strip(bridgeU, v1, nutU, v2, half, half), pt{0.001, 0.0045})))
		c.fill(flat(stringTone(s)), moved(p, strip(bridgeU, v1, nutU, v2, half*0.8, half*0.55)))
	}
}

func saddle() []pt { return strip(bridgeU-0.0016, 0, bridgeU+0.0016, 0, 0.036, 0.036) }

// guitarBlob is a smooth closed line given in the guitar's measures.
func guitarBlob(through []pt) []pt {
	out := make([]pt, len(through))
	for i, q := range through {
		out[i] = onGuitar(q.x, q.y)
	}
	return blob(out...)
}

func reversed(s []pt) []pt {
	out := make([]pt, len(s))
	for i, q := range s {
		out[len(s)-1-i] = q
	}
	return out
}

// grainEnds returns between which u the body is at v.
func grainEnds(v float64) (from, to float64) {
	from, to = 1, -1
	for _, q := range lowerLine(0.006) {
		if q.y >= math.Abs(v) {
			from, to = math.Min(from, q.x), math.Max(to, q.x)
		}
	}
	return from, math.Max(from, to)
}
