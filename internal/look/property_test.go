package look

import (
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"takeweave/internal/film"
)

// TestCurveProperties: through every knot, and between two knots never outside
// their values, whatever the knots.
func TestCurveProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(2, 10).Draw(t, "knots")
		knots, x := make([]Knot, n), 0.0
		for i := range knots {
			x += rapid.Float64Range(1e-3, 2).Draw(t, "step")
			knots[i] = Knot{x, rapid.Float64Range(-3, 3).Draw(t, "out")}
		}
		c, err := NewCurve(knots)
		if err != nil {
			t.Fatal(err)
		}
		for i := range n - 1 {
			a, b := knots[i], knots[i+1]
			low, high := math.Min(a.Out, b.Out), math.Max(a.Out, b.Out)
			if !near(c.At(a.In), a.Out, 1e-12) {
				t.Fatalf("it misses %v", a)
			}
			last := a.Out
			for k := range 21 {
				v := c.At(a.In + (b.In-a.In)*float64(k)/20)
				if v < low-1e-9 || v > high+1e-9 || (v-last)*(b.Out-a.Out) < -1e-9 {
					t.Fatalf("between %v and %v it goes from %g to %g", a, b, last, v)
				}
				last = v
			}
		}
	})
}

// bySixCases is the tetrahedral interpolation as [CLF3] writes it, one matrix
// product for each order of the fractions, equals included.
func bySixCases(t film.Table3D, c RGB) RGB {
	k := cellOf(t, c)
	v := func(r, g, b int) RGB {
		x := t.Values[k.base+r*k.r+g*k.g+b*k.b]
		return RGB{float64(x[0]), float64(x[1]), float64(x[2])}
	}
	r, g, b := k.fr, k.fg, k.fb
	v000, v111 := v(0, 0, 0), v(1, 1, 1)
	var out RGB
	for i := range out {
		d := func(to, from RGB) float64 { return to[i] - from[i] }
		out[i] = v000[i]
		switch {
		case b >= r && r >= g:
			out[i] += b*d(v(0, 0, 1), v000) + r*d(v(1, 0, 1), v(0, 0, 1)) + g*d(v111, v(1, 0, 1))
		case b >= g && g >= r:
			out[i] += b*d(v(0, 0, 1), v000) + g*d(v(0, 1, 1), v(0, 0, 1)) + r*d(v111, v(0, 1, 1))
		case g >= b && b >= r:
			out[i] += g*d(v(0, 1, 0), v000) + b*d(v(0, 1, 1), v(0, 1, 0)) + r*d(v111, v(0, 1, 1))
		case r >= b && b >= g:
			out[i] += r*d(v(1, 0, 0), v000) + b*d(v(1, 0, 1), v(1, 0, 0)) + g*d(v111, v(1, 0, 1))
		case r >= g && g >= b:
			out[i] += r*d(v(1, 0, 0), v000) + g*d(v(1, 1, 0), v(1, 0, 0)) + b*d(v111, v(1, 1, 0))
		default:
			out[i] += g*d(v(0, 1, 0), v000) + r*d(v(1, 1, 0), v(0, 1, 0)) + b*d(v111, v(1, 1, 0))
		}
	}
	return out
}

func TestInterpolationProperties(t *testing.T) {
	unit := rapid.Float64Range(-0.2, 1.2)
	rapid.Check(t, func(t *rapid.T) {
		size := rapid.IntRange(2, 5).Draw(t, "size")
		chance := Colours(size*size*size, rapid.Uint64().Draw(t, "seed"))
		table := tableOf(size, func(RGB) RGB { return RGB{} })
		for i, c := range chance {
			table.Values[i] = [3]float32{float32(c[0]), float32(c[1]), float32(c[2])}
		}
		c := RGB{unit.Draw(t, "r"), unit.Draw(t, "g"), unit.Draw(t, "b")}
		if rapid.Bool().Draw(t, "tie") {
			c[1] = c[rapid.SampledFrom([]int{0, 2}).Draw(t, "with")]
		}
		if got, want := tetrahedral(table, c), bySixCases(table, c); !nearRGB(got, want, 1e-12) {
			t.Fatalf("%v: %v, by six cases %v", c, got, want)
		}
		// Both keep within the corners of the cell.
		k := cellOf(table, c)
		for _, got := range []RGB{tetrahedral(table, c), trilinear(table, c)} {
			for i, v := range got {
				var all []float64
				for corner := range 8 {
					all = append(all, float64(table.Values[k.base+corner&1*k.r+corner>>1&1*k.g+corner>>2*k.b][i]))
				}
				if v < slices.Min(all)-1e-12 || v > slices.Max(all)+1e-12 {
					t.Fatalf("%v leaves its cell: %v", c, got)
				}
			}
		}
	})
}

// TestHalfTable: a table over all halfs gives a function back at every half, and
// stays between its neighbours elsewhere.
func TestHalfTable(t *testing.T) {
	f := func(x float64) float64 { return 0.5*x + 0.25 }
	table := film.Table1D{HalfDomain: true, Values: make([][3]float32, 65536)}
	for bits := range table.Values {
		if x := film.HalfValue(uint16(bits)); !math.IsNaN(x) && !math.IsInf(x, 0) {
			v := float32(f(x))
			table.Values[bits] = [3]float32{v, v, v}
		}
	}
	for _, x := range []float64{0, 1, -1, 0.18, -0.18, 65504, -65504, 1e9, 6e-8, 3.14159, 0.333333, -2e-5} {
		want := f(math.Max(-65504, math.Min(65504, x)))
		if got := table1D(table, RGB{x, x, x})[1]; !near(got, want, 2e-7*math.Max(1, math.Abs(want))) { // single precision
			t.Errorf("at %g: %g, want %g", x, got, want)
		}
	}
}
