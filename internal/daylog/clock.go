package daylog

import (
	"cmp"
	"math"
	"slices"
)

// clock turns a camera's file times into the phone's time.
type clock struct {
	known   bool    // false: file times mean nothing but their order
	atEnd   bool    // files are stamped when they are finished, not when they begin
	offsetS float64 // phone minus camera at the middle of the day, seconds
	ppm     float64 // how much slower the camera's clock runs, millionths
	middleS float64 // on the camera's clock
}

// The prior of clocks: one that is wrong by 10 minutes is ten times rarer than
// one that is right to a minute, and so on to ten years.
const (
	clockChance  = 0.98 // file times mean something
	startChance  = 0.7  // they are of the start; cameras differ
	offsetFloorS = 60.
	offsetNorm   = 31. // the integral of 1/(|offset|+60 s) over ten years to either side
	offsetWidthS = 5.  // about how well a day pins the offset, times the root of 2 pi
	driftPPM     = 100.
)

// startOf returns when a clip began, in seconds on the phone's clock.
func (ck *clock) startOf(c *Clip) (float64, bool) {
	if !ck.known || c.TimeMS == 0 {
		return 0, false
	}
	at := c.startS(ck.atEnd)
	return at + ck.offsetS + (at-ck.middleS)*ck.ppm*1e-6, true
}

// startS returns when a clip began on the camera's clock, in seconds.
func (c *Clip) startS(atEnd bool) float64 {
	at := float64(c.TimeMS) / 1000
	if atEnd {
		at -= c.DurationS
	}
	return at
}

// prior returns the logarithm of how likely such a clock is.
func (ck *clock) prior() float64 {
	stamp := startChance
	if ck.atEnd {
		stamp = 1 - startChance
	}
	if !ck.known {
		return math.Log((1 - clockChance) * stamp)
	}
	return math.Log(clockChance * stamp * offsetWidthS / ((math.Abs(ck.offsetS) + offsetFloorS) * offsetNorm))
}

// tapAt returns what one clip says of the offset if it is a pass that began as
// the entry: the phone's time less the camera's. Entries without a tap say
// nothing sharp.
func (ck *clock) tapAt(c *Clip, e *Entry) (float64, bool) {
	if c.TimeMS == 0 || e.RollingMS == 0 {
		return 0, false
	}
	vote := float64(e.RollingMS)/1000 - c.startS(ck.atEnd)
	for _, call := range c.Calls {
		if call.Number == e.Number {
			return vote - call.AtS, true
		}
	}
	if e.Origin == Heard {
		vote -= heardS
	}
	return vote, true
}

const (
	voteReachS  = 15. // votes this near each other agree
	guessApartS = 30. // guesses nearer than this are one
	mostGuesses = 6
)

func (ev *evidence) cameraMiddle() float64 {
	var sum, n float64
	for i := range ev.clips {
		if ev.clips[i].TimeMS != 0 {
			sum, n = sum+float64(ev.clips[i].TimeMS)/1000, n+1
		}
	}
	return sum / math.Max(1, n)
}

// vote is what one clip says of the offset, guess what many say.
type (
	vote struct {
		offset, weight float64
		clip           int
	}
	guess struct{ offset, score float64 }
)

// count lets a vote count for another offset as far as it is near.
func count(best map[int]float64, at, v vote) {
	near := v.weight * (1 - math.Abs(v.offset-at.offset)/voteReachS)
	best[v.clip] = math.Max(best[v.clip], near)
}

// clocks returns guesses at the camera's clock: one that knows nothing, and the
// offsets on which most clips agree. Every clip votes for every pass that it
// might be, and counts once for each offset.
func (ev *evidence) clocks() []clock {
	ck := clock{known: true, atEnd: ev.atEnd, middleS: ev.cameraMiddle()}
	var votes []vote
	for i := range ev.clips {
		for j, u := range ev.units {
			offset, ok := ck.tapAt(&ev.clips[i], &u[0])
			if !ok {
				continue
			}
			w := ev.besidesTimes(i, i+1, j, j+1) + ev.entryTimes(&clock{}, &ev.clips[i], ev.clips[i].DurationS, &u[0], &u[0], 1)
			votes = append(votes, vote{offset, 1 / (1 + math.Exp(-w)), i})
		}
	}
	slices.SortFunc(votes, func(a, b vote) int { return cmp.Compare(a.offset, b.offset) })
	var all []guess
	for at, v := range votes {
		best := map[int]float64{}
		for k := at; k >= 0 && v.offset-votes[k].offset < voteReachS; k-- {
			count(best, v, votes[k])
		}
		for k := at + 1; k < len(votes) && votes[k].offset-v.offset < voteReachS; k++ {
			count(best, v, votes[k])
		}
		score := 0.0
		for i := range ev.clips { // in order: sums must not depend on the map's
			score += best[i]
		}
		all = append(all, guess{v.offset, score})
	}
	slices.SortFunc(all, func(a, b guess) int {
		return cmp.Or(cmp.Compare(b.score, a.score), cmp.Compare(a.offset, b.offset))
	})
	out := []clock{{atEnd: ev.atEnd}}
	for _, g := range all {
		near := func(o clock) bool { return o.known && math.Abs(o.offsetS-g.offset) < guessApartS }
		if len(out) <= mostGuesses && !slices.ContainsFunc(out, near) {
			c := ck
			c.offsetS = g.offset
			out = append(out, c)
		}
	}
	return out
}

// refined returns the clock fitted to the ties that an alignment finds likely:
// offset and drift by least squares, weighted by chance and, so that careless
// taps count little, by distance; the drift is held near 0.
func (ev *evidence) refined(ck clock, al *alignment) clock {
	var sw, swx, swy, swxx, swxy float64
	for _, b := range al.blocks {
		if b.chance < 0.5 {
			continue
		}
		c, e := &ev.clips[b.i], &ev.units[b.j][0]
		offset, ok := ck.tapAt(c, e)
		if !ok {
			continue
		}
		x := c.startS(ck.atEnd) - ck.middleS
		y := offset - ck.offsetS
		away := (y - x*ck.ppm*1e-6) / spread(e)
		w := b.chance / (1 + away*away) / (spread(e) * spread(e))
		sw, swx, swy, swxx, swxy = sw+w, swx+w*x, swy+w*y, swxx+w*x*x, swxy+w*x*y
	}
	if sw == 0 {
		return ck
	}
	swxx += 1 / (driftPPM * 1e-6 * driftPPM * 1e-6)
	slope := (sw*swxy - swx*swy) / (sw*swxx - swx*swx)
	ck.offsetS += (swy - slope*swx) / sw
	ck.ppm = slope * 1e6
	return ck
}
