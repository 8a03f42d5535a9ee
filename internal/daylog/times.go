package daylog

import (
	"cmp"
	"math"
)

// times returns the evidence of the times of clips that are units, under a
// clock. The clips lie without gap.
func (ev *evidence) times(ck *clock, i, i2, j, j2 int) float64 {
	first, last := ev.units[j], ev.units[j2-1]
	best := math.Inf(-1)
	lengthS := 0.0
	for k := i; k < i2; k++ {
		lengthS += ev.clips[k].DurationS
	}
	for a := range first {
		for b := range last {
			if j2-j == 1 && a != b {
				continue
			}
			best = math.Max(best, ev.entryTimes(ck, &ev.clips[i], lengthS, &first[a], &last[b], passesIn(ev.units[j:j2])))
		}
	}
	return best + ev.within(ck, i, j, j2)
}

// passesIn returns how many passes the units are, if those that may be the same
// are.
func passesIn(units []unit) int {
	n := 1
	for k := range units[1:] {
		if !units[k][0].mayBeSame(&units[k+1][0]) {
			n++
		}
	}
	return n
}

// within returns the evidence that the several passes of clip i were tapped
// while it rolled: a pass that is in no file hardly was, as the camera rolled for
// another one.
func (ev *evidence) within(ck *clock, i, j, j2 int) float64 {
	c := &ev.clips[i]
	from, timed := ck.startOf(c)
	if !timed {
		from = float64(ev.units[j][0].RollingMS) / 1000
	}
	sum := 0.0
	for k, u := range ev.units[j:j2] {
		at := float64(cmp.Or(u[0].RollingMS, u[0].CutMS)) / 1000
		if j2-j == 1 || from == 0 || at == 0 {
			continue
		}
		inside := at > from-2*tapS && at < from+c.DurationS+2*tapS
		says := either(inside, withinRight, withinStray*math.Min(1, (c.DurationS+4*tapS)/ev.spanS))
		if k == 0 { // its start has spoken for it
			says = math.Min(0, says)
		}
		sum += says
	}
	return sum
}

// entryTimes compares a clip, or several that follow each other, with what
// begins as one entry and ends as another.
func (ev *evidence) entryTimes(ck *clock, c *Clip, lengthS float64, first, last *Entry, passes int) float64 {
	from, timed := ck.startOf(c)
	var start, length float64
	hasStart, hasEnd := timed && first.RollingMS > 0, last.CutMS > 0
	if hasStart {
		start = math.Log(ev.startDensity(c, first, from-float64(first.RollingMS)/1000) * ev.spanS)
	}
	usual := ev.unloggedLength(lengthS)
	switch {
	case hasEnd && timed:
		end := tapDensity(from+lengthS-float64(last.CutMS)/1000, spread(last), ev.spanS)
		if !hasStart {
			end *= ev.plannedLength(lengthS, first, passes) * ev.spanS
		}
		length = math.Log(end / usual)
	case hasEnd && first.RollingMS > 0:
		rolled := float64(last.CutMS-first.RollingMS) / 1000
		if first.Origin == Heard {
			rolled += heardS
		}
		length = math.Log(tapDensity(lengthS-rolled, math.Hypot(spread(first), spread(last)), ev.spanS) / usual)
	default:
		length = math.Log(ev.plannedLength(lengthS, first, passes) / usual)
	}
	return start + length
}

// startDensity returns how likely the clip begins late seconds after the entry.
func (ev *evidence) startDensity(c *Clip, e *Entry, late float64) float64 {
	for _, call := range c.Calls {
		if call.Number == e.Number && e.Origin == Tapped {
			// The clock has to agree with the call, and the tap with the file's start.
			agrees := (1-strayChance)*normal(late+call.AtS, callS) + strayChance/ev.spanS
			return agrees * tapDensity(call.AtS, tapS, ev.spanS) * math.Max(1, c.DurationS)
		}
	}
	if e.Origin == Heard {
		late += heardS
	}
	return tapDensity(late, spread(e), ev.spanS)
}

// spread returns how far the entry's times usually are from the camera's.
func spread(e *Entry) float64 {
	switch e.Origin {
	case Heard:
		return heardVary
	case Later:
		return paperS
	}
	return tapS
}

// plannedLength returns the density of a file's length when the log does not say
// how long it rolled.
func (ev *evidence) plannedLength(s float64, e *Entry, passes int) float64 {
	broad := 1 / longestS
	if e.Lines != "" || ev.song == nil {
		return broad
	}
	n := float64(passes)
	whole := n*(float64(ev.song.Duration)+leadS) + (n-1)*2*leadS
	return lengthSaw*normal(s-whole, n*leadVaryS) + (1-lengthSaw)*broad
}

// normal returns the density of a normal distribution.
func normal(x, sd float64) float64 {
	return math.Exp(-x*x/(2*sd*sd)) / (sd * math.Sqrt(2*math.Pi))
}

// laplace returns the density of a two-sided exponential of that mean distance.
func laplace(x, mean float64) float64 { return math.Exp(-math.Abs(x)/mean) / (2 * mean) }

// tapDensity returns how likely a tap is that far from the camera.
func tapDensity(x, sd, spanS float64) float64 {
	return (1-slowShare-strayChance)*normal(x, sd) + slowShare*laplace(x, slowTapS) + strayChance/spanS
}

// unloggedLength returns the density of the length of a file that nobody logged:
// a false start or a pass.
func (ev *evidence) unloggedLength(s float64) float64 {
	return 0.5*math.Exp(-s/falseS)/falseS + 0.5*ev.plannedLength(s, &Entry{}, 1)
}
