package demo

import "math"

// Shapes are polygons in metres; moved puts them into a picture.

// moved maps points from metres to pixels.
func moved(p place, s []pt) []pt {
	out := make([]pt, len(s))
	for i, q := range s {
		out[i] = p.point(q)
	}
	return out
}

// shifted moves points by d.
func shifted(s []pt, d pt) []pt {
	out := make([]pt, len(s))
	for i, q := range s {
		out[i] = q.add(d)
	}
	return out
}

// oval is an ellipse turned by an angle in radians.
func oval(centre pt, rx, ry, turn float64) []pt {
	const n = 36
	s := make([]pt, n)
	sin, cos := math.Sincos(turn)
	for i := range s {
		b, a := math.Sincos(2 * math.Pi * float64(i) / n)
		s[i] = pt{centre.x + rx*a*cos - ry*b*sin, centre.y + rx*a*sin + ry*b*cos}
	}
	return s
}

// blob is a closed smooth line through the points.
func blob(through ...pt) []pt {
	n := len(through)
	var s []pt
	for i := range n {
		a, b, c, d := through[(i+n-1)%n], through[i], through[(i+1)%n], through[(i+2)%n]
		const steps = 9
		for k := range steps {
			s = append(s, spline(a, b, c, d, float64(k)/steps))
		}
	}
	return s
}

// spline is the Catmull-Rom curve from b to c.
func spline(a, b, c, d pt, t float64) pt {
	f := func(a, b, c, d float64) float64 {
		return b + 0.5*t*(c-a+t*(2*a-5*b+4*c-d+t*(3*(b-c)+d-a)))
	}
	return pt{f(a.x, b.x, c.x, d.x), f(a.y, b.y, c.y, d.y)}
}

// joint is a point of a limb with its half thickness.
type joint struct {
	pt
	r float64
}

// limb is a smooth tube through the joints with round ends.
func limb(joints ...joint) []pt {
	n := len(joints)
	get := func(i int) joint { return joints[max(0, min(n-1, i))] }
	var mid []joint
	for i := 0; i < n-1; i++ {
		a, b, c, d := get(i-1), get(i), get(i+1), get(i+2)
		const steps = 9
		for k := range steps {
			t := float64(k) / steps
			mid = append(mid, joint{spline(a.pt, b.pt, c.pt, d.pt, t), b.r + (c.r-b.r)*t})
		}
	}
	mid = append(mid, joints[n-1])
	m := len(mid)
	var left, right []pt
	var dir pt
	for i := range mid {
		d := mid[min(m-1, i+1)].sub(mid[max(0, i-1)].pt)
		if l := d.len(); l > 1e-9 {
			dir = d.mul(1 / l)
		}
		side := pt{-dir.y, dir.x}.mul(mid[i].r)
		left = append(left, mid[i].add(side))
		right = append(right, mid[i].sub(side))
		if i == 0 || i == m-1 { // the round end
			from, turn := math.Atan2(side.y, side.x), math.Pi
			if i == m-1 {
				turn = -math.Pi
			}
			var cap []pt
			for k := 1; k < 10; k++ {
				sin, cos := math.Sincos(from + turn*float64(k)/10)
				cap = append(cap, mid[i].add(pt{cos, sin}.mul(mid[i].r)))
			}
			if i == 0 {
				for _, q := range cap {
					right = append(right[:len(right)-1], q, right[len(right)-1])
				}
			} else {
				left = append(left, cap...)
			}
		}
	}
	for i := len(right) - 1; i >= 0; i-- {
		left = append(left, right[i])
	}
	return left
}
