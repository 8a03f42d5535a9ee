package daylog

import (
	"math"
	"slices"

	"takeweave/internal/film"
)

// The likelihoods. Each compares a tie with a file that nobody logged, as the
// logarithm of the ratio of their densities. Where nothing else is said the
// numbers are of our own judgement, wider than what days generated for the tests
// show, so that a careless hand is asked and not tied wrongly.
const (
	// How often things happen.
	unloggedChance  = 0.1   // a file was not logged
	missingChance   = 0.05  // a logged pass has no file
	splitChance     = 0.03  // the camera went on in another file
	sharedChance    = 0.01  // the camera rolled on from one whole pass to the next
	sharedByPickups = 0.10  // from one looped pickup to the next
	sharedBySame    = 0.3   // two entries that begin together are one pass
	strayChance     = 0.002 // a time in the log means nothing

	// How far taps lie from the camera, in seconds.
	tapS      = 5.0  // of most taps
	slowTapS  = 40.0 // mean of the careless ones
	slowShare = 0.18
	callS     = 1.5   // a pass call in the file is at the tap but for the coarseness of file times
	heardS    = 12.0  // the song is heard this long after the camera rolled,
	heardVary = 10.0  // more or less
	paperS    = 90.0  // of a time on paper, whole minutes
	falseS    = 20.0  // half of the files that nobody logged are false starts of this mean length,
	longestS  = 600.0 // the others passes; of which nothing is known are up to this long

	// A whole pass whose times are not known.
	leadS     = 25.0 // rolls longer than the song,
	leadVaryS = 25.0 // more or less
	lengthSaw = 0.75 // and is whole this often

	callRight   = 0.999 // a call that is read has the right number: none of 10,000 simulated ones was wrong
	callNumbers = 999.

	setupRight = 0.9 // the folder has the right setup

	linesRight = 0.9 // a clip of these lines is seen to be of them
	wholeRight = 0.85
	wholeAny   = 0.5  // any other clip looks like a whole pass
	pickupAny  = 0.15 // any other clip looks like these lines

	withinRight = 0.95 // a pass in a file is tapped while the file rolls;
	withinStray = 0.1  // one that is in no file only if the tap strays, and then anywhere

	splitGapS = 3.0 // file times of a split file meet within this: coarse clocks
	splitLine = 3.0 // seconds of song by which its line-ups may part
)

// evidence is what all clips and passes of a day have in common.
type evidence struct {
	song   *film.Song // nil when not known
	clips  []Clip
	units  []unit
	atEnd  bool    // files are stamped when they are finished, not when they begin
	spanS  float64 // of the whole day
	setups float64 // number of setups
}

func newEvidence(song *film.Song, clips []Clip, units []unit, atEnd bool) *evidence {
	ev := &evidence{song: song, clips: clips, units: units, atEnd: atEnd, spanS: 3600}
	var first, last int64
	seen := map[string]bool{}
	for _, u := range units {
		for _, e := range u {
			seen[e.Setup] = true
			if e.RollingMS > 0 {
				if first == 0 {
					first = e.RollingMS
				}
				first, last = min(first, e.RollingMS), max(last, e.RollingMS)
			}
		}
	}
	ev.spanS += float64(last-first) / 1000
	ev.setups = math.Max(2, float64(len(seen)))
	return ev
}

// besidesTimes returns the evidence of everything but times for clips [i, i2)
// being units [j, j2), one of which is a single one; -Inf when it cannot be.
func (ev *evidence) besidesTimes(i, i2, j, j2 int) float64 {
	clips, units := ev.clips[i:i2], ev.units[j:j2]
	if !allowed(clips, units) {
		return math.Inf(-1)
	}
	sum := 0.0
	for k := range clips {
		if k > 0 {
			sum += ev.goesOn(&clips[k-1], &clips[k])
		}
		sum += ev.calls(&clips[k], units) + ev.setup(&clips[k], units[0])
	}
	if len(clips) == 1 && len(units) == 1 {
		sum += ev.lines(&clips[0], units[0])
	}
	for k := range units[1:] {
		switch a, b := &units[k][0], &units[k+1][0]; {
		case a.mayBeSame(b):
			sum += math.Log(sharedBySame)
		case a.Lines != "" && b.Lines != "":
			sum += math.Log(sharedByPickups)
		default:
			sum += math.Log(sharedChance)
		}
	}
	return sum
}

