package cut

import (
	"context"

	"takeweave/internal/film"
)

// Solve returns the best cut of the request, under the order of rules in the
// package comment. The shots cover frames [0, FramesToHold(duration)) exactly
// once, in order.
//
// It returns a *film.Error when the request makes no sense or when no candidate
// has any picture of the song (film.CodeNoCoverage), and the context's error
// when it is cancelled. With N slots, P candidates and shots of at most L slots
// it takes O(N·P·C·(P+L)) time, C being the number of different passes.
func Solve(ctx context.Context, r Request) (film.Cut, error) {
	o := r.Options.withDefaults()
	if err := r.check(o); err != nil {
		return film.Cut{}, err
	}
	b := newBoard(r, o)
	if len(b.slots) > maxSlots {
		return film.Cut{}, &film.Error{Code: film.CodeUsage, Msg: "the record has too many beats for one film", Hint: "cut a shorter record"}
	}
	if b.empty() {
		return film.Cut{}, errNoCoverage
	}
	steps, _, err := b.search(ctx)
	if err != nil {
		return film.Cut{}, err
	}
	return film.Cut{
		Rate: r.Rate, Shape: r.Shape, Frames: b.points[len(b.points)-1].frame,
		Shots: b.shots(steps),
	}, nil
}

// empty reports whether no slot has a picture.
func (b *board) empty() bool {
	for _, k := range b.best {
		if k != nothing {
			return false
		}
	}
	return true
}

// step is one shot of a solution: source p from point i to point j.
type step struct{ p, i, j int }

// state is the cheapest way to have a shot of one source end at one point, the
// shot before it being of one pass.
type state struct {
	cost
	known bool
	i     int32 // where the shot began
	q     int32 // the source before it
	back  int32 // the pass before that one
}

// entry is the cheapest way to begin a shot.
type entry struct {
	cost
	known bool
	q     int32
	back  int32
}

// search finds the cheapest sequence of steps over all slots, and its cost.
//
// Sources are numbered from 0 with the hole last, passes likewise with "no
// pass" last, so that both can index tables.
func (b *board) search(ctx context.Context) ([]step, cost, error) {
	points, sources := len(b.points), len(b.sources)+1
	passOf := make([]int, sources)
	none := 0
	for p, s := range b.sources {
		passOf[p] = s.pass
		none = max(none, s.pass+1)
	}
	passOf[sources-1] = none
	passes := none + 1
	number := func(p int) int { // of a source, as the pricing knows it
		if p == sources-1 {
			return hole
		}
		return p
	}
	// returned[c][p] is the price of source p two shots after pass c.
	returned := make([][]int64, passes)
	for c := range returned {
		returned[c] = make([]int64, sources)
	}
	pair := make([][]int64, sources) // pair[q][p] is the price of p straight after q, its place apart
	for q := range pair {
		pair[q] = make([]int64, sources)
		for p := range pair[q] {
			pair[q][p] = b.pairCost(number(q), number(p))
			returned[passOf[q]][p] = b.returnCost(number(q), number(p))
		}
	}

	ends := make([]state, points*sources*passes)
	at := func(point, p, c int) *state { return &ends[(point*sources+p)*passes+c] }
	entries := make([]entry, sources*passes)
	var usable []int // the sources that may show the slot after the present point

	for i := 0; i < points-1; i++ {
		if err := ctx.Err(); err != nil {
			return nil, cost{}, err
		}
		clear(entries)
		usable = usable[:0]
		for p := 0; p < sources; p++ {
			if b.allowed(number(p), i) {
				usable = append(usable, p)
			}
		}
		if i == 0 {
			for _, p := range usable {
				entries[p*passes+none] = entry{known: true, q: -1}
			}
		} else {
			place := wish(weights.cut[b.points[i].place])
			for q := 0; q < sources; q++ {
				for c := 0; c < passes; c++ {
					from := at(i, q, c)
					if !from.known {
						continue
					}
					for _, p := range usable {
						price := from.cost
						price.wishes += returned[c][p]
						if q != sources-1 || p != sources-1 {
							price.wishes += place + pair[q][p]
						}
						to := &entries[p*passes+passOf[q]]
						if !to.known || price.less(to.cost) {
							*to = entry{cost: price, known: true, q: int32(q), back: int32(c)}
						}
					}
				}
			}
		}
		for _, p := range usable {
			b.reach(number(p), i, func(j int, price cost) {
				for c := 0; c < passes; c++ {
					e := &entries[p*passes+c]
					if !e.known {
						continue
					}
					total := e.cost.plus(price)
					if to := at(j, p, c); !to.known || total.less(to.cost) {
						*to = state{cost: total, known: true, i: int32(i), q: e.q, back: e.back}
					}
				}
			})
		}
	}

	// The best end, and the way back from it.
	end, bestP, bestC := state{}, 0, 0
	for p := 0; p < sources; p++ {
		for c := 0; c < passes; c++ {
			if s := at(points-1, p, c); s.known && (!end.known || s.less(end.cost)) {
				end, bestP, bestC = *s, p, c
			}
		}
	}
	var steps []step
	for j, p, c := points-1, bestP, bestC; j > 0; {
		s := at(j, p, c)
		steps = append(steps, step{p: number(p), i: int(s.i), j: j})
		j, p, c = int(s.i), int(s.q), int(s.back)
	}
	for x, y := 0, len(steps)-1; x < y; x, y = x+1, y-1 {
		steps[x], steps[y] = steps[y], steps[x]
	}
	return steps, end.cost, nil
}

// allowed reports whether source p may show slot k: nothing shows it better.
func (b *board) allowed(p, k int) bool {
	if p == hole {
		return b.best[k] == nothing
	}
	return b.best[k] != nothing && b.views[p][k].kind == b.best[k]
}

// mayStretch is how far a shot may go beyond the longest wished, where every
// change would be worse.
const mayStretch = 2

// reach calls found for every shot of source p that can begin at point i. Holes
// are one slot long and are joined afterwards.
func (b *board) reach(p, i int, found func(j int, price cost)) {
	var r run
	for j := i + 1; j < len(b.points) && b.allowed(p, j-1); j++ {
		if p == hole {
			found(j, cost{})
			return
		}
		if j > i+1 && b.seconds(i, j) > mayStretch*b.options.MaxShot {
			return
		}
		r = r.with(b.views[p][j-1], b.slots[j-1])
		if price, ok := b.shotCost(p, i, j, r); ok {
			found(j, price)
		}
	}
}
