package demo

import (
	"image"
	"math"

	"golang.org/x/image/vector"
)

// pt is a point, in metres or in pixels.
type pt struct{ x, y float64 }

func (a pt) add(b pt) pt           { return pt{a.x + b.x, a.y + b.y} }
func (a pt) sub(b pt) pt           { return pt{a.x - b.x, a.y - b.y} }
func (a pt) mul(k float64) pt      { return pt{a.x * k, a.y * k} }
func (a pt) to(b pt, k float64) pt { return pt{a.x + (b.x-a.x)*k, a.y + (b.y-a.y)*k} }
func (a pt) len() float64          { return math.Hypot(a.x, a.y) }

// colour has red, green, blue code values 0..255 and an opacity 0..1.
type colour struct{ r, g, b, a float64 }

func rgb(r, g, b float64) colour       { return colour{r, g, b, 1} }
func (c colour) fade(a float64) colour { c.a *= a; return c }
func (c colour) mix(o colour, k float64) colour {
	return colour{c.r + (o.r-c.r)*k, c.g + (o.g-c.g)*k, c.b + (o.b-c.b)*k, c.a + (o.a-c.a)*k}
}

// paint is one colour, or a colour for each pixel.
type paint struct {
	colour
	at func(x, y float64) colour // nil: one colour
}

func flat(c colour) paint { return paint{colour: c} }

// across blends from c at a to d at b, both in pixels.
func across(a, b pt, c, d colour) paint {
	v := b.sub(a)
	n := v.x*v.x + v.y*v.y + 1e-9
	return paint{at: func(x, y float64) colour {
		return c.mix(d, smooth(((x-a.x)*v.x+(y-a.y)*v.y)/n))
	}}
}

// around blends from c at the centre to d at the radius, both in pixels.
func around(centre pt, radius float64, c, d colour) paint {
	return paint{at: func(x, y float64) colour {
		return c.mix(d, smooth(math.Hypot(x-centre.x, y-centre.y)/radius))
	}}
}

// canvas is a picture of premultiplied pixels, 0xAABBGGRR, row-major.
type canvas struct {
	w, h  int
	pix   []uint32
	brush vector.Rasterizer
	mask  *image.Alpha
	drawn []span // per row where anything is drawn, found by seal
	solid []span // per row the longest stretch that hides what is under it
}

func newCanvas(w, h int) *canvas { return &canvas{w: w, h: h, pix: make([]uint32, w*h)} }

// fill paints the polygons, in pixels, non-zero winding, edges smoothed.
func (c *canvas) fill(p paint, shapes ...[]pt) {
	x0, y0, x1, y1 := math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)
	for _, s := range shapes {
		for _, q := range s {
			x0, y0, x1, y1 = math.Min(x0, q.x), math.Min(y0, q.y), math.Max(x1, q.x), math.Max(y1, q.y)
		}
	}
	left, top := max(0, int(math.Floor(x0))), max(0, int(math.Floor(y0)))
	right, bottom := min(c.w, int(math.Ceil(x1))+1), min(c.h, int(math.Ceil(y1))+1)
	w, h := right-left, bottom-top
	if w <= 0 || h <= 0 || x1 < x0 {
		return
	}
	c.brush.Reset(w, h)
	for _, s := range shapes {
		for i, q := range s {
			x, y := float32(q.x-float64(left)), float32(q.y-float64(top))
			if i == 0 {
				c.brush.MoveTo(x, y)
			} else {
				c.brush.LineTo(x, y)
			}
		}
		c.brush.ClosePath()
	}
	if c.mask == nil || len(c.mask.Pix) < w*h {
		c.mask = image.NewAlpha(image.Rect(0, 0, max(w, c.w), max(h, c.h)))
	}
	mask := &image.Alpha{Pix: c.mask.Pix[:w*h], Stride: w, Rect: image.Rect(0, 0, w, h)}
	clear(mask.Pix)
	c.brush.Draw(mask, mask.Rect, image.Opaque, image.Point{})
	for y := range h {
		row, cover := c.pix[(top+y)*c.w+left:][:w], mask.Pix[y*w:][:w]
		if p.at == nil {
			p.over(row, cover)
			continue
		}
		for x, m := range cover {
			if m != 0 {
				col := p.at(float64(left+x)+0.5, float64(top+y)+0.5)
				row[x] = blend(row[x], col, col.a*float64(m)/255, left+x, top+y)
			}
		}
	}
}

