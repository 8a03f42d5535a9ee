package cut

// receipt is what a whole solution costs, term by term. Its sum is the cost.
func (s *solution) receipt() (all bill) {
	for n := range s.steps {
		all.plus(s.receiptOf(n))
	}
	return all
}

// receiptOf is what shot n of a solution costs, the cut before it included.
func (s *solution) receiptOf(n int) (c bill) {
	st := s.steps[n]
	if n == 0 || n == len(s.steps)-1 {
		c[forEnds] += s.endPrice(st.p)
		if n == 0 && n == len(s.steps)-1 {
			c[forEnds] += s.endPrice(st.p)
		}
	}
	if n > 0 {
		before := s.steps[n-1].p
		if before != s.hole() || st.p != s.hole() {
			c.plus(s.placePrice(st.i))
			c.plus(s.nextBill(before, st.p))
			if s.points[st.i].word {
				c[forWord] += s.wordPrice(before, st.p)
			}
		}
	}
	if n > 1 {
		c[forReturn] += s.backPrice(s.steps[n-2].p, st.p)
	}
	if st.p == s.hole() {
		return c
	}
	src := s.sources[st.p]
	var r run
	for k := st.i; k < st.j; k++ {
		v := s.views[st.p][k]
		r = r.with(v, s.slots[k])
		c.plus(s.slotBill(src, s.slots[k], v))
	}
	shot, _ := s.lay(st)
	agreement, sync, speed := shotTerms(src, shot, r, s.shown(st).Len())
	c[forAgreement] += agreement
	c[forSync] += sync
	c[forSpeed] += speed
	c[forLength] += s.length[st.i][st.j-st.i-1]
	return c
}
