package picture

import "math"

// movement is how the camera moves around one picture.
type movement struct {
	move  float64 // shares of the longer side a second: the meant part
	shake float64 // shares of the longer side, root mean square: the rest
	known bool
}

// Times of a movement, in seconds. A parabola through 2.2 s follows what is
// slower than about 0.7 Hz and leaves what is faster.
//
// Source: the local parabola, [SavitzkyGolay1964]; 0.7 Hz is common practice for
// the border between leading a camera and shaking it.
const (
	fitSeconds  = 2.2
	rootSeconds = 1.0 // over which the shake is averaged
)

// movements splits the camera's way into the meant part and the shake. Element i
// belongs to picture i; shift i leads from picture i to i+1.
func movements(shifts []shift, perSecond float64) []movement {
	out := make([]movement, len(shifts)+1)
	for from := 0; from < len(shifts); {
		to := from
		for to < len(shifts) && shifts[to].known {
			to++
		}
		if to > from {
			oneMovement(out[from:to+1], shifts[from:to], perSecond)
		}
		from = to + 1
	}
	return out
}

// oneMovement fills in a stretch in which every shift is known.
func oneMovement(out []movement, shifts []shift, perSecond float64) {
	half := max(2, int(math.Round(fitSeconds/2*perSecond)))
	if len(out) < 2*half+1 {
		return // too short to tell one from the other
	}
	x, y := make([]float64, len(out)), make([]float64, len(out))
	for i, s := range shifts {
		x[i+1], y[i+1] = x[i]+s.x, y[i]+s.y
	}
	left := make([]float64, len(out)) // square of the distance from the fit
	for i := range out {
		middle := min(max(i, half), len(out)-1-half)
		around := func(v []float64) parabola { return fit(v[middle-half : middle+half+1]) }
		px, py, at := around(x), around(y), float64(i-middle)
		left[i] = square(x[i]-px.at(at)) + square(y[i]-py.at(at))
		out[i].move = math.Hypot(px.slope(at), py.slope(at)) * perSecond
		out[i].known = true
	}
	reach := int(math.Round(rootSeconds / 2 * perSecond))
	for i := range out {
		from, to := max(0, i-reach), min(len(left), i+reach+1)
		sum := 0.0
		for _, v := range left[from:to] {
			sum += v
		}
		out[i].shake = math.Sqrt(sum / float64(to-from))
	}
}

// parabola is a + b·t + c·t².
type parabola struct{ a, b, c float64 }

func (p parabola) at(t float64) float64    { return p.a + t*(p.b+t*p.c) }
func (p parabola) slope(t float64) float64 { return p.b + 2*t*p.c }

// fit returns the parabola of least squares through an odd number of values, at
// least 3, whose middle one is at 0.
func fit(v []float64) parabola {
	half := len(v) / 2
	var n, t2, t4, s0, s1, s2 float64
	for i, y := range v {
		t := float64(i - half)
		n, t2, t4 = n+1, t2+t*t, t4+t*t*t*t
		s0, s1, s2 = s0+y, s1+t*y, s2+t*t*y
	}
	c := (n*s2 - t2*s0) / (n*t4 - t2*t2)
	return parabola{(s0 - c*t2) / n, s1 / t2, c}
}

func square(v float64) float64 { return v * v }
