package cut

import "slices"

// state is the cheapest way to have a shot of one source end at one point, the
// shot before it being of one pass.
type state struct {
	cost
	before int32 // the pass of the shot before
	i      int32 // where the shot began
	q      int32 // the source of the shot before, -1 at the start of the film
	back   int32 // the pass before that one
}

// entry is the cheapest way to begin a shot of one source at one point, the
// shot before it being of one pass.
type entry struct {
	cost
	before int32
	q      int32
	back   int32
}

// arrivals gathers states by the pass of the shot before, round after round.
type arrivals struct {
	best  []state
	setIn []int // the round in which best was set
	round int
	ways  []state
}

// kept returns the states of the round that may still be part of the best cut,
// until the next round.
func (a *arrivals) kept(slack int64) []state {
	limit, some := cost{}, false
	for c, in := range a.setIn {
		if in == a.round && (!some || a.best[c].less(limit)) {
			limit, some = a.best[c].cost, true
		}
	}
	limit.wishes += slack
	a.ways = a.ways[:0]
	for c, in := range a.setIn {
		if in == a.round && !limit.less(a.best[c].cost) {
			a.ways = append(a.ways, a.best[c])
		}
	}
	return a.ways
}

// arena keeps many short lists in few pieces of memory.
type arena[T any] struct{ free []T }

// keep returns a copy of a list.
func (h *arena[T]) keep(list []T) []T {
	if len(list) == 0 {
		return nil
	}
	if cap(h.free)-len(h.free) < len(list) {
		h.free = make([]T, 0, max(4096, len(list)))
	}
	from := len(h.free)
	h.free = append(h.free, list...)
	return h.free[from:len(h.free):len(h.free)]
}

// keepEntries drops the ways that cannot be part of the best cut.
func keepEntries(ways []entry, slack int64) []entry {
	if len(ways) == 0 {
		return nil
	}
	limit := ways[0].cost
	for _, w := range ways[1:] {
		if w.less(limit) {
			limit = w.cost
		}
	}
	limit.wishes += slack
	return slices.DeleteFunc(ways, func(w entry) bool { return limit.less(w.cost) })
}
