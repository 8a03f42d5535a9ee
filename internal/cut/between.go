package cut

import "takeweave/internal/film"

// hole is the number of the source that shows nothing: one beyond the last.
func (b *Board) hole() int { return len(b.sources) }

// nobody is the number of the pass of a hole, and of what comes before the film.
func (b *Board) nobody() int { return b.passes }

// passOf returns the number of the pass of a source.
func (b *Board) passOf(p int) int {
	if p == b.hole() {
		return b.nobody()
	}
	return b.sources[p].pass
}

// between has the prices of what depends on the order of sources. Holes cost nothing.
type between struct {
	next     [][]int64 // [q][p]: p straight after q
	word     [][]int64 // [q][p]: the same where the cut falls inside a sung word
	back     [][]int64 // [pass][p]: p two shots after that pass
	backMost int64     // the greatest of back
}

func (b *Board) priceNeighbours() *between {
	n := len(b.sources) + 1
	m := &between{next: make([][]int64, n), word: make([][]int64, n), back: make([][]int64, b.passes+1)}
	for c := range m.back {
		m.back[c] = make([]int64, n)
	}
	for q := range n {
		m.next[q], m.word[q] = make([]int64, n), make([]int64, n)
		for p := range n {
			bill := b.nextBill(q, p)
			m.next[q][p] = bill.sum()
			m.word[q][p] = m.next[q][p] + b.wordPrice(q, p)
			back := b.backPrice(q, p)
			m.back[b.passOf(q)][p] = back
			m.backMost = max(m.backMost, back)
		}
	}
	return m
}

// nextBill prices source p straight after source q, wherever the cut falls.
func (b *Board) nextBill(q, p int) (c bill) {
	if q == b.hole() || p == b.hole() {
		return c
	}
	x, y := b.sources[q], b.sources[p]
	switch reads := x.Setup.CutTo(y.Setup); {
	case x.pass == y.pass:
		c.add(forJump, weights.samePass)
	case x.setup == y.setup:
		c.add(forJump, weights.sameSetup)
	case reads == film.ReadsAsJump:
		c.add(forJump, weights.jump)
	case reads == film.ReadsAlike:
		c.add(forJump, weights.alike)
	}
	return c
}

// wordPrice prices a cut from q to p inside a sung word: it shows when lips are
// seen on both sides.
func (b *Board) wordPrice(q, p int) int64 {
	if q == b.hole() || p == b.hole() || !b.sources[q].showsLips() || !b.sources[p].showsLips() {
		return 0
	}
	return wish(weights.word)
}

// backPrice prices source p two shots after source q.
func (b *Board) backPrice(q, p int) int64 {
	if q == b.hole() || p == b.hole() {
		return 0
	}
	x, y := b.sources[q], b.sources[p]
	switch {
	case x.pass == y.pass:
		return wish(weights.returnPass)
	case x.setup == y.setup:
		return wish(weights.returnSetup)
	}
	return 0
}

// placePrice prices a cut at a point by where it falls, between any two shots.
func (l *layout) placePrice(i int) (c bill) {
	pt := l.points[i]
	c.add(forPlace, weights.cut[pt.place])
	for _, m := range l.song.MustSee {
		if w := l.wanted(m); pt.at > w.From+wordEdge && pt.at < w.To-wordEdge {
			c.add(forMustSee, weights.mustSeeCut)
		}
	}
	return c
}

// endPrice prices a film that opens or ends with source p.
func (b *Board) endPrice(p int) int64 {
	if p == b.hole() || !b.safety || b.sources[p].Setup.Safety {
		return 0
	}
	return wish(weights.ends)
}
