package look

import (
	"math"

	"takeweave/internal/film"
)

// place returns between which points of n a value stands, and how far on, 0..1.
func place(v, low, high float64, n int) (below int, on float64) {
	at := clamp01((v-low)/(high-low)) * float64(n-1)
	below = min(int(at), n-2)
	return below, at - float64(below)
}

func table1D(t film.Table1D, c RGB) RGB {
	for i, v := range c {
		if t.HalfDomain {
			c[i] = halfTable(t, i, v)
			continue
		}
		k, on := place(v, t.Min[i], t.Max[i], len(t.Values))
		a, b := float64(t.Values[k][i]), float64(t.Values[k+1][i])
		c[i] = a + on*(b-a)
	}
	return c
}

// halfTable looks a value up in a table over all half-precision floats.
func halfTable(t film.Table1D, channel int, v float64) float64 {
	const most = 65504 // the largest half that is finite
	at := func(bits uint16) float64 { return float64(t.Values[bits][channel]) }
	v = math.Max(-most, math.Min(most, v))
	if v != v {
		v = 0
	}
	size := math.Abs(v)
	var sign uint16
	if v < 0 {
		sign = 0x8000
	}
	low := halfBelow(size)
	from := film.HalfValue(low)
	if from == size {
		return at(sign | low)
	}
	to := film.HalfValue(low + 1)
	a, b := at(sign|low), at(sign|(low+1))
	return a + (b-a)*(size-from)/(to-from)
}

// halfBelow returns the bits of the largest half not above v, which is within
// 0..65504.
func halfBelow(v float64) uint16 {
	lo, hi := uint16(0), uint16(0x7bff)
	for lo < hi { // halves grow with their bits
		mid := lo + (hi-lo+1)/2
		if film.HalfValue(mid) <= v {
			lo = mid
		} else {
			hi = mid - 1
		}
	}
	return lo
}

// corner gives access to the eight corners of the cell that a colour stands in.
type corner struct {
	values     [][3]float32
	base       int
	r, g, b    int // steps to the next point in each direction
	fr, fg, fb float64
}

func cellOf(t film.Table3D, c RGB) corner {
	k := corner{values: t.Values, r: 1, g: t.Size, b: t.Size * t.Size}
	var at [3]int
	at[0], k.fr = place(c[0], t.Min[0], t.Max[0], t.Size)
	at[1], k.fg = place(c[1], t.Min[1], t.Max[1], t.Size)
	at[2], k.fb = place(c[2], t.Min[2], t.Max[2], t.Size)
	k.base = at[0]*k.r + at[1]*k.g + at[2]*k.b
	return k
}

// add adds the colour of a corner, weighed, to the sum.
func (k *corner) add(sum *RGB, offset int, weight float64) {
	v := k.values[k.base+offset]
	sum[0] += weight * float64(v[0])
	sum[1] += weight * float64(v[1])
	sum[2] += weight * float64(v[2])
}

// trilinear goes along the three axes in turn. Source: [CLF3], appendix A, the
// matrix form (two of its printed sums are wrong).
func trilinear(t film.Table3D, c RGB) RGB {
	k := cellOf(t, c)
	var sum RGB
	k.add(&sum, 0, (1-k.fr)*(1-k.fg)*(1-k.fb))
	k.add(&sum, k.r, k.fr*(1-k.fg)*(1-k.fb))
	k.add(&sum, k.g, (1-k.fr)*k.fg*(1-k.fb))
	k.add(&sum, k.b, (1-k.fr)*(1-k.fg)*k.fb)
	k.add(&sum, k.r+k.g, k.fr*k.fg*(1-k.fb))
	k.add(&sum, k.r+k.b, k.fr*(1-k.fg)*k.fb)
	k.add(&sum, k.g+k.b, (1-k.fr)*k.fg*k.fb)
	k.add(&sum, k.r+k.g+k.b, k.fr*k.fg*k.fb)
	return sum
}

// tetrahedral cuts the cell into six tetrahedra along its grey diagonal: from the
// dark corner it walks along the largest fraction first, then the middle one,
// then the least. Where two are equal both ways agree. Source: [CLF3], appendix
// A, whose cases read with "greater" alone send equals the wrong way.
func tetrahedral(t film.Table3D, c RGB) RGB {
	k := cellOf(t, c)
	first, second, third := k.fr, k.fg, k.fb
	along, then := k.r, k.g
	last := k.b
	if second > first {
		first, second, along, then = second, first, then, along
	}
	if third > second {
		second, third, then, last = third, second, last, then
		if second > first {
			first, second, along, then = second, first, then, along
		}
	}
	var sum RGB
	k.add(&sum, 0, 1-first)
	k.add(&sum, along, first-second)
	k.add(&sum, along+then, second-third)
	k.add(&sum, along+then+last, third)
	return sum
}
