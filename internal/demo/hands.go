package demo

import (
	"math"
	"sort"
)

// plucking is where the plucking hand is, in the guitar's measures. Index 0 is
// the thumb, 1 to 4 the fingers.
type plucking struct {
	wrist   pt
	knuckle [5]pt
	tip     [5]pt
	offset  float64 // how far the hand as a whole has gone across the strings
}

// fretting is where the fretting hand is, in the guitar's measures.
type fretting struct {
	u   float64 // the hand's place along the neck
	tip [4]pt   // index to little finger
}

// hands knows the movement of both hands over a performance.
type hands struct {
	stroke    []key // the plucking hand across the strings: strums and knocks
	strumming []key
	byFinger  [4][]touch // thumb, index, middle, ring
	chords    []fretting
	chordAt   []float64
}

// key is a value at a time; between keys the value moves smoothly.
type key struct{ at, value float64 }

// touch is a string plucked by a finger.
type touch struct {
	at     float64
	string int
}

// fingerOf says which finger plucks a string: the thumb the three low ones.
func fingerOf(s int) int { return max(0, s-2) }

const (
	reachSeconds  = 0.090 // a finger starts this long before it plucks
	strokeRun     = 0.030 // metres that a strum runs on beyond its strings
	strokeLead    = 0.060 // seconds before and after
	changeSeconds = 0.130 // a chord change takes this long
)

// newHands works out the movement for a settled performance. At the moment of
// every pluck the finger that plucks is exactly at its string.
func newHands(pf *performance) *hands {
	h := &hands{}
	for i := 0; i < len(pf.plucks); {
		p := pf.plucks[i]
		if p.strum == 0 {
			h.byFinger[fingerOf(p.string)] = append(h.byFinger[fingerOf(p.string)], touch{p.at, p.string})
			h.strumming = append(h.strumming, key{p.at - 0.1, 0}, key{p.at, 0})
			i++
			continue
		}
		j := i
		for j < len(pf.plucks) && pf.plucks[j].strum == p.strum && pf.plucks[j].beat == p.beat {
			j++
		}
		h.addStrum(pf.plucks[i:j], float64(p.strum))
		i = max(j, i+1)
	}
	for _, t := range pf.knocks {
		h.stroke = append(h.stroke, key{t - 0.14, 0}, key{t, 0.045}, key{t + 0.12, 0})
	}
	for _, keys := range [][]key{h.stroke, h.strumming} {
		sort.SliceStable(keys, func(i, j int) bool { return keys[i].at < keys[j].at })
	}
	for _, hold := range pf.holds {
		h.chords = append(h.chords, gripOf(hold.chord))
		h.chordAt = append(h.chordAt, hold.at)
	}
	return h
}

// addStrum lays the hand's run across the strings through the plucks of one strum.
func (h *hands) addStrum(plucks []pluck, dir float64) {
	first, last := plucks[0], plucks[len(plucks)-1]
	v := func(s int) float64 { return stringV(s, pluckU) - stringV(3, pluckU) }
	keys := []key{{first.at - strokeLead, v(first.string) - dir*strokeRun}}
	for _, p := range plucks {
		keys = append(keys, key{p.at, v(p.string)})
	}
	keys = append(keys, key{last.at + strokeLead, v(last.string) + dir*strokeRun})
	h.stroke = append(h.stroke, keys...)
	h.strumming = append(h.strumming, key{first.at - strokeLead, 1}, key{last.at + 0.25, 1})
}

// pluckU is where along the strings the fingers pluck.
const pluckU = -0.045

// valueAt moves along the keys; further than a second from any key the value is 0.
func valueAt(keys []key, t float64) float64 {
	i := lastBefore(len(keys), func(i int) bool { return keys[i].at > t })
	before, after := key{t - 1, 0}, key{t + 1, 0}
	if i >= 0 {
		before = keys[i]
	}
	if i+1 < len(keys) {
		after = keys[i+1]
	}
	gap := after.at - before.at
	if gap < 1e-6 {
		return before.value
	}
	if gap > 1.2 { // rest in between
		return before.value*(1-smooth((t-before.at)/0.5)) + after.value*smooth((t-after.at+0.5)/0.5)
	}
	k := (t - before.at) / gap
	if gap > 0.05 { // slow moves ease in and out, a strum runs straight through
		k = smooth(k)
	}
	return before.value + (after.value-before.value)*k
}

// flick is a finger's way across its string around a pluck, in metres towards
// where it plucks: drawn back before, on the string at 0, through after.
func flick(dt float64) float64 {
	switch {
	case dt < -reachSeconds:
		return 0
	case dt < 0:
		return -0.007 * math.Sin(-math.Pi*dt/reachSeconds)
	}
	return 0.014 * dt / 0.035 * math.Exp(1-dt/0.035)
}

