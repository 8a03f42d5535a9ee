package flash

// rule is what counts as a change, and over what field changes add up.
type rule struct {
	kind   Kind
	value  func(light) float32
	change float32 // at least
	below  float32 // the darker state must be; 0 when that does not matter
	red    bool    // one state must be saturated red
	part   int     // the field is this part of the screen's width and of its height
}

// Source: [BT1702] and [WCAG22]. Red is the older of the two WCAG tests: it
// finds what the newer one finds, but for reds darker than a sixteenth, and also
// changes between a light and a dark red.
var rules = []rule{
	{kind: GeneralBT1702, value: func(l light) float32 { return l.nits }, change: 20, below: 160, part: 1},
	{kind: GeneralWCAG, value: func(l light) float32 { return l.relative }, change: 0.1, below: 0.8, part: 3},
	{kind: RedWCAG, value: func(l light) float32 { return l.redness }, change: 20, red: true, part: 3},
}

// counts reports whether going between two values is a change.
func (r *rule) counts(low, high float32, highRed bool) bool {
	return high-low >= r.change && (r.below == 0 || low < r.below) && (!r.red || highRed)
}

// cell follows one value of one cell from turn to turn.
type cell struct {
	low, high float32 // since the last change
	highRed   bool    // the cell was saturated red at high
	went      int8    // the last change: 1 up, -1 down, 0 none yet
	started   bool
}

// next takes what the cell shows and reports whether that completes a change
// opposite to the last one.
func (c *cell) next(r *rule, v float32, isRed bool) bool {
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
	return true
}

// remembered is how many flashes of a field are kept.
const remembered = 16

// field follows the flashes of a part of the screen.
type field struct {
	count int32
	end   int32             // frame in which the last flash ended
	began [remembered]int32 // frames in which the last flashes began, by count modulo
}

// add takes a flash.
func (f *field) add(began, end int32) {
	f.began[f.count%remembered] = began
	f.end = end
	f.count++
}

// since returns how many flashes began after a frame, at most remembered, and
// when the first of them did.
func (f *field) since(after int32) (n int, first int32) {
	for n < remembered && int32(n) < f.count {
		began := f.began[(f.count-1-int32(n))%remembered]
		if began <= after {
			break
		}
		n++
		first = began
	}
	return n, first
}
