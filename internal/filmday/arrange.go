package filmday

import (
	"math/rand/v2"
)

// figure is what the hands do in a bar: one number a slot.
type figure struct {
	style  Style
	unit   float64 // quarters a slot
	slots  []int
	gap    float64 // seconds between the strings of a strum
	accent float64
}

func newFigure(r *rand.Rand, style Style, m Meter, bpm float64) figure {
	f := figure{style: style, unit: 0.5, gap: 0.004 + 0.009*r.Float64(), accent: 0.15 + 0.35*r.Float64()}
	if bpm < 84 && r.IntN(3) == 0 {
		f.unit = 0.25
	}
	f.slots = make([]int, int(float64(m.Quarters)/f.unit))
	for i := range f.slots {
		f.slots[i] = r.IntN(7)
	}
	return f
}

// varied returns f with some slots changed.
func (f figure) varied(r *rand.Rand) figure {
	f.slots = append([]int(nil), f.slots...)
	for i := range f.slots {
		if r.IntN(4) == 0 {
			f.slots[i] = r.IntN(7)
		}
	}
	return f
}

// voicing returns the pitches of a chord as hands hold it, low to high.
func (s *Song) voicing(c Chord) []int {
	base := 40 + (s.Key+c.Root-40)%12
	return []int{base, base + 7, base + 12, base + 12 + c.Third, base + 19, base + 12 + c.Top}
}

// strong reports whether a place in a bar, in quarters, carries an accent.
func (m Meter) strong(at float64) bool {
	if m.Compound {
		return at == 0 || at == 1.5
	}
	return at == 0 || m.Quarters == 4 && at == 2
}

// accompany writes the hands' notes of a bar.
func (s *Song) accompany(r *rand.Rand, bar int, f figure) (out []Note) {
	all := s.Bars[bar].Chords
	thumb := 0
	for i, slot := range f.slots {
		at := float64(i) * f.unit
		t := s.voicing(all[i*len(all)/len(f.slots)])
		strong := s.Meter.strong(at)
		loud := 0.7 + 0.1*r.Float64()
		if strong {
			loud += f.accent
		}
		at += s.start(bar)
		note := func(pitch int, length, spread float64, part Part) {
			out = append(out, Note{at, length, pitch, loud, spread, part})
		}
		switch f.style {
		case Picked:
			if strong || at == float64(int(at)) && slot > 4 {
				note(t[thumb%2], 1.8, 0, Guitar)
				thumb++
			}
			if slot > 0 && (!strong || slot > 4) {
				note(t[1+slot%5], 1.4, 0, Guitar)
			}
		case Strummed:
			down := at == float64(int(at))
			switch {
			case down && (strong || slot > 1):
				for k, p := range t[:5+slot%2] {
					note(p, 1.2, f.gap*float64(k), Guitar)
				}
			case !down && slot > 3:
				loud *= 0.8
				for k := range 3 {
					note(t[5-k], 0.9, f.gap*float64(k), Guitar)
				}
			}
		case Keys:
			if strong {
				note(t[0], 1.9, 0, Piano)
			}
			switch {
			case slot > 4:
				for _, p := range t[2:5] {
					note(p, 1, 0.002*r.Float64(), Piano)
				}
			case slot > 1:
				note(t[1+slot]+12*(slot%2), 1, 0, Piano)
			}
		case BassLine:
			switch {
			case strong:
				note(t[0], 1, 0, Bass)
			case slot > 3:
				note([]int{t[0], t[1], t[0] + 12}[slot-4], 0.5, 0, Bass)
			}
		}
	}
	return out
}