// over lays one colour over a row of pixels where cover says so.
func (c colour) over(row []uint32, cover []byte) {
	const odd = 0x00ff00ff
	full := uint32(c.a*256 + 0.5)
	rb := uint32(c.r+0.5) | uint32(c.b+0.5)<<16
	ga := uint32(c.g+0.5) | 255<<16
	for x, m := range cover {
		if m == 0 {
			continue
		}
		k := full * (uint32(m) + uint32(m)>>7) >> 8 // 0..256
		p := row[x]
		prb := (rb*k + p&odd*(256-k) + 0x00800080) >> 8 & odd
		pga := (ga*k + p>>8&odd*(256-k) + 0x00800080) >> 8 & odd
		row[x] = prb | pga<<8
	}
}

// glow adds light (no opacity) within a radius, in pixels: the full colour out
// to core, then falling to nothing at the radius.
func (c *canvas) glow(centre pt, core, radius float64, light colour) {
	for y := max(0, int(centre.y-radius)); y <= min(c.h-1, int(centre.y+radius)); y++ {
		for x := max(0, int(centre.x-radius)); x <= min(c.w-1, int(centre.x+radius)); x++ {
			px, py := float64(x)+0.5-centre.x, float64(y)+0.5-centre.y
			d := px*px + py*py
			if d >= radius*radius {
				continue
			}
			d = math.Sqrt(d)
			k := 1.0
			if d > core {
				k = 1 - (d-core)/(radius-core)
				k *= k
			}
			i := y*c.w + x
			c.pix[i] = addLight(c.pix[i], light, k*light.a)
		}
	}
}

func addLight(p uint32, c colour, k float64) uint32 {
	r := min(255, p&255+uint32(c.r*k+0.5))
	g := min(255, p>>8&255+uint32(c.g*k+0.5))
	b := min(255, p>>16&255+uint32(c.b*k+0.5))
	return p&0xff000000 | b<<16 | g<<8 | r
}

// blend lays a colour with opacity a over a premultiplied pixel. A half-level
// of fixed noise keeps long gradients from showing steps.
func blend(p uint32, c colour, a float64, x, y int) uint32 {
	n := uint32(x)*374761393 + uint32(y)*668265263
	n = (n ^ n>>13) * 1274126177
	noise := float64(n>>24) / 256
	k := 1 - a
	r := uint32(c.r*a + float64(p&255)*k + noise)
	g := uint32(c.g*a + float64(p>>8&255)*k + noise)
	b := uint32(c.b*a + float64(p>>16&255)*k + noise)
	alpha := uint32(255*a + float64(p>>24)*k + 0.5)
	return min(alpha, 255)<<24 | min(b, alpha)<<16 | min(g, alpha)<<8 | min(r, alpha)
}

// span is a stretch of columns [from, to).
type span struct{ from, to int }

// seal notes where each row has anything drawn, and the longest stretch that
// hides what is under it, so that lay can leave out the rest.
func (c *canvas) seal() {
	c.drawn, c.solid = make([]span, c.h), make([]span, c.h)
	for y := range c.h {
		run := 0
		for x, p := range c.pix[y*c.w : y*c.w+c.w] {
			if p>>24 != 0 {
				if c.drawn[y].to == 0 {
					c.drawn[y].from = x
				}
				c.drawn[y].to = x + 1
			}
			if run++; p>>24 != 255 {
				run = 0
			}
			if run > c.solid[y].to-c.solid[y].from {
				c.solid[y] = span{x + 1 - run, x + 1}
			}
		}
	}
}

