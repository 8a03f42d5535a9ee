package filmday

import (
	"testing"
)

func TestStretchesArePlayedAsTheySay(t *testing.T) {
	s := NewSong(chance(1), SongOptions{Seconds: 60, Key: 45, Meter: Meter{Quarters: 4}, BPM: 100})
	const from, to = 4, 16
	own := s.written(s.start(from), s.start(to))
	type count struct{ own, wrong, added, late int }
	for how, want := range map[Playing]func(count) bool{
		AsWritten:  func(c count) bool { return c == count{own: len(own)} },
		Stopped:    func(c count) bool { return c == count{} },
		WrongNotes: func(c count) bool { return c.own+c.wrong == len(own) && c.wrong > len(own)/2 && c.added == 0 },
		Thinned:    func(c count) bool { return c.own < len(own)/2 && c.own > 0 && c.wrong+c.added == 0 },
		Busy:       func(c count) bool { return c.own == len(own) && c.added > len(own)/4 },
		SameChords: func(c count) bool { return c.own > 0 && c.own < len(own) && c.added > 0 }, // the voice stays
		Improvised: func(c count) bool { return c.own == 0 && c.added > len(own)/4 },
		OtherRiff:  func(c count) bool { return c.own == 0 && c.added > len(own)/4 },
		Late:       func(c count) bool { return c == count{own: len(own), late: len(own)} },
		Early:      func(c count) bool { return c == count{own: len(own), late: -len(own)} },
	} {
		x := AnyStretch(chance(2), how, from, to)
		x.Strength = 0.9
		var c count
		for _, n := range s.otherwise(chance(3), x, from, to) {
			switch {
			case n.id < 0:
				c.added++
			case n.wrong:
				c.wrong++
			default:
				c.own++
			}
			switch {
			case n.late > 0:
				c.late++
			case n.late < 0:
				c.late--
			}
			if n.At < s.start(from) || n.At >= s.start(to) {
				t.Errorf("%s: a note at %v", how, n.At)
			}
		}
		if !want(c) {
			t.Errorf("%s: %+v of %d notes", how, c, len(own))
		}
	}
}
