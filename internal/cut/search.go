package cut

import (
	"context"
	"slices"
)

// step is one shot of a solution: source p from point i to point j.
type step struct{ p, i, j int }

// search finds the cheapest ways to all points within the limits; wayBack then
// reads the cheapest sequence of shots.
//
// The price of a shot may depend on the two before it: on the source of the
// last, and on the pass of the one before that. So a state is a source with the
// pass before it. A state that costs more than the best of its source by more
// than that pass can ever matter again is dropped: it cannot be part of the
// best cut.
//
// Up to the first slot in which a former search differs, its states are taken
// over.
func (l *layout) search(ctx context.Context, m *limits, former *searched) (*searched, error) {
	n, sources := len(l.slots), len(l.sources)+1
	d := &searched{layout: l, limits: m, states: make([][][]state, n+1), entries: make([][][]entry, n+1)}
	known := d.takeOver(former)
	states, entries := d.states, d.entries
	rows := make([][][]cost, sources)
	for p := range rows {
		rows[p] = make([][]cost, n)
		for i := range known {
			if len(entries[i]) > 0 && len(entries[i][p]) > 0 {
				rows[p][i] = l.prices(m, p, i)
			}
		}
	}
	a := arrivals{best: make([]state, l.passes+1), setIn: make([]int, l.passes+1)}
	var keptStates arena[state]
	var keptEntries arena[entry]

	for j := known; j <= n; j++ {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		if m.closed[j] {
			continue
		}
		if j > 0 {
			states[j] = make([][]state, sources)
			for p := range sources {
				l.arrive(m, entries, rows[p], p, j, &a)
				states[j][p] = keptStates.keep(a.kept(l.between.backMost))
			}
		}
		if j < n {
			entries[j] = l.enter(m, states[j], j, &keptEntries)
			for p := range sources {
				if len(entries[j][p]) > 0 {
					rows[p][j] = l.prices(m, p, j)
				}
			}
		}
	}
	return d, nil
}

// searched is what a search found: the states at each point, and the ways to
// begin there.
type searched struct {
	*layout
	*limits
	states  [][][]state // [point][source]
	entries [][][]entry // [point][source]
}

// takeOver copies what a former search has in common with this one, and returns
// the number of points that are done.
func (d *searched) takeOver(former *searched) (points int) {
	if former == nil {
		return 0
	}
	for k := range min(len(d.slots), len(former.slots)) {
		if d.slots[k] != former.slots[k] || d.points[k] != former.points[k] ||
			d.closed[k] != former.closed[k] || d.forced[k] != former.forced[k] || d.strong[k] != former.strong[k] || d.slipped(k) || former.slipped(k) {
			break
		}
		same := true
		for p := range d.may {
			same = same && d.may[p][k] == former.may[p][k] && (p == d.hole() || d.views[p][k] == former.views[p][k])
		}
		if !same {
			break
		}
		d.states[k], d.entries[k] = former.states[k], former.entries[k]
		points = k + 1
	}
	return points
}

// prices returns the prices of shots of source p from point i; holes are one
// slot long and are joined afterwards.
func (l *layout) prices(m *limits, p, i int) []cost {
	if p == l.hole() {
		return []cost{{rules: oneShown * int64(nothing)}}
	}
	return l.row(p, i)
}

// arrive gathers, by the pass of the shot before, the cheapest shots of source
// p that end at point j.
func (l *layout) arrive(m *limits, entries [][][]entry, rows [][]cost, p, j int, a *arrivals) {
	a.round++
	for i := j - 1; i >= 0 && m.may[p][i]; i-- {
		if len(rows[i]) >= j-i {
			price := rows[i][j-i-1]
			if price == noPicture {
				continue
			}
			if m.strong[j] > m.strong[i] {
				price.rules = 0
			}
			for _, e := range entries[i][p] {
				total := e.plus(price)
				if a.setIn[e.before] != a.round || total.less(a.best[e.before].cost) {
					a.best[e.before] = state{cost: total, before: e.before, i: int32(i), q: e.q, back: e.back}
					a.setIn[e.before] = a.round
				}
			}
		}
		if m.forced[i] || j-i >= l.farthest {
			break
		}
	}
}

// enter finds the cheapest ways to begin a shot of each source at point j.
func (l *layout) enter(m *limits, states [][]state, j int, kept *arena[entry]) [][]entry {
	sources := len(l.sources) + 1
	out := make([][]entry, sources)
	if j == 0 {
		for p := range sources {
			if m.may[p][0] {
				out[p] = []entry{{cost: cost{wishes: l.endPrice(p)}, before: int32(l.nobody()), q: -1}}
			}
		}
		return out
	}
	bill := l.placePrice(j)
	place := bill.sum()
	next := l.between.next
	if l.points[j].word {
		next = l.between.word
	}
	hole := l.hole()
	var ways []entry
	for p := range sources {
		if !m.may[p][j] {
			continue
		}
		ways = ways[:0]
		for q := range sources {
			if len(states[q]) == 0 {
				continue
			}
			best := entry{before: int32(l.passOf(q)), q: int32(q)}
			for n, s := range states[q] {
				price := s.cost
				price.wishes += l.between.back[s.before][p]
				if n == 0 || price.less(best.cost) {
					best.cost, best.back = price, s.before
				}
			}
			if q != hole || p != hole {
				best.wishes += place + next[q][p]
			}
			if n := len(ways); n > 0 && ways[n-1].before == best.before { // sources of a pass lie side by side
				if best.less(ways[n-1].cost) {
					ways[n-1] = best
				}
				continue
			}
			ways = append(ways, best)
		}
		out[p] = kept.keep(keepEntries(ways, l.between.backMost))
	}
	return out
}

// wayBack finds the best end and the way back from it. ok is false when no
// sequence of shots is within the limits.
func (d *searched) wayBack() (steps []step, total cost, ok bool) {
	n, states := len(d.slots), d.states
	var at state
	p := 0
	for q := range states[n] {
		for _, s := range states[n][q] {
			s.wishes += d.endPrice(q)
			if !ok || s.less(at.cost) {
				at, p, ok = s, q, true
			}
		}
	}
	if !ok {
		return nil, cost{}, false
	}
	total = at.cost
	for j := n; ; {
		steps = append(steps, step{p: p, i: int(at.i), j: j})
		if at.q < 0 {
			break
		}
		j, p = int(at.i), int(at.q)
		k := slices.IndexFunc(states[j][p], func(s state) bool { return s.before == at.back })
		at = states[j][p][k]
	}
	slices.Reverse(steps)
	return steps, total, true
}
