package filmday

import (
	"math/rand/v2"
)

// Section is a part of the form: P pickup, I intro, V verse, C chorus, B bridge,
// O outro.
type Section struct {
	Letter      byte
	First, Bars int
}

// Chord is a chord by its root, in semitones above the key.
type Chord struct {
	Root  int
	Third int // 3 minor, 4 major, 5 suspended
	Top   int // what is added above the octave: 12 nothing, 10 seventh, 14 ninth
}

func major(roots ...int) []Chord { return chords(4, roots) }

func chords(third int, roots []int) (out []Chord) {
	for _, root := range roots {
		out = append(out, Chord{root, third, 12})
	}
	return out
}

// minors makes the chords at the given places minor.
func minors(all []Chord, at ...int) []Chord {
	for _, i := range at {
		all[i].Third = 3
	}
	return all
}

// The loops of the trade, some with borrowed chords (common practice).
var (
	majorLoops = [][]Chord{
		minors(major(0, 7, 9, 5), 2), major(0, 5, 7, 0), minors(major(9, 5, 0, 7), 0), minors(major(0, 4, 5, 7), 1), minors(major(2, 7, 0, 9), 0, 3),
		minors(major(0, 9, 2, 7), 1, 2), major(0, 10, 5, 0), minors(major(0, 5, 5, 0), 2), minors(major(0, 4, 9, 5), 2), major(0, 8, 10, 0),
		minors(major(5, 0, 7, 9), 3), major(0, 0, 5, 7), major(0, 2, 5, 0), minors(major(0, 7, 2, 5), 2),
	}
	minorLoops = [][]Chord{
		minors(major(0, 8, 3, 10), 0), minors(major(0, 10, 8, 7), 0), minors(major(0, 5, 10, 3), 0, 1), minors(major(0, 7, 0, 10), 0, 1, 2),
		minors(major(0, 5, 8, 7), 0, 1), minors(major(0, 3, 5, 8), 0), minors(major(0, 10, 5, 0), 0, 3), minors(major(8, 10, 0, 0), 2, 3),
	}
)

var forms = []string{"IVCVCBCO", "VCVCBC", "IVVCVVCO", "VVBVO", "IVCVCO", "VBVB", "CVCV", "IVVV"}

// layOut draws the sections and bars.
func (s *Song) layOut(r *rand.Rand) {
	bars := int(s.Seconds*s.BPM/60/float64(s.Meter.Quarters) + 0.5)
	lengths := map[byte]int{'I': []int{2, 4}[r.IntN(2)], 'V': []int{8, 8, 8, 12, 16}[r.IntN(5)], 'C': []int{8, 8, 4}[r.IntN(3)], 'B': []int{4, 8}[r.IntN(2)], 'O': []int{2, 4}[r.IntN(2)]}
	form := forms[r.IntN(len(forms))]
	if s.Pickup {
		s.add(r, 'P', 1)
	}
	for i := 0; len(s.Bars) < max(bars, 4); i++ {
		letter := form[i%len(form)]
		if letter == 'I' && i > 0 || letter == 'O' && i+1 < len(form) {
			continue
		}
		s.add(r, letter, min(lengths[letter], max(bars-len(s.Bars), 2)))
	}
}

func (s *Song) add(r *rand.Rand, letter byte, bars int) {
	own := make(map[byte][]Chord, len(s.Loops)+1) // the caller's map stays as it is
	for k, v := range s.Loops {
		own[k] = v
	}
	s.Loops = own
	if s.Loops[letter] == nil {
		from := majorLoops
		if s.Minor {
			from = minorLoops
		}
		loop := append([]Chord(nil), from[r.IntN(len(from))]...)
		for i := range loop {
			if r.IntN(6) == 0 {
				loop[i].Top = []int{10, 14}[r.IntN(2)]
			}
			if r.IntN(16) == 0 {
				loop[i].Third = 5
			}
		}
		s.Loops[letter] = loop
	}
	loop := s.Loops[letter]
	first := len(s.Bars)
	twice := letter != 'P' && r.IntN(6) == 0 // two chords a bar
	for b := range bars {
		chord := []Chord{loop[b%len(loop)]}
		if twice && s.Meter.Quarters == 4 {
			chord = []Chord{loop[2*b%len(loop)], loop[(2*b+1)%len(loop)]}
		}
		s.Bars = append(s.Bars, Bar{chord, letter})
	}
	s.Sections = append(s.Sections, Section{letter, first, bars})
}

// lastOfSection reports whether bar ends a section.
func (s *Song) lastOfSection(bar int) bool {
	for _, p := range s.Sections {
		if bar == p.First+p.Bars-1 {
			return true
		}
	}
	return false
}
