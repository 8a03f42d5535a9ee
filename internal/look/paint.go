package look

import (
	"math"
	"sync"
)

// Painter applies a baked look to whole frames, in whole numbers.
//
// The three channels of a table's colour lie side by side in one word, so that
// one multiplication weighs all three. Values are kept over low..high, which may
// reach beyond 0..1, and clamped to 0..1 at the end, as the table wants it.
type Painter struct {
	size      int
	low, high float64

	axes8  [3][256]place8 // where a code stands on each axis
	cells8 []uint64       // three lanes of 21 bits: 13 of value, room for 8 of weight
	out8   [1 << bits8]uint8

	cells16 []cell16
}

// place8 is a step into the table and a fraction of 256.
type place8 struct{ at, on uint32 }

// cell16 holds lanes of 32 bits: 16 of value, room for 16 of weight.
type cell16 struct{ rg, b uint64 }

const (
	bits8      = 13
	lane8      = 21
	beyondLow  = -0.5 // values further out cannot matter between neighbours that show
	beyondHigh = 1.5
)

// Painter returns a painter of the table.
func (b Baked) Painter() *Painter {
	p := &Painter{size: b.Table.Size, low: 0, high: 1}
	for _, v := range b.Table.Values {
		for _, x := range v {
			p.low = math.Min(p.low, math.Max(beyondLow, float64(x)))
			p.high = math.Max(p.high, math.Min(beyondHigh, float64(x)))
		}
	}
	p.cells8 = make([]uint64, len(b.Table.Values))
	p.cells16 = make([]cell16, len(b.Table.Values))
	for i, v := range b.Table.Values {
		var w8, w16 [3]uint64
		for c, x := range v {
			share := clamp01((float64(x) - p.low) / (p.high - p.low))
			w8[c] = uint64(math.Round(share * (1<<bits8 - 1)))
			w16[c] = uint64(math.Round(share * math.MaxUint16))
		}
		p.cells8[i] = w8[0] | w8[1]<<lane8 | w8[2]<<(2*lane8)
		p.cells16[i] = cell16{w16[0] | w16[1]<<32, w16[2]}
	}
	for c, stride := 0, 1; c < 3; c, stride = c+1, stride*p.size {
		for code := range 256 {
			k, on := place(float64(code)/255, 0, 1, p.size)
			p.axes8[c][code] = place8{uint32(k * stride), uint32(math.Round(on * 256))}
		}
	}
	for i := range p.out8 {
		v := p.low + (p.high-p.low)*float64(i)/(1<<bits8-1)
		p.out8[i] = uint8(math.Round(255 * clamp01(v)))
	}
	return p
}

// Paint8 takes frames of interleaved 8-bit R, G, B from src to dst, which may be
// the same, with the given number of goroutines, which end before it returns.
func (p *Painter) Paint8(dst, src []byte, workers int) {
	spread(len(src)/3, workers, func(from, to int) { p.paint8(dst[3*from:3*to], src[3*from:3*to]) })
}

// Paint16 does the same with 16 bits, 65535 for 1.
func (p *Painter) Paint16(dst, src []uint16, workers int) {
	spread(len(src)/3, workers, func(from, to int) { p.paint16(dst[3*from:3*to], src[3*from:3*to]) })
}

// spread splits 0..n among goroutines, which have ended when it returns.
func spread(n, workers int, f func(from, to int)) {
	if workers <= 1 {
		f(0, n)
		return
	}
	var all sync.WaitGroup
	for w := range workers {
		all.Go(func() { f(n*w/workers, n*(w+1)/workers) })
	}
	all.Wait()
}

// walk orders the fractions along the axes: the steps into the table along the
// largest and along the least, and the fractions from the largest down. Where two
// are equal any order will do.
func walk(r, g, b, gStep, bStep uint32) (first, last, f1, f2, f3 uint32) {
	first, f1, last, f3 = 1, r, 1, r
	if g > f1 {
		first, f1 = gStep, g
	}
	if g < f3 {
		last, f3 = gStep, g
	}
	if b > f1 {
		first, f1 = bStep, b
	}
	if b < f3 {
		last, f3 = bStep, b
	}
	return first, last, f1, r + g + b - f1 - f3, f3
}

func (p *Painter) paint8(dst, src []byte) {
	g1, b1 := uint32(p.size), uint32(p.size*p.size)
	all := 1 + g1 + b1
	cells := p.cells8
	const mask = 1<<bits8 - 1
	for len(src) >= 3 && len(dst) >= 3 {
		r, g, b := p.axes8[0][src[0]], p.axes8[1][src[1]], p.axes8[2][src[2]]
		at := r.at + g.at + b.at
		first, last, f1, f2, f3 := walk(r.on, g.on, b.on, g1, b1)
		sum := cells[at]*uint64(256-f1) + cells[at+first]*uint64(f1-f2) +
			cells[at+all-last]*uint64(f2-f3) + cells[at+all]*uint64(f3)
		dst[0] = p.out8[sum>>8&mask]
		dst[1] = p.out8[sum>>(8+lane8)&mask]
		dst[2] = p.out8[sum>>(8+2*lane8)&mask]
		src, dst = src[3:], dst[3:]
	}
}

func (p *Painter) paint16(dst, src []uint16) {
	g1, b1 := uint32(p.size), uint32(p.size*p.size)
	all := 1 + g1 + b1
	cells := p.cells16
	gain := int64(math.Round((p.high - p.low) * (1 << 16)))
	add := int64(math.Round(p.low * math.MaxUint16 * (1 << 16)))
	most := uint32(p.size - 1)
	for len(src) >= 3 && len(dst) >= 3 {
		ri, rf := place16(src[0], most)
		gi, gf := place16(src[1], most)
		bi, bf := place16(src[2], most)
		at := ri + gi*g1 + bi*b1
		first, last, f1, f2, f3 := walk(rf, gf, bf, g1, b1)
		c0, c1, c2, c3 := &cells[at], &cells[at+first], &cells[at+all-last], &cells[at+all]
		w0, w1, w2, w3 := uint64(65536-f1), uint64(f1-f2), uint64(f2-f3), uint64(f3)
		rg := c0.rg*w0 + c1.rg*w1 + c2.rg*w2 + c3.rg*w3
		b := c0.b*w0 + c1.b*w1 + c2.b*w2 + c3.b*w3
		dst[0] = out16(rg>>16&0xffff, gain, add)
		dst[1] = out16(rg>>48, gain, add)
		dst[2] = out16(b>>16, gain, add)
		src, dst = src[3:], dst[3:]
	}
}

// place16 returns between which points a code stands, and how far on of 65536.
func place16(code uint16, last uint32) (at, on uint32) {
	x := uint32(code) * last
	at = x / math.MaxUint16
	if at == last {
		return last - 1, 65536
	}
	on = x - at*math.MaxUint16
	return at, on + on>>15
}

func out16(v uint64, gain, add int64) uint16 {
	x := (int64(v)*gain + add + 1<<15) >> 16
	return uint16(max(0, min(math.MaxUint16, x)))
}
