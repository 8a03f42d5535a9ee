package filmday

import (
	"math"
	"math/rand/v2"
)

// Habits is how somebody plays.
type Habits struct {
	Tempo   float64 // 1 is the song's own
	Walk    float64 // spread of the tempo around it, relative
	Memory  float64 // 0..1, how much of a deviation is left after a quarter
	EndSlow float64 // slowing in the last bar of a section, relative
	Jitter  float64 // spread of single notes, seconds
	Spread  float64 // strums: 1 as written, 2 twice as slow
	Swing   float64 // added to the song's
	Miss    float64 // share of notes left out
	Slip    float64 // share of notes a step or so off
	Extra   float64 // share of notes with one more after them
	Force   float64 // spread of loudness, 0..1
}

// AnyHabits draws a fair player.
func AnyHabits(r *rand.Rand) Habits {
	return Habits{
		Tempo: 0.93 + 0.14*r.Float64(), Walk: 0.005 + 0.03*r.Float64(), Memory: 0.8 + 0.18*r.Float64(), EndSlow: 0.06 * r.Float64(),
		Jitter: 0.003 + 0.014*r.Float64(), Spread: 0.7 + 0.8*r.Float64(), Swing: 0.02 * r.NormFloat64(),
		Miss: 0.05 * r.Float64(), Slip: 0.03 * r.Float64(), Extra: 0.03 * r.Float64(), Force: 0.1 + 0.3*r.Float64(),
	}
}

// Sounded is a note as it was played.
type Sounded struct {
	At, Length float64 // seconds
	Pitch      int     // as the record has it: before another capo or tuning
	Loud       float64
	Part       Part
	Note       int  // index into Song.Notes, -1: not of the song
	Wrong      bool // in its place, but another pitch
	Piece      int  // index into Truth.Pieces, -1: none
}

// pulse is when each 16th of a stretch of song falls.
type pulse struct {
	from float64 // quarters
	when []float64
}

const ticks = 4 // of a pulse in a quarter

// at returns when a place falls; beyond the ends it goes on in the same tempo.
func (p pulse) at(quarters float64) float64 {
	x := (quarters - p.from) * ticks
	i := min(max(int(math.Floor(x)), 0), len(p.when)-2)
	return p.when[i] + (x-float64(i))*(p.when[i+1]-p.when[i])
}

// shifted returns the same pulse later.
func (p pulse) shifted(seconds float64) pulse {
	out := pulse{p.from, make([]float64, len(p.when))}
	for i, w := range p.when {
		out.when[i] = w + seconds
	}
	return out
}

// player is somebody playing: the tempo wanders on from run to run.
type player struct {
	Habits
	r     *rand.Rand
	drift float64
}

// beat draws when the 16ths of [from, to) quarters fall, the first at start.
func (p *player) beat(s *Song, from, to, start float64) pulse {
	n := int(math.Ceil((to - from) * ticks))
	out := pulse{from, make([]float64, n+1)}
	out.when[0] = start
	memory := math.Pow(p.Memory, 1.0/ticks)
	for i := range n {
		p.drift = memory*p.drift + p.Walk*math.Sqrt(1-memory*memory)*p.r.NormFloat64()
		slow := 0.0
		if at := from + float64(i)/ticks; s.lastOfSection(int(at) / s.Meter.Quarters) {
			slow = p.EndSlow * math.Mod(at, float64(s.Meter.Quarters)) / float64(s.Meter.Quarters)
		}
		length := 60 / ticks / (s.BPM * p.Tempo) * (1 + p.drift + slow)
		out.when[i+1] = out.when[i] + math.Max(length, 0.02)
	}
	return out
}

// swung returns where a written place is played: the second eighth of a quarter
// late by swing, what is around it in proportion.
func swung(at, swing float64) float64 {
	whole := math.Floor(at)
	x := at - whole
	if x < 0.5 {
		return whole + x*(1+2*swing)
	}
	return whole + 0.5 + swing + (x-0.5)*(1-2*swing)
}

// planned is a note somebody is about to play.
type planned struct {
	Note
	id    int // index into Song.Notes, -1: not of the song
	wrong bool
	late  float64 // seconds
}

// play plays notes along a pulse.
func (p *player) play(s *Song, notes []planned, beat pulse) (out []Sounded) {
	var stroke float64
	last := Note{At: -1}
	swing := s.Swing
	if !s.Meter.Compound {
		swing += p.Swing
	}
	for _, n := range notes {
		if n.At != last.At || n.Part != last.Part { // one hand, one stroke
			stroke = p.Jitter * p.r.NormFloat64()
		}
		last = n.Note
		jitter := stroke
		if n.Spread == 0 {
			jitter += 0.2 * p.Jitter * p.r.NormFloat64()
		}
		at := beat.at(swung(n.At, swing)) + n.Spread*p.Spread + jitter + n.late
		length := beat.at(n.At+n.Length) - beat.at(n.At)
		v := Sounded{At: at, Length: length, Pitch: n.Pitch, Loud: n.Loud * (1 + p.Force*(2*p.r.Float64()-1)), Part: n.Part, Note: n.id, Wrong: n.wrong, Piece: -1}
		if p.r.Float64() < p.Miss {
			continue
		}
		if n.Part != Drum && p.r.Float64() < p.Slip {
			v.Pitch += []int{-2, -1, 1, 2, 3, -3}[p.r.IntN(6)]
			v.Wrong = true
		}
		out = append(out, v)
		if !n.Part.Sings() && n.Part.Filmed() && p.r.Float64() < p.Extra {
			v.At, v.Note = v.At+0.08+0.25*p.r.Float64(), -1
			v.Pitch += []int{-12, -5, 0, 2, 7, 12}[p.r.IntN(6)]
			out = append(out, v)
		}
	}
	return out
}