// unlogged returns the evidence that nobody logged clips [i, i2), which are one
// recording.
func (ev *evidence) unlogged(i, i2 int) float64 {
	sum := math.Log(unloggedChance)
	for k := i; k < i2; k++ {
		if slices.ContainsFunc(ev.clips[k].Told, ev.knows) {
			return math.Inf(-1)
		}
		if k > i {
			sum += ev.goesOn(&ev.clips[k-1], &ev.clips[k])
		}
	}
	return sum
}

// knows reports whether an entry is in the log at all.
func (ev *evidence) knows(entry string) bool {
	return slices.Contains(ids(ev.units), entry)
}

// allowed reports whether the person's answers allow the tie: each pass is told
// of, and no other one.
func allowed(clips []Clip, units []unit) bool {
	for _, c := range clips {
		if c.Told == nil {
			continue
		}
		for _, told := range c.Told {
			if !slices.Contains(ids(units), told) {
				return false
			}
		}
		for _, u := range units {
			if !u.isTold(c.Told) {
				return false
			}
		}
	}
	return true
}

// calls compares the numbers heard in a clip with those of the passes. That none
// is heard says nothing: it may be missed, or none was played.
func (ev *evidence) calls(c *Clip, units []unit) float64 {
	sum := 0.0
	for _, call := range c.Calls {
		if slices.ContainsFunc(units, func(u unit) bool { return u.has(call.Number) }) {
			sum += math.Log(callRight * callNumbers)
		} else {
			sum += math.Log(1 - callRight)
		}
	}
	return sum
}

func (u unit) has(number int) bool {
	return slices.ContainsFunc(u, func(e Entry) bool { return e.Number == number })
}

// setup compares the clip's folder with the pass.
func (ev *evidence) setup(c *Clip, u unit) float64 {
	if c.Setup == "" || u[0].Setup == "" {
		return 0
	}
	if slices.ContainsFunc(u, func(e Entry) bool { return e.Setup == c.Setup }) {
		return math.Log(setupRight * ev.setups)
	}
	return math.Log((1 - setupRight) * ev.setups / (ev.setups - 1))
}

// lines compares where the clip lies on the song with what was to be played. A
// clip that is silent, refused or not lined up says nothing, and neither does a
// pass that was cut soon.
func (ev *evidence) lines(c *Clip, u unit) float64 {
	e := u[0]
	if ev.song == nil || c.LineUp.Status != film.Aligned {
		return 0
	}
	if e.Lines == "" {
		song := float64(ev.song.Duration)
		if rolled, known := e.rolledS(); known && rolled < 0.8*song {
			return 0
		}
		return either(film.Covered(c.LineUp.Segments) > 0.6*song, wholeRight, wholeAny)
	}
	span, err := ev.song.SpanOf(e.Lines)
	if err != nil || span.Len() <= 0 {
		return 0
	}
	return either(playsLines(c, span), linesRight, pickupAny)
}

// runInS is how much is played before and after the lines of a pickup. Common
// practice: 8 seconds.
const runInS = 10

// playsLines reports whether a clip plays most of the span and little else.
func playsLines(c *Clip, span film.SongSpan) bool {
	wide := film.SongSpan{From: span.From - runInS, To: span.To + runInS}
	var inside, all, reached float64
	for i := range c.LineUp.Segments {
		s := c.LineUp.Segments[i].SongSpan()
		all += s.Len()
		inside += s.Overlap(wide)
		reached = math.Max(reached, s.Overlap(span))
	}
	return inside > 0.7*all && reached > 0.5*span.Len()
}

// either returns the evidence of something seen or not, which is seen with chance
// right if the tie is and with chance any if not.
func either(seen bool, right, any float64) float64 {
	if seen {
		return math.Log(right / any)
	}
	return math.Log((1 - right) / (1 - any))
}

// goesOn returns the evidence that the camera went on in b where a ends.
func (ev *evidence) goesOn(a, b *Clip) float64 {
	sum := math.Log(splitChance) - math.Log(longestS*ev.unloggedLength(b.DurationS))
	if a.TimeMS != 0 && b.TimeMS != 0 {
		gap := b.startS(ev.atEnd) - a.startS(ev.atEnd) - a.DurationS
		if math.Abs(gap) > splitGapS {
			return math.Inf(-1)
		}
		sum += math.Log(ev.spanS / (2 * splitGapS))
	}
	if x, y := a.LineUp.Segments, b.LineUp.Segments; len(x) > 0 && len(y) > 0 {
		part := math.Abs(float64(y[0].SongSpan().From - x[len(x)-1].SongSpan().To))
		sum += either(part < splitLine, 0.8, 0.03)
	}
	return sum
}
