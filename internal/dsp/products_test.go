package dsp

import (
	"math"
	"testing"
)

func TestProductsAgainstTheSum(t *testing.T) { onBothPaths(t, testProductsAgainstTheSum) }

func testProductsAgainstTheSum(t *testing.T) {
	for _, dim := range []int{1, 12, 24, 61} {
		a, b := &Series{10, 0, dim, noise(5*dim, 1)}, &Series{10, 7, dim, noise(90*dim, 2)}
		sum := func(i, j int) float64 {
			var want float64
			for d, v := range a.Row(i) {
				want += float64(v) * float64(b.Row(j)[d])
			}
			return want
		}
		// Up to 61 products of numbers around 1.
		differ := func(got float32, want float64) bool { return math.Abs(float64(got)-want) > 1e-4 }
		columns := b.Columns()
		for i := range a.Rows() {
			got := make([]float32, 90)
			columns.Products(got, a.Row(i))
			for j, v := range got {
				if want := sum(i, j); differ(v, want) || differ(Dot(a.Row(i), b.Row(j)), want) {
					t.Fatalf("dim %d rows %d and %d: %g, alone %g, want %g", dim, i, j, v, Dot(a.Row(i), b.Row(j)), want)
				}
			}
		}
		for _, c := range []struct{ rows, lags int }{{5, 1}, {5, 86}, {64, 27}, {80, 11}} {
			part := &Series{10, 0, dim, noise(c.rows*dim, 3)}
			got := LagProducts(part, b, c.lags)
			for i := range c.rows {
				for l := range c.lags {
					var want float64
					for d, v := range part.Row(i) {
						want += float64(v) * float64(b.Row(i + l)[d])
					}
					if v := got[l*c.rows+i]; differ(v, want) {
						t.Fatalf("dim %d lag %d row %d: %g want %g", dim, l, i, v, want)
					}
				}
			}
		}
	}
}

func TestSumAt(t *testing.T) {
	onBothPaths(t, func(t *testing.T) {
		x := make([]float32, 300)
		for i := range x {
			x[i] = float32(i)
		}
		for _, n := range []int{1, 8, 77, 150} {
			got := make([]float32, n)
			SumAt(got, x, []int{0, 150, 7})
			for k, v := range got {
				if v != float32(157+3*k) {
					t.Fatalf("%d values: number %d is %g, want %d", n, k, v, 157+3*k)
				}
			}
		}
	})
}
