package demo

import (
	"math"
	"math/rand/v2"
	"sort"
)

// player is how somebody plays a score: tempo, its wandering, and unevenness.
type player struct {
	bpm       float64
	wander    float64 // standard deviation of the tempo walk, as a share
	unevenSec float64 // standard deviation of a single note's time
}

// pluck is one pluck as played; At is seconds on the clock of the performance.
type pluck struct {
	at     float64
	string int
	fret   int
	force  float64
	cents  float64 // out of tune by this much, for tuning up
	strum  int
	beat   float64 // place in the score; NaN when it is not in it
	after  float64 // the strum's spread, as in the score
}

func (p pluck) midi() int { return openMIDI[p.string] + p.fret }

// syllable is one syllable as sung.
type syllable struct {
	at, seconds float64
	midi        float64
	vowel       byte
	text        string
	level       float64
}

// fingering is a chord as held: the left hand is there at At.
type fingering struct {
	at    float64
	chord chord
}

// performance is everything that sounds and moves in a pass or on the record.
type performance struct {
	plucks    []pluck // by time
	syllables []syllable
	holds     []fingering
	knocks    []float64 // taps on the guitar's top, a count-in
	stretches []stretch // where in the score it is, in order
	end       float64   // when the last sound has rung out
}

// stretch is an unbroken run through the score: beat b is at time times(b).
type stretch struct {
	from, to float64   // beats
	start    float64   // seconds
	grid     []float64 // seconds after start of each half beat from "from" on
}

// time returns when a beat of the stretch is played.
func (st *stretch) time(beat float64) float64 {
	x := (beat - st.from) * 2
	i := int(math.Floor(x))
	i = max(0, min(i, len(st.grid)-2))
	return st.start + st.grid[i] + (x-float64(i))*(st.grid[i+1]-st.grid[i])
}

// newStretch walks the tempo over the beats. The walk forgets over 16 beats;
// phrases slow down a little at their ends and the song at its end.
func newStretch(from, to, start float64, p player, rng *rand.Rand) stretch {
	st := stretch{from: from, to: to, start: start, grid: []float64{0}}
	const memoryHalfBeats = 32
	keep := math.Exp(-1.0 / memoryHalfBeats)
	walk := rng.NormFloat64() * p.wander
	for b := from; b < to+1; b += 0.5 {
		walk = keep*walk + math.Sqrt(1-keep*keep)*p.wander*rng.NormFloat64()
		dur := 30 / p.bpm * math.Exp(-walk)
		if math.Mod(b, 8) >= 7 {
			dur *= 1.015
		}
		if left := songBeats - b; left < 8 {
			dur *= 1 + 0.16*(1-left/8)
		}
		st.grid = append(st.grid, st.grid[len(st.grid)-1]+dur)
	}
	return st
}

// play adds the stretch of the score [from, to) to the performance, beginning
// at start seconds, and returns when the next beat would come.
func (pf *performance) play(s *score, from, to, start float64, p player, rng *rand.Rand) float64 {
	st := newStretch(from, to, start, p, rng)
	pf.stretches = append(pf.stretches, st)
	strumShift, lastStrum := 0.0, math.Inf(-1)
	for _, n := range s.notes {
		if n.beat < from-1e-9 || n.beat >= to-1e-9 {
			continue
		}
		shift := rng.NormFloat64() * p.unevenSec
		if n.strum != 0 { // the hand is one: a strum is late or early as a whole
			if n.beat != lastStrum {
				strumShift, lastStrum = shift, n.beat
			}
			shift = strumShift + rng.NormFloat64()*0.001
		}
		shift = max(-2.5*p.unevenSec, min(2.5*p.unevenSec, shift))
		pf.plucks = append(pf.plucks, pluck{
			at: st.time(n.beat) + n.after + shift, string: n.string, fret: n.fret,
			force: n.force * (1 + 0.08*rng.NormFloat64()), strum: n.strum, beat: n.beat, after: n.after,
		})
	}
	for _, g := range s.sung {
		if g.beat < from-1e-9 || g.beat >= to-1e-9 {
			continue
		}
		at := st.time(g.beat) + rng.NormFloat64()*p.unevenSec
		pf.syllables = append(pf.syllables, syllable{
			at: at, seconds: st.time(math.Min(g.beat+g.beats, to)) - at,
			midi: g.midi, vowel: g.vowel, text: g.text, level: 1,
		})
	}
	pf.holds = append(pf.holds, fingering{st.time(from) - 0.05, s.chordAt(from)})
	for _, h := range s.chords {
		if h.beat > from && h.beat < to-1e-9 {
			pf.holds = append(pf.holds, fingering{st.time(h.beat) - 0.05, h.chord})
		}
	}
	end := st.time(to)
	pf.end = math.Max(pf.end, end+ringSeconds)
	return end
}

// tuneUp plays single strings, the first try out of tune, from start on and
// returns when it is over.
func (pf *performance) tuneUp(start float64, count int, rng *rand.Rand) float64 {
	t := start
	for range count {
		s := rng.IntN(openStrings)
		off := 15 + 20*rng.Float64()
		if rng.IntN(2) == 0 {
			off = -off
		}
		for _, cents := range []float64{off, off / 4} {
			pf.plucks = append(pf.plucks, pluck{at: t, string: s, force: 0.5, cents: cents, beat: math.NaN()})
			t += 0.45 + 0.3*rng.Float64()
		}
	}
	return t
}

// chatter speaks nonsense from start until end.
func (pf *performance) chatter(start, end float64, rng *rand.Rand) {
	const vowels = "aeiouAOU"
	pitch := 56.0
	for t := start; t < end; {
		dur := 0.10 + 0.14*rng.Float64()
		pitch += -0.25 + 1.2*rng.NormFloat64() + 0.25*(56-pitch)
		pf.syllables = append(pf.syllables, syllable{
			at: t, seconds: dur, midi: pitch, vowel: vowels[rng.IntN(len(vowels))],
			text: []string{"s", "k", "m", "a"}[rng.IntN(4)], level: 0.55,
		})
		t += dur + 0.02
		if rng.IntN(7) == 0 {
			t += 0.3 + 0.5*rng.Float64()
			pitch = 57 + 2*rng.NormFloat64()
		}
	}
}

// countIn knocks four beats on the guitar so that the next would be at start.
func (pf *performance) countIn(start, bpm float64) {
	for k := 4; k >= 1; k-- {
		pf.knocks = append(pf.knocks, start-float64(k)*60/bpm)
	}
}

// settle brings everything into the order of time and lets no string be
// plucked twice within what a finger can do.
func (pf *performance) settle() {
	sort.SliceStable(pf.plucks, func(i, j int) bool { return pf.plucks[i].at < pf.plucks[j].at })
	sort.SliceStable(pf.syllables, func(i, j int) bool { return pf.syllables[i].at < pf.syllables[j].at })
	sort.SliceStable(pf.holds, func(i, j int) bool { return pf.holds[i].at < pf.holds[j].at })
	for i := 1; i < len(pf.syllables); i++ { // one mouth
		a, b := &pf.syllables[i-1], pf.syllables[i]
		a.seconds = math.Min(a.seconds, b.at-a.at)
	}
}
