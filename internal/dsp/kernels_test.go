package dsp

import (
	"math"
	"testing"
)

// TestLoopsAgainstPlainGo runs each loop on the processor's path and in plain
// Go, on lengths that fill registers and such that do not.
func TestLoopsAgainstPlainGo(t *testing.T) {
	type job struct {
		name string
		run  func(out []float32)
		size int
	}
	var jobs []job
	seed := uint64(100)
	fresh := func(n int) []float32 { seed++; return noise(n, seed) }
	for _, c := range []struct{ m, s int }{{1, 8}, {4, 8}, {3, 24}, {16, 1}, {2, 4}, {1, 64}} {
		n := 4 * c.m * c.s
		xr, xi, w := fresh(n), fresh(n), fresh(6*c.m)
		jobs = append(jobs, job{"radix4", func(out []float32) { radix4(xr, xi, out[:n], out[n:], w, c.m, c.s) }, 2 * n})
		jobs = append(jobs, job{"radix2", func(out []float32) { radix2(xr, xi, out[:n], out[n:], n/2) }, 2 * n})
	}
	for _, rows := range []int{8, 24, 64, 5} {
		n := rows * lanes
		xr, xi, wr, wi := fresh(n), fresh(n), fresh(n), fresh(n)
		jobs = append(jobs, job{"turn", func(out []float32) {
			turn(append([]float32(nil), xr...), append([]float32(nil), xi...), out[:n], out[n:], wr, wi, rows)
		}, 2 * n})
	}
	for _, h := range []int{8, 16, 32, 64} {
		a, b, x, c, s := fresh(h+1), fresh(h+1), fresh(2*h), fresh(h/2+1+lanes), fresh(h/2+1+lanes)
		jobs = append(jobs, job{"split", func(out []float32) { split(out[:h], out[h:], a, b, c, s, h) }, 2 * h})
		jobs = append(jobs, job{"join", func(out []float32) { join(out[:h], out[h:], a, b, c, s, h) }, 2 * h})
		jobs = append(jobs, job{"unzip", func(out []float32) { unzip(out[:h], out[h:], x) }, 2 * h})
		jobs = append(jobs, job{"zip", func(out []float32) { zip(out, x[:h], x[h:], 3, -2) }, 2 * h})
	}
	for _, h := range []int{4, 16, 64} {
		zr, zi, c, s := fresh(h*lanes), fresh(h*lanes), fresh(h/2+1), fresh(h/2+1)
		jobs = append(jobs, job{"power", func(out []float32) { power(out, zr, zi, c, s, h) }, h * lanes})
	}
	for _, n := range []int{8, 16, 64, 12} {
		x, window := fresh(n+100), fresh(n)
		at := [lanes]int{3, 0, 100, 99, 17, 17, 50, 1}
		jobs = append(jobs, job{"gather", func(out []float32) { gather(out[:n/2*lanes], out[n/2*lanes:], x, window, &at) }, n * lanes})
	}
	for _, n := range []int{0, 1, 7, 30} {
		rows, w := fresh(n*lanes), fresh(n)
		jobs = append(jobs, job{"weigh", func(out []float32) { weigh((*[lanes]float32)(out), rows, w) }, lanes})
	}
	for _, n := range []int{1, 7, 8, 31, 32, 33, 61, 96} {
		a, b := fresh(n), fresh(n)
		jobs = append(jobs, job{"dot", func(out []float32) { out[0] = dot(a, b) }, 1})
		for _, c := range []struct{ count, step int }{{1, 1}, {2, 1}, {19, 1}, {5, n}, {3, 100}, {0, 1}} {
			x, w, start := fresh(c.count*c.step+n), fresh(c.count), fresh(n)
			jobs = append(jobs, job{"combine", func(out []float32) { copy(out, start); combine(out, x, w, c.step) }, n})
		}
	}
	for _, n := range []int{1, 8, 12, 24, 61} {
		x := fresh(n + peers - 1)
		jobs = append(jobs, job{"abovePeers", func(out []float32) { abovePeers(out, x) }, n})
	}
	for _, n := range []int{1, 8, 61, 130} {
		a, b, start := fresh(6*n), fresh(4*n+30), fresh(n)
		jobs = append(jobs, job{"pairUp", func(out []float32) { copy(out, start); pairUp(out, a, b, 4, n+n/2, n) }, n})
		jobs = append(jobs, job{"addUp", func(out []float32) { copy(out, start); addUp(out, b, []int{2 * n, 0, 30, 5}) }, n})
	}
	for _, n := range []int{1, 8, 61, 122} {
		x, before, after := fresh(n), fresh(n), fresh(n)
		jobs = append(jobs, job{"takeFloor", func(out []float32) { copy(out, x); takeFloor(out, before, after, 0.3) }, n})
		jobs = append(jobs, job{"rise", func(out []float32) { rise(out, before, after) }, n})
		jobs = append(jobs, job{"logOnePlus", func(out []float32) {
			for i, v := range x {
				out[i] = v * v
			}
			logOnePlus(out, 40)
		}, n})
	}
	for _, j := range jobs {
		got, want := make([]float32, j.size), make([]float32, j.size)
		j.run(got)
		plainly(func() { j.run(want) })
		for i := range want {
			// Some hundred products of numbers around 1 are summed at most.
			if d := math.Abs(float64(got[i] - want[i])); d > 1e-5*(1+math.Abs(float64(want[i]))) {
				t.Fatalf("%s of %d: value %d is %g, in plain Go %g", j.name, j.size, i, got[i], want[i])
			}
		}
	}
}