// pluckingAt returns the plucking hand at time t.
func (h *hands) pluckingAt(t float64) plucking {
	offset := valueAt(h.stroke, t)
	strum := math.Min(1, math.Max(0, valueAt(h.strumming, t)))
	var hand plucking
	hand.offset = offset
	shift := pt{0.1 * offset, offset}
	hand.wrist = pt{-0.150, -0.098}.add(shift.mul(0.72))
	palm := pt{-0.094, -0.038}.add(shift)
	for f, d := range [5]pt{{0.030, -0.022}, {0.020, 0.002}, {0.010, 0.012}, {-0.002, 0.019}, {-0.015, 0.024}} {
		hand.knuckle[f] = palm.add(d)
	}
	gathered := [5]pt{{pluckU + 0.004, stringV(3, pluckU) - 0.006}, {pluckU, stringV(3, pluckU)}, {pluckU - 0.016, 0.014}, {pluckU - 0.030, 0.020}, {pluckU - 0.042, 0.026}}
	for f := range hand.tip {
		var rest pt
		switch f {
		case 0:
			rest = pt{pluckU + 0.034, h.thumbV(t)}
		case 4:
			rest = pt{pluckU - 0.044, 0.040}
		default:
			rest = pt{pluckU - 0.011*float64(f-1) + 0.002, stringV(f+2, pluckU)}
		}
		if f < 4 {
			rest.y += h.flickAt(f, t)
		}
		hand.tip[f] = rest.to(gathered[f], strum).add(shift)
	}
	return hand
}

// flickAt adds up what a finger's plucks near t make of it. The thumb plucks
// downwards, the fingers upwards.
func (h *hands) flickAt(f int, t float64) float64 {
	touches := h.byFinger[f]
	i := lastBefore(len(touches), func(i int) bool { return touches[i].at > t })
	d := 0.0
	if i >= 0 {
		d += flick(t - touches[i].at)
		if i+1 < len(touches) { // back on the string when the next is due
			d *= 1 - smooth((t-touches[i+1].at+0.06)/0.06)
		}
	}
	if i+1 < len(touches) {
		d += flick(t - touches[i+1].at)
	}
	if f == 0 {
		return d
	}
	return -d
}

// thumbV is the string that the thumb is at, between its plucks on the way to the next.
func (h *hands) thumbV(t float64) float64 {
	touches := h.byFinger[0]
	i := lastBefore(len(touches), func(i int) bool { return touches[i].at > t })
	v := func(i int) float64 { return stringV(touches[i].string, pluckU) }
	switch {
	case len(touches) == 0:
		return stringV(1, pluckU)
	case i < 0:
		return v(0)
	case i+1 == len(touches):
		return v(i)
	}
	a, b := touches[i].at, touches[i+1].at
	start := math.Max(a+0.4*(b-a), b-0.3)
	return v(i) + (v(i+1)-v(i))*smooth((t-start)/(b-0.02-start))
}

// gripOf puts the fingers on a chord.
func gripOf(c chord) fretting {
	type press struct{ string, fret int }
	var presses []press
	low, sum := 99, 0.0
	for s, fret := range c {
		if fret > 0 {
			presses = append(presses, press{s, fret})
			low = min(low, fret)
			sum += float64(fret)
		}
	}
	if len(presses) == 0 {
		low = 1
	}
	sort.SliceStable(presses, func(i, j int) bool { return presses[i].fret < presses[j].fret })
	g := fretting{u: fretU(float64(low) + 0.9)}
	for f := range g.tip {
		if f < len(presses) {
			p := presses[f]
			u := fretU(float64(p.fret)-0.30) - 0.004
			g.tip[f] = pt{u, stringV(p.string, u)}
			continue
		}
		u := fretU(float64(low + f)) // lifted, below the strings
		g.tip[f] = pt{u, 0.034}
	}
	sort.SliceStable(g.tip[:], func(i, j int) bool { return g.tip[i].x > g.tip[j].x })
	return g
}

// frettingAt returns the fretting hand at time t. The fingers are down a
// moment before the chord is due.
func (h *hands) frettingAt(t float64) fretting {
	i := lastBefore(len(h.chords), func(i int) bool { return h.chordAt[i]-changeSeconds > t })
	if i < 0 {
		if len(h.chords) == 0 {
			return gripOf(chord{})
		}
		return h.chords[0]
	}
	if i == 0 {
		return h.chords[0]
	}
	k := smooth((t - h.chordAt[i] + changeSeconds) / changeSeconds)
	a, b := h.chords[i-1], h.chords[i]
	g := fretting{u: a.u + (b.u-a.u)*k}
	lift := 0.014 * 4 * k * (1 - k)
	for f := range g.tip {
		g.tip[f] = a.tip[f].to(b.tip[f], k).add(pt{0, lift})
	}
	return g
}
