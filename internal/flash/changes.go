package flash

// remembered is how many changes of a cell are kept: those of eight flashes.
const remembered = 16

// cell follows one value of one cell from turn to turn.
type cell struct {
	low, high float32 // since the last change
	highRed   bool    // the cell was saturated red at high
	went      int8    // the last change: 1 up, -1 down, 0 none yet
	started   bool
	count     int32             // changes so far
	at        [remembered]int32 // frames of the last ones, by count modulo
}

// rule is what counts as a change, and over what area flashes add up.
type rule struct {
	kind   Kind
	value  func(light) float32
	change float32 // at least
	below  float32 // the darker state must be; 0 when that does not matter
	red    bool    // one state must be saturated red
	field  int     // the area is a quarter of the screen's width and height divided by this
}

// Source: [BT1702] and [WCAG22]. Red is the older of the two WCAG tests: it
// finds what the newer one finds, but for reds darker than a sixteenth, and also
// changes between a light and a dark red.
var rules = []rule{
	{kind: GeneralBT1702, value: func(l light) float32 { return l.nits }, change: 20, below: 160, field: 1},
	{kind: GeneralWCAG, value: func(l light) float32 { return l.relative }, change: 0.1, below: 0.8, field: 3},
	{kind: RedWCAG, value: func(l light) float32 { return l.redness }, change: 20, red: true, field: 3},
}

// counts reports whether going between two values is a change.
func (r *rule) counts(low, high float32, highRed bool) bool {
	return high-low >= r.change && (r.below == 0 || low < r.below) && (!r.red || highRed)
}

// next takes what the cell shows at a frame and reports whether that completes a
// change opposite to the last one.
func (c *cell) next(r *rule, v float32, isRed bool, frame int32) bool {
	if !c.started {
		c.low, c.high, c.highRed, c.started = v, v, isRed, true
		return false
	}
	switch {
	case c.went <= 0 && r.counts(c.low, v, isRed):
		c.went = 1
	case c.went >= 0 && r.counts(v, c.high, c.highRed):
		c.went = -1
	default:
		if v > c.high || (v == c.high && isRed) {
			c.high, c.highRed = v, isRed
		}
		c.low = min(c.low, v)
		return false
	}
	c.low, c.high, c.highRed = v, v, isRed
	c.at[c.count%remembered] = frame
	c.count++
	return true
}

// within returns how many changes lie after a frame, at most remembered, and the
// first of them.
func (c *cell) within(after int32) (n int, first int32) {
	for n < remembered && int32(n) < c.count {
		at := c.at[(c.count-1-int32(n))%remembered]
		if at <= after {
			break
		}
		n++
		first = at
	}
	return n, first
}
