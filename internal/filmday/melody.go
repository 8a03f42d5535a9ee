package filmday

import (
	"math"
	"math/rand/v2"
	"slices"
)

// scale returns the pitches of the key within [low, low+span].
func (s *Song) scale(low, span int) (out []int) {
	steps := []int{0, 2, 4, 5, 7, 9, 11}
	if s.Minor {
		steps = []int{0, 2, 3, 5, 7, 8, 10}
	}
	for p := low; p <= low+span; p++ {
		if slices.Contains(steps, ((p-s.Key)%12+12)%12) {
			out = append(out, p)
		}
	}
	return out
}

func (s *Song) mouth() Part {
	if s.Tune == Hummed {
		return Hum
	}
	return Voice
}

// melody writes the tune of a section, from 0 quarters on: lines of two bars,
// each with its own breath, moving in steps and small leaps.
func (s *Song) melody(r *rand.Rand, part Section, lowest int) (out []Note) {
	pitches := s.scale(lowest, 15)
	at, where := 0.0, len(pitches)/3
	total := float64(part.Bars * s.Meter.Quarters)
	for line := 0.0; line < total; line += float64(2 * s.Meter.Quarters) {
		at = line + []float64{0, 0, 0.5, 1}[r.IntN(4)]
		rest := []float64{0.5, 1, 1.5, 2}[r.IntN(4)]
		for end := math.Min(line+float64(2*s.Meter.Quarters)-rest, total); at < end; {
			length := math.Min([]float64{0.5, 0.5, 0.5, 1, 1, 1.5, 2}[r.IntN(7)], end-at)
			where += []int{-2, -1, -1, 0, 1, 1, 2, 3, -3}[r.IntN(9)]
			where = min(max(where, 0), len(pitches)-1)
			pitch := pitches[where]
			if s.Meter.strong(math.Mod(at, float64(s.Meter.Quarters))) { // on a chord note
				chord := s.Bars[part.First+int(at)/s.Meter.Quarters].Chords[0]
				pitch = nearest(pitches, s.voicing(chord), pitch)
				where = slices.Index(pitches, pitch)
			}
			out = append(out, Note{at, length * (0.85 + 0.13*r.Float64()), pitch, 0.8 + 0.2*r.Float64(), 0, s.mouth()})
			at += length
		}
	}
	return out
}

// otherWords returns a tune as the next verse has it: here a syllable more, there
// one less.
func otherWords(r *rand.Rand, tune []Note) (out []Note) {
	for _, n := range tune {
		switch r.IntN(12) {
		case 0: // none
			continue
		case 1: // two
			if n.Length >= 0.8 {
				n.Length /= 2
				out = append(out, n)
				n.At += n.Length
			}
		case 2:
			n.Pitch += []int{-2, 2}[r.IntN(2)]
		}
		out = append(out, n)
	}
	return out
}

// nearest returns the pitch nearest to the wanted one that is a note of a chord.
func nearest(pitches, chord []int, want int) int {
	best, distance := want, 100
	for _, p := range pitches {
		for _, c := range chord {
			if d := max(p-want, want-p); (p-c)%12 == 0 && d < distance {
				best, distance = p, d
			}
		}
	}
	return best
}

// pickup writes a few notes before the first full bar.
func (s *Song) pickup(r *rand.Rand, lowest int) (out []Note) {
	if s.Tune == NoTune {
		t := s.voicing(s.Bars[0].Chords[0])
		part := []Part{Guitar, Guitar, Piano, Bass}[s.Style]
		return []Note{{float64(s.Meter.Quarters) - 1, 0.5, t[2], 0.7, 0, part}, {float64(s.Meter.Quarters) - 0.5, 0.5, t[3], 0.7, 0, part}}
	}
	pitches := s.scale(lowest, 12)
	first := 1 + r.IntN(3)
	for i := range first {
		out = append(out, Note{float64(s.Meter.Quarters) - float64(first-i)/2, 0.45, pitches[min(i, len(pitches)-1)], 0.8, 0, s.mouth()})
	}
	return out
}
