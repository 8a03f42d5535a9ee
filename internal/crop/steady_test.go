package crop

import (
	"math"
	"slices"
	"testing"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/optimize/convex/lp"
	"pgregory.net/rapid"
)

// allowed is what a path costs, +Inf when it is too fast or leaves the picture.
func (w wish) allowed(x []float64, bands []band, room float64) float64 {
	for i := range x {
		if x[i] < 0 || x[i] > room || i > 0 && math.Abs(x[i]-x[i-1]) > w.reach+1e-9 {
			return math.Inf(1)
		}
	}
	return w.total(x, bands)
}

// slowest is the twin: it tries every whole pixel at every moment. With whole
// bands and a whole reach a path of least cost stands on whole pixels, because
// the problem is the dual of a flow with whole bounds.
func (w wish) slowest(bands []band, room int) float64 {
	best := make([]float64, room+1)
	for i, b := range bands {
		next := make([]float64, room+1)
		for x := range next {
			next[x] = math.Inf(1)
			for y := range best {
				way := math.Abs(float64(x - y))
				if i == 0 {
					way = 0
				}
				if way <= w.reach {
					next[x] = math.Min(next[x], best[y]+w.travel*way)
				}
			}
			next[x] += w.at(float64(x), b)
		}
		best = next
	}
	least := math.Inf(1)
	for _, v := range best {
		least = math.Min(least, v)
	}
	return least
}

func drawBands(t *rapid.T, room, most int) []band {
	bands := make([]band, rapid.IntRange(1, most).Draw(t, "moments"))
	for i := range bands {
		at := make([]float64, 5)
		for k := range at {
			at[k] = float64(rapid.IntRange(0, room).Draw(t, "at"))
		}
		slices.Sort(at)
		bands[i] = band{at[0], at[1], at[2], at[3], at[4], rapid.IntRange(0, 4).Draw(t, "known") > 0}
	}
	return bands
}

func drawWish(t *rapid.T) wish {
	return wish{
		cut:     rapid.Float64Range(0, 4).Draw(t, "cut"),
		outside: rapid.Float64Range(0.1, 2).Draw(t, "outside"),
		pull:    rapid.Float64Range(0, 0.3).Draw(t, "pull"),
		travel:  rapid.Float64Range(0, 3).Draw(t, "travel"),
		reach:   float64(rapid.IntRange(0, 6).Draw(t, "reach")),
	}
}

func TestSteadyCostsLeast(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		room := rapid.IntRange(0, 20).Draw(t, "room")
		bands, w := drawBands(t, room, 25), drawWish(t)
		x := steady(bands, float64(room), w)
		got, want := w.allowed(x, bands, float64(room)), w.slowest(bands, room)
		// Sums of up to 100 terms of size up to 40 in float64.
		if math.Abs(got-want) > 1e-9 {
			t.Fatalf("cost %v, the twin %v: %v", got, want, x)
		}
	})
}

// TestSteadyStands: a place that is inside every band keeps the path still
// while pulling costs less than half as much as travelling, all moments
// together, which is how Follow sets it.
func TestSteadyStands(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		room := 100
		bands, w := drawBands(t, room, 60), drawWish(t)
		at := float64(rapid.IntRange(0, room).Draw(t, "at"))
		for i, b := range bands {
			bands[i].lo, bands[i].hi = math.Min(b.lo, at), math.Max(b.hi, at)
			bands[i].least, bands[i].most = math.Min(b.least, at), math.Max(b.most, at)
		}
		w.travel += 0.1
		w.pull = w.travel / 2 / float64(len(bands))
		if x := steady(bands, float64(room), w); slices.Min(x) != slices.Max(x) {
			t.Fatalf("moves: %v", x)
		}
	})
}

func TestStandCostsLeast(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		room := 2 * rapid.IntRange(0, 30).Draw(t, "room")
		bands, w := drawBands(t, room, 40), drawWish(t)
		got, want := w.standing(stand(bands, float64(room), w), bands), math.Inf(1)
		for x := 0; x <= room; x += 2 {
			want = math.Min(want, w.standing(float64(x), bands))
		}
		if got > want+1e-9 {
			t.Fatalf("cost %v, the least is %v", got, want)
		}
	})
}

func TestSteadyWithoutMoments(t *testing.T) {
	if x := steady(nil, 10, wish{}); len(x) != 0 {
		t.Errorf("%v", x)
	}
}

// program puts the same question to gonum's simplex, places anywhere: every
// distance is two numbers of at least 0, what it is too much and too little by.
func (w wish) program(bands []band, room float64) (float64, error) {
	type entry struct {
		column int
		value  float64
	}
	var rows [][]entry
	var right, price []float64
	column := func(cost float64) int { price = append(price, cost); return len(price) - 1 }
	equal := func(to float64, row ...entry) { rows, right = append(rows, row), append(right, to) }
	atMost := func(x int, most float64) { equal(most, entry{x, 1}, entry{column(0), 1}) }
	off := func(x int, place, below, above float64) { // x + too little - too much = place
		equal(place, entry{x, 1}, entry{column(below), 1}, entry{column(above), -1})
	}
	last := 0
	for i, b := range bands {
		x := column(0)
		atMost(x, room)
		if b.known {
			off(x, b.least, w.cut, 0)
			off(x, b.lo, w.outside, 0)
			off(x, b.best, w.pull, w.pull)
			off(x, b.hi, 0, w.outside)
			off(x, b.most, 0, w.cut)
		}
		if i > 0 {
			on, back := column(w.travel), column(w.travel)
			atMost(on, w.reach)
			atMost(back, w.reach)
			equal(0, entry{x, 1}, entry{last, -1}, entry{on, -1}, entry{back, 1})
		}
		last = x
	}
	a := mat.NewDense(len(rows), len(price), nil)
	for i, row := range rows {
		for _, e := range row {
			a.Set(i, e.column, e.value)
		}
	}
	least, _, err := lp.Simplex(price, a, right, 1e-10, nil)
	return least, err
}

// TestSteadyIsTheLinearProgram: another library's general method finds the same
// least cost, with places, limits and bands that are no whole numbers.
func TestSteadyIsTheLinearProgram(t *testing.T) {
	r := rand(7)
	solved := 0
	for range 60 {
		room := 5 + 20*r()
		bands := make([]band, 2+int(5*r()))
		for i := range bands {
			at := []float64{room * r(), room * r(), room * r(), room * r(), room * r()}
			slices.Sort(at)
			bands[i] = band{at[0], at[1], at[2], at[3], at[4], r() < 0.8}
		}
		w := wish{outside: 0.1 + r(), cut: 3 * r(), pull: 0.3 * r(), travel: 2 * r(), reach: 6 * r()}
		want, err := w.program(bands, room)
		if err != nil {
			continue // the general method stalls now and then
		}
		solved++
		x := steady(bands, room, w)
		if got := w.allowed(x, bands, room); math.Abs(got-want) > 1e-7 { // its own tolerance, over some dozen terms
			t.Errorf("cost %v, the linear programme %v: %v", got, want, x)
		}
	}
	if solved < 40 {
		t.Errorf("only %d of 60 were solved", solved)
	}
	t.Logf("%d of 60 solved", solved)
}
