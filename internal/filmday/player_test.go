package filmday

import (
	"math"
	"testing"
)

func TestSteadyPlayerKeepsTheTempo(t *testing.T) {
	s := NewSong(chance(1), SongOptions{Seconds: 60, Key: 45, Meter: Meter{Quarters: 4}, BPM: 120})
	p := &player{Habits: Habits{Tempo: 1.25, Memory: 0.9}, r: chance(2)}
	beat := p.beat(s, 0, s.Quarters(), 3)
	for q := 0.0; q < s.Quarters(); q += 0.3 {
		if got, want := beat.at(q), 3+q*60/150; math.Abs(got-want) > 1e-9 {
			t.Fatalf("quarter %v falls at %v, want %v", q, got, want)
		}
	}
}

func TestTempoSpreadAndSlowing(t *testing.T) {
	s := NewSong(chance(1), SongOptions{Seconds: 2000, Key: 45, Meter: Meter{Quarters: 4}, BPM: 100})
	p := &player{Habits: Habits{Tempo: 1, Walk: 0.04, Memory: 0.5}, r: chance(3)}
	beat := p.beat(s, 0, s.Quarters(), 0)
	var sum, squares, n float64
	for i := 1; i < len(beat.when); i++ {
		d := (beat.when[i]-beat.when[i-1])/0.15 - 1
		sum, squares, n = sum+d, squares+d*d, n+1
	}
	// 13000 ticks with a memory of some 6: about 1500 free draws.
	if spread := math.Sqrt(squares / n); math.Abs(spread-0.04) > 0.004 || math.Abs(sum/n) > 0.006 {
		t.Errorf("spread %.4f and mean %.4f of the tempo, want 0.04 and 0", spread, sum/n)
	}
	p = &player{Habits: Habits{Tempo: 1, EndSlow: 0.5, Memory: 0.5}, r: chance(3)}
	beat = p.beat(s, 0, s.Quarters(), 0)
	end := s.start(s.Sections[0].First + s.Sections[0].Bars)
	if first, last := beat.at(1)-beat.at(0), beat.at(end)-beat.at(end-1); last < 1.3*first {
		t.Errorf("the last quarter of a section lasts %.3f s, the first %.3f", last, first)
	}
}

func TestMissesAndSlips(t *testing.T) {
	s := NewSong(chance(4), SongOptions{Seconds: 900, Key: 45, Meter: Meter{Quarters: 4}, BPM: 120, Style: Keys, Tune: NoTune})
	p := &player{Habits: Habits{Tempo: 1, Memory: 0.5, Miss: 0.1, Slip: 0.2, Extra: 0.3}, r: chance(5)}
	all := s.written(0, s.Quarters())
	var own, wrong, extra float64
	for _, n := range p.play(s, all, p.beat(s, 0, s.Quarters(), 0)) {
		switch {
		case n.Note < 0:
			extra++
		case n.Wrong:
			wrong, own = wrong+1, own+1
			if n.Pitch == s.Notes[n.Note].Pitch {
				t.Error("a wrong note has the right pitch")
			}
		default:
			own++
			if n.Pitch != s.Notes[n.Note].Pitch {
				t.Error("a right note has another pitch")
			}
		}
	}
	total := float64(len(all)) // some thousand: shares are right to 3 %
	if got := 1 - own/total; math.Abs(got-0.1) > 0.03 {
		t.Errorf("%.3f left out, want 0.1", got)
	}
	if got := wrong / own; math.Abs(got-0.2) > 0.03 {
		t.Errorf("%.3f wrong, want 0.2", got)
	}
	if got := extra / own; math.Abs(got-0.3) > 0.03 {
		t.Errorf("%.3f more, want 0.3", got)
	}
}
