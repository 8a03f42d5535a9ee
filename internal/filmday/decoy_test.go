package filmday

import (
	"testing"
)

func TestDecoysAreOtherSongs(t *testing.T) {
	for seed := range uint64(12) {
		r := chance(seed)
		s := NewSong(r, AnySong(r, 60))
		if got := s.mostShared(s); got != 1 {
			t.Errorf("seed %d: a song shares %.2f with itself", seed, got)
		}
		d := s.decoy(r, true, true)
		if got := s.mostShared(d); got >= ShareNo {
			t.Errorf("seed %d: the decoy shares %.2f of its notes", seed, got)
		}
		if d.Key != s.Key || d.Meter != s.Meter || d.BPM < 0.9*s.BPM || d.BPM > 1.1*s.BPM {
			t.Errorf("seed %d: %+v is no decoy of %+v", seed, d.SongOptions, s.SongOptions)
		}
		for letter, loop := range s.Loops {
			if own, ok := d.Loops[letter]; ok && own[0] != loop[0] {
				t.Errorf("seed %d: section %c has other chords", seed, letter)
			}
		}
	}
}
