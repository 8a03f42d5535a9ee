package cut

import (
	"context"
	"errors"
	"fmt"
	"testing"

	"pgregory.net/rapid"

	"takeweave/internal/film"
)

// verdict is the whole order of rules, the kinds of moment first.
type verdict struct {
	kinds int
	cost
}

func (a verdict) better(b verdict) bool {
	return a.kinds < b.kinds || a.kinds == b.kinds && a.cost.less(b.cost)
}

// priced is a shot with its price, for the slow twin.
type priced struct {
	step
	verdict
}

// everyShot lists each shot that any source can give, however bad, by the point
// at which it begins.
func everyShot(b *board) [][]priced {
	shots := make([][]priced, len(b.points))
	for i := range b.slots {
		shots[i] = append(shots[i], priced{step{hole, i, i + 1}, verdict{kinds: int(nothing)}})
		for p := range b.sources {
			var r run
			kinds := 0
			for j := i + 1; j < len(b.points); j++ {
				v := b.views[p][j-1]
				if v.kind == nothing || j > i+1 && b.seconds(i, j) > mayStretch*b.options.MaxShot {
					break
				}
				kinds += int(v.kind)
				r = r.with(v, b.slots[j-1])
				if c, ok := b.shotCost(p, i, j, r); ok {
					shots[i] = append(shots[i], priced{step{p, i, j}, verdict{kinds, c}})
				}
			}
		}
	}
	return shots
}

// tryAll is the slow, obvious twin of search: every sequence of shots.
func tryAll(b *board, count *int) verdict {
	shots := everyShot(b)
	var best verdict
	found := false
	var try func(i int, last, before int, started int, sum verdict)
	try = func(i int, last, before int, started int, sum verdict) {
		if i == len(b.slots) {
			*count++
			if !found || sum.better(best) {
				best, found = sum, true
			}
			return
		}
		for _, s := range shots[i] {
			next := sum
			next.kinds += s.kinds
			next.cost = next.cost.plus(s.cost)
			if started > 0 && !(last == hole && s.p == hole) {
				next.wishes += wish(weights.cut[b.points[i].place]) + b.pairCost(last, s.p)
			}
			if started > 1 {
				next.wishes += b.returnCost(before, s.p)
			}
			try(s.j, s.p, last, started+1, next)
		}
	}
	try(0, hole, hole, 0, verdict{})
	return best
}

func TestSearchAgainstEverySequence(t *testing.T) {
	for candidates, beats := range map[int]int{1: 10, 2: 8, 3: 7, 4: 6} {
		t.Run(fmt.Sprintf("%d candidates", candidates), func(t *testing.T) {
			instances, sequences := 0, 0
			rapid.Check(t, func(t *rapid.T) {
				r := drawRequest(t, rapid.IntRange(3, beats).Draw(t, "beats"), candidates)
				b := newBoard(r, r.Options.withDefaults())
				if len(b.slots) > beats+3 { // enumeration explodes
					t.Skip()
				}
				steps, got, err := b.search(context.Background())
				if err != nil {
					t.Fatal(err)
				}
				want := tryAll(b, &sequences)
				if own := priceOf(b, steps); own != want || own.cost != got {
					t.Fatalf("found %v for %+v (which costs %+v), every sequence says %+v", steps, got, own, want)
				}
				instances++
			})
			t.Logf("%d instances, %d sequences", instances, sequences)
		})
	}
}

// priceOf prices given steps afresh.
func priceOf(b *board, steps []step) verdict {
	var sum verdict
	shots := everyShot(b)
	for n, s := range steps {
		for _, p := range shots[s.i] {
			if p.step == s {
				sum.kinds += p.kinds
				sum.cost = sum.cost.plus(p.cost)
			}
		}
		if n > 0 && (s.p != hole || steps[n-1].p != hole) {
			sum.wishes += wish(weights.cut[b.points[s.i].place]) + b.pairCost(steps[n-1].p, s.p)
		}
		if n > 1 {
			sum.wishes += b.returnCost(steps[n-2].p, s.p)
		}
	}
	return sum
}

func TestSolveRefusesNonsense(t *testing.T) {
	song := steadySong(16, 0.5)
	good := func() Request {
		return Request{Song: song, Rate: film.Rate{Num: 25, Den: 1}, Candidates: []Candidate{steadyPass(1, "a.mp4", wide, song, 3)}}
	}
	for _, c := range []struct {
		name string
		with func(*Request)
		want film.Code
	}{
		{"no candidates", func(r *Request) { r.Candidates = nil }, film.CodeNoCoverage},
		{"no picture", func(r *Request) { r.Candidates[0].Clip.PictureEnd = 0 }, film.CodeNoCoverage},
		{"no rate", func(r *Request) { r.Rate = film.Rate{} }, film.CodeUsage},
		{"no record", func(r *Request) { r.Song = &film.Song{} }, film.CodeNeedsStep},
		{"lengths that do not rise", func(r *Request) { r.Options.MinShot = 5 }, film.CodeUsage},
		{"a wild speed", func(r *Request) { r.Options.MaxSpeed = 2 }, film.CodeUsage},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := good()
			c.with(&r)
			_, err := Solve(t.Context(), r)
			if film.CodeOf(err) != c.want || film.HintOf(err) == "" {
				t.Errorf("got %v (code %q, hint %q), want code %q and a hint", err, film.CodeOf(err), film.HintOf(err), c.want)
			}
		})
	}
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	if _, err := Solve(ctx, good()); !errors.Is(err, context.Canceled) {
		t.Errorf("cancelled: got %v", err)
	}
}
