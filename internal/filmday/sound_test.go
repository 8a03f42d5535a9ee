package filmday

import (
	"math"
	"slices"
	"testing"

	"takeweave/internal/dsp"
)

// attackNear returns when the treble rises most within 40 ms of a time: the power
// of 5 ms after less that of 5 ms before, each millisecond.
func attackNear(x []float32, at float64) float64 {
	level := func(from int) float64 {
		var sum float64
		for i := max(0, from); i < min(len(x), from+Rate/200); i++ {
			if i >= 2 {
				d := float64(x[i] - 2*x[i-1] + x[i-2])
				sum += d * d
			}
		}
		return sum
	}
	best, where := 0.0, at
	for d := -0.04; d < 0.04; d += 0.001 {
		i := int((at + d) * Rate)
		if rise := level(i) - level(i-Rate/200); rise > best {
			best, where = rise, at+d
		}
	}
	return where
}

// alone returns the notes with no other within 0.15 s before and 0.06 s after.
func alone(notes []Sounded) (out []Sounded) {
	for i, n := range notes {
		if (i == 0 || n.At-notes[i-1].At > 0.15) && (i+1 == len(notes) || notes[i+1].At-n.At > 0.06) {
			out = append(out, n)
		}
	}
	return out
}

func TestSoundsLieWhereTheTruthSays(t *testing.T) {
	for _, style := range []Style{Picked, Keys, BassLine} {
		r := chance(uint64(style) + 1)
		s := NewSong(r, SongOptions{Seconds: 40, Key: 45, Meter: Meter{Quarters: 4}, BPM: 80, Style: style, Tune: NoTune})
		o := RecordOptions{LeadIn: 0.5, Habits: AnyHabits(r)}
		rec := NewRecord(r, s, o)
		p := AnyPlan(r, s)
		p.Talk = 0
		cam := plain
		cam.PPM, cam.Room.Distance, cam.From = 100, 4, 0.7
		pass := rec.Perform(r, p).Film(r, cam)
		if want := 4 / 343.0 * 1000; math.Abs(pass.Truth.DelayMS-want) > 0.05 { // whole samples
			t.Errorf("4 m delay by %.2f ms, want %.2f", pass.Truth.DelayMS, want)
		}
		slices.SortFunc(rec.Meant, func(a, b Sounded) int { return int(math.Copysign(1, a.At-b.At)) })
		for _, c := range []struct {
			name  string
			x     []float32
			notes []Sounded
		}{{"record", rec.Sound.Samples, rec.Meant}, {"pass", pass.Sound.Samples, pass.Truth.Heard}} {
			var off []float64
			for _, n := range alone(c.notes) {
				off = append(off, 1000*(attackNear(c.x, n.At)-n.At))
			}
			slices.Sort(off)
			// The detector steps by 1 ms and attacks take up to 5; the lowest bass notes
			// have periods of 12 ms.
			tail := 12.0
			if style == BassLine {
				tail = 20
			}
			if n := len(off); n < 20 || math.Abs(off[n/2]) > 4 || off[n/10] < -tail || off[n*9/10] > tail {
				t.Errorf("style %d, %s: of %d attacks half lie within %.1f ms, nine tenths from %.1f to %.1f", style, c.name, n, off[n/2], off[n/10], off[n*9/10])
			}
		}
	}
}

// Every instrument and the voice sound at the pitch that is written, at the
// tuning that is asked.
func TestPitchAndTuning(t *testing.T) {
	const cents, semitones = 30.0, 2
	for _, part := range []Part{Guitar, Piano, Bass, Voice, Hum} {
		x := make([]float32, Rate)
		note := Sounded{At: 0, Length: 0.9, Pitch: 57, Loud: 1, Part: part}
		if part.Sings() {
			v := newThroat(chance(3))
			v.vibrato, v.scoop = 0, 0
			v.utter(chance(3), x, syllables([]Sounded{note}, part, semitones+cents/100), 1)
		} else {
			newTimbre(chance(3), cents).add(chance(3), x, []Sounded{note}, semitones)
		}
		best, where := 0.0, 0.0
		for c := -200.0; c < 200; c += 2 {
			if v := strength(x[Rate/5:Rate*4/5], dsp.MIDIHz(59+cents/100+c/100)); v > best {
				best, where = v, c
			}
		}
		if math.Abs(where) > 6 { // the voice wanders a little
			t.Errorf("part %d sounds %.0f cents off", part, where)
		}
	}
}

func BenchmarkThreeMinutes(b *testing.B) {
	d := NewDay(1, 180)
	for i := 0; b.Loop(); i++ {
		d.Shoot("full", uint64(i))
	}
}