// lay draws the layer over c with its corner at (x, y) pixels, which need not
// be whole. What the layer over it at the same place hides is left out; over
// may be nil. Both must be sealed.
func (c *canvas) lay(layer *canvas, x, y float64, over *canvas, overX, overY float64) {
	ix, iy := int(math.Floor(x)), int(math.Floor(y))
	fx, fy := uint32((x-float64(ix))*256), uint32((y-float64(iy))*256)
	ox, oy := int(math.Floor(overX)), int(math.Floor(overY))
	for cy := max(0, iy+1); cy < min(c.h, iy+layer.h); cy++ {
		// The layer's rows above and here, weighted fy and 256-fy, make this row.
		here := cy - iy
		a, b := layer.drawn[here-1], layer.drawn[here]
		from, to := min(a.from, b.from), max(a.to, b.to)
		if a.to == 0 || b.to == 0 {
			from = max(a.from, b.from)
		}
		first, end := max(0, ix+from, ix+1), min(c.w, ix+to+1, ix+layer.w)
		if first >= end {
			continue
		}
		hidden := span{end, end}
		if over != nil && cy-oy >= 1 && cy-oy < over.h {
			p, q := over.solid[cy-oy-1], over.solid[cy-oy]
			hidden = span{ox + max(p.from, q.from) + 1, ox + min(p.to, q.to)}
		}
		row := c.pix[cy*c.w : cy*c.w+c.w]
		up, low := layer.pix[(here-1)*layer.w:here*layer.w], layer.pix[here*layer.w:(here+1)*layer.w]
		if hidden.from >= hidden.to || hidden.from >= end || hidden.to <= first {
			layRow(row[first:end], up[first-ix-1:], low[first-ix-1:], fx, fy)
			continue
		}
		if hidden.from > first {
			layRow(row[first:hidden.from], up[first-ix-1:], low[first-ix-1:], fx, fy)
		}
		if hidden.to < end {
			layRow(row[hidden.to:end], up[hidden.to-ix-1:], low[hidden.to-ix-1:], fx, fy)
		}
	}
}

// layRow lays one row: pixel i is the mean of up and low at i and i+1, weighted
// by fx (for i) and fy (for up), both of 256.
func layRow(row, up, low []uint32, fx, fy uint32) {
	const each, half = 0x00ff00ff00ff00ff, 0x0080008000800080
	up, low = up[:len(row)+1], low[:len(row)+1]
	wx, wy := uint64(fx), uint64(fy)
	vx, vy := 256-wx, 256-wy
	before := (apart(up[0])*wy + apart(low[0])*vy + half) >> 8 & each
	for i := range row {
		here := (apart(up[i+1])*wy + apart(low[i+1])*vy + half) >> 8 & each
		p := (before*wx + here*vx + half) >> 8 & each
		before = here
		if alpha := p >> 48; alpha == 255 {
			row[i] = together(p)
		} else if alpha != 0 {
			p += apart(row[i]) * (256 - (alpha + alpha>>7)) >> 8 & each
			row[i] = together(p)
		}
	}
}

// apart gives each of a pixel's four bytes 16 bits, so that all can be
// multiplied at once; together undoes it.
func apart(p uint32) uint64    { return uint64(p&0x00ff00ff) | uint64(p>>8&0x00ff00ff)<<32 }
func together(p uint64) uint32 { return uint32(p) | uint32(p>>32)<<8 }

// blur softens the canvas as an unsharp lens does: three passes of a running
// mean come near to the disc's spread. The diameter is in pixels.
func (c *canvas) blur(diameter float64) {
	// A disc of diameter d has a variance of d²/16 per axis; three means of n pixels (n²-1)/4.
	n := int(math.Round(math.Sqrt(diameter*diameter/4 + 1)))
	if n < 2 {
		return
	}
	n |= 1
	line := make([]uint32, max(c.w, c.h))
	pass := func(start, stride, count int) {
		var sum [4]int
		get := func(i int) uint32 { return line[max(0, min(count-1, i))] }
		for i := range count {
			line[i] = c.pix[start+i*stride]
		}
		for i := -n / 2; i <= n/2; i++ {
			for k := range sum {
				sum[k] += int(get(i) >> (8 * k) & 255)
			}
		}
		for i := range count {
			var p uint32
			for k := range sum {
				p |= uint32((sum[k]+n/2)/n) << (8 * k)
			}
			c.pix[start+i*stride] = p
			in, out := get(i+n/2+1), get(i-n/2)
			for k := range sum {
				sum[k] += int(in>>(8*k)&255) - int(out>>(8*k)&255)
			}
		}
	}
	for range 3 {
		for y := range c.h {
			pass(y*c.w, 1, c.w)
		}
		for x := range c.w {
			pass(x, c.w, c.h)
		}
	}
}
