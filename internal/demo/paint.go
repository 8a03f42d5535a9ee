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

// paint gives the colour at a pixel.
type paint func(x, y float64) colour

func flat(c colour) paint { return func(x, y float64) colour { return c } }

// across blends from c at a to d at b, both in pixels.
func across(a, b pt, c, d colour) paint {
	v := b.sub(a)
	n := v.x*v.x + v.y*v.y + 1e-9
	return func(x, y float64) colour {
		return c.mix(d, smooth(((x-a.x)*v.x+(y-a.y)*v.y)/n))
	}
}

// around blends from c at the centre to d at the radius, both in pixels.
func around(centre pt, radius float64, c, d colour) paint {
	return func(x, y float64) colour {
		return c.mix(d, smooth(math.Hypot(x-centre.x, y-centre.y)/radius))
	}
}

// canvas is a picture of premultiplied pixels, 0xAABBGGRR, row-major.
type canvas struct {
	w, h   int
	pix    []uint32
	brush  vector.Rasterizer
	mask   *image.Alpha
	rowMin []int // first and last drawn column per row, found by seal
	rowMax []int
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
		row := c.pix[(top+y)*c.w+left:]
		for x, m := range mask.Pix[y*w : y*w+w] {
			if m != 0 {
				col := p(float64(left+x)+0.5, float64(top+y)+0.5)
				row[x] = blend(row[x], col, col.a*float64(m)/255, left+x, top+y)
			}
		}
	}
}

// glow adds light (no opacity) within a radius, in pixels: the full colour out
// to core, then falling to nothing at the radius.
func (c *canvas) glow(centre pt, core, radius float64, light colour) {
	for y := max(0, int(centre.y-radius)); y <= min(c.h-1, int(centre.y+radius)); y++ {
		for x := max(0, int(centre.x-radius)); x <= min(c.w-1, int(centre.x+radius)); x++ {
			d := math.Hypot(float64(x)+0.5-centre.x, float64(y)+0.5-centre.y)
			if d >= radius {
				continue
			}
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

// seal notes where each row has anything drawn, so that lay can skip the rest.
func (c *canvas) seal() {
	c.rowMin, c.rowMax = make([]int, c.h), make([]int, c.h)
	for y := range c.h {
		c.rowMin[y], c.rowMax[y] = c.w, -1
		for x, p := range c.pix[y*c.w : y*c.w+c.w] {
			if p>>24 != 0 {
				c.rowMin[y] = min(c.rowMin[y], x)
				c.rowMax[y] = x
			}
		}
	}
}

// lay draws the layer over c with its corner at (x, y) pixels, which need not
// be whole. The layer must be sealed.
func (c *canvas) lay(layer *canvas, x, y float64) {
	ix, iy := int(math.Floor(x)), int(math.Floor(y))
	fx, fy := uint32((x-float64(ix))*256), uint32((y-float64(iy))*256)
	const odd = 0x00ff00ff
	at := func(lx, ly int) uint32 {
		if lx < 0 || ly < 0 || lx >= layer.w || ly >= layer.h {
			return 0
		}
		return layer.pix[ly*layer.w+lx]
	}
	for cy := max(0, iy); cy < min(c.h, iy+layer.h+1); cy++ {
		// Layer rows ly-1 and ly, weighted fy and 256-fy, make this row.
		ly := cy - iy
		from, to := layer.w, -1
		for _, r := range []int{ly - 1, ly} {
			if r >= 0 && r < layer.h {
				from, to = min(from, layer.rowMin[r]), max(to, layer.rowMax[r])
			}
		}
		if to < from {
			continue
		}
		first, last := max(0, ix+from), min(c.w-1, ix+to+1)
		if first > last {
			continue
		}
		inside := ly >= 1 && ly < layer.h && first-ix >= 1 && last-ix < layer.w
		var above, here []uint32
		if inside {
			above, here = layer.pix[(ly-1)*layer.w:ly*layer.w], layer.pix[ly*layer.w:(ly+1)*layer.w]
		}
		column := func(lx int) (rb, ga uint32) {
			var a, b uint32
			if inside {
				a, b = above[lx], here[lx]
			} else {
				a, b = at(lx, ly-1), at(lx, ly)
			}
			rb = ((a&odd)*fy + (b&odd)*(256-fy) + 0x00800080) >> 8 & odd
			ga = ((a>>8&odd)*fy + (b>>8&odd)*(256-fy) + 0x00800080) >> 8 & odd
			return rb, ga
		}
		row := c.pix[cy*c.w : cy*c.w+c.w]
		prevRB, prevGA := column(first - ix - 1)
		for cx := first; cx <= last; cx++ {
			rb, ga := column(cx - ix)
			prb := (prevRB*fx + rb*(256-fx) + 0x00800080) >> 8 & odd
			pga := (prevGA*fx + ga*(256-fx) + 0x00800080) >> 8 & odd
			prevRB, prevGA = rb, ga
			alpha := pga >> 16
			switch alpha {
			case 255:
				row[cx] = prb | pga<<8
			case 0:
			default:
				k := 256 - (alpha + alpha>>7)
				under := row[cx]
				urb := (under & odd) * k >> 8 & odd
				uga := (under >> 8 & odd) * k >> 8 & odd
				row[cx] = (prb + urb) | (pga+uga)<<8
			}
		}
	}
}

// soften blurs the canvas as an unsharp lens does: three passes of a running
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
