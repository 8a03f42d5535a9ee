package filmday

import (
	"math/rand/v2"
)

// Playing is how a stretch is played.
type Playing string

// The ways. Late and Early are as written, but off by Stretch.Late.
const (
	AsWritten  Playing = "as written"
	WrongNotes Playing = "wrong notes"  // in the right rhythm
	SameChords Playing = "same chords"  // another pattern
	OtherRiff  Playing = "other riff"   // other chords, pattern and tune
	Thinned    Playing = "thinned"      // much is left out
	Busy       Playing = "busy"         // fills between
	Stopped    Playing = "stopped"      // nothing
	Late       Playing = "late"         // behind the beat around it
	Early      Playing = "early"        // before it
	NotPlayed  Playing = "not played"   // this pass does not have the place
	Improvised Playing = "free playing" // the chords, another pattern, another tune
)

// Otherwises are all ways but AsWritten and NotPlayed.
var Otherwises = []Playing{WrongNotes, SameChords, OtherRiff, Thinned, Busy, Stopped, Late, Early, Improvised}

// Stretch is a run of bars [From, To) played otherwise.
type Stretch struct {
	From, To int
	Playing  Playing
	Strength float64 // 0 hardly to 1 wholly
	Late     float64 // seconds, negative early
}

// AnyStretch draws how bars [from, to) are played.
func AnyStretch(r *rand.Rand, how Playing, from, to int) Stretch {
	x := Stretch{From: from, To: to, Playing: how, Strength: r.Float64()}
	switch how {
	case Late:
		x.Late = 0.05 + 0.09*r.Float64()
	case Early:
		x.Late = -0.05 - 0.09*r.Float64()
	}
	return x
}

// written returns the song's own notes of quarters [from, to).
func (s *Song) written(from, to float64) (out []planned) {
	for i, n := range s.Notes {
		if n.At >= from-1e-9 && n.At < to-1e-9 {
			out = append(out, planned{Note: n, id: i})
		}
	}
	return out
}

func added(notes []Note) (out []planned) {
	for _, n := range notes {
		out = append(out, planned{Note: n, id: -1})
	}
	return out
}

// otherwise returns what is played in a stretch, within bars [from, to) of it.
func (s *Song) otherwise(r *rand.Rand, x Stretch, from, to int) (out []planned) {
	own := s.written(s.start(from), s.start(to))
	switch x.Playing {
	case Stopped:
		return nil
	case Late, Early:
		for i := range own {
			own[i].late = x.Late
		}
		return own
	case WrongNotes:
		for _, n := range own {
			if r.Float64() < 0.4+0.6*x.Strength {
				n.Pitch += []int{-5, -4, -3, -2, -1, 1, 2, 3, 4, 5}[r.IntN(10)]
				n.wrong = true
			}
			out = append(out, n)
		}
	case Thinned:
		for _, n := range own {
			if r.Float64() > 0.35+0.55*x.Strength {
				out = append(out, n)
			}
		}
	case Busy:
		out = own
		for bar := from; bar < to; bar++ {
			out = append(out, added(s.fills(r, bar, 0.4+0.6*x.Strength))...)
		}
	case SameChords, Improvised:
		f := s.otherFigure(r, from, x.Strength)
		for bar := from; bar < to; bar++ {
			out = append(out, added(s.accompany(r, bar, f))...)
		}
		if x.Playing == SameChords {
			for _, n := range own {
				if n.Part.Sings() {
					out = append(out, n)
				}
			}
		} else if s.Tune != NoTune {
			out = append(out, added(s.tuneOver(r, from, to))...)
		}
	case OtherRiff:
		other := *s
		other.Loops = nil
		other.Bars = append([]Bar(nil), s.Bars...)
		loops := majorLoops
		if s.Minor {
			loops = minorLoops
		}
		loop := loops[r.IntN(len(loops))]
		for bar := from; bar < to; bar++ {
			other.Bars[bar].Chords = []Chord{loop[(bar+1)%len(loop)]}
		}
		f := newFigure(r, s.Style, s.Meter, s.BPM)
		for bar := from; bar < to; bar++ {
			out = append(out, added(other.accompany(r, bar, f))...)
		}
		if s.Tune != NoTune {
			out = append(out, added(other.tuneOver(r, from, to))...)
		}
	default:
		return own
	}
	return out
}

// otherFigure returns another pattern than the section's own, of another style
// where the instrument has one.
func (s *Song) otherFigure(r *rand.Rand, bar int, strength float64) figure {
	own := s.figures[s.Bars[bar].Letter]
	if strength < 0.3 && own.slots != nil {
		return own.varied(r).varied(r)
	}
	style := s.Style
	if (style == Picked || style == Strummed) && strength > 0.6 {
		style = Picked + Strummed - style
	}
	return newFigure(r, style, s.Meter, s.BPM)
}

// tuneOver writes another melody over bars.
func (s *Song) tuneOver(r *rand.Rand, from, to int) []Note {
	out := s.melody(r, Section{First: from, Bars: to - from}, 50+r.IntN(11))
	for i := range out {
		out[i].At += s.start(from)
	}
	return out
}

// fills writes quick notes between the others.
func (s *Song) fills(r *rand.Rand, bar int, share float64) (out []Note) {
	chord := s.voicing(s.Bars[bar].Chords[0])
	part := []Part{Guitar, Guitar, Piano, Bass}[s.Style]
	for e := range 4 * s.Meter.Quarters {
		if r.Float64() < share {
			out = append(out, Note{s.start(bar) + float64(e)/4, 0.4, chord[1+r.IntN(5)] + []int{0, 2, 12}[r.IntN(3)], 0.7, 0, part})
		}
	}
	return out
}
