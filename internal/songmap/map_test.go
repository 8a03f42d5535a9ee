package songmap

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"takeweave/internal/dsp"
	"takeweave/internal/film"
)

func mapOf(t *testing.T, x []float32) film.Song {
	t.Helper()
	s, err := Map(context.Background(), dsp.Slice{Hz: rate, Samples: x}, nil)
	if err != nil {
		t.Fatal(err)
	}
	checkWhole(t, s)
	return s
}

// checkWhole asserts what holds of every map: beats cover the music, bars,
// sections and lines follow each other without gaps.
func checkWhole(t *testing.T, s film.Song) {
	t.Helper()
	if len(s.Beats) == 0 || len(s.Bars) == 0 || len(s.Sections) == 0 || len(s.Lines) == 0 {
		t.Fatalf("%d beats, %d bars, %d sections, %d lines", len(s.Beats), len(s.Bars), len(s.Sections), len(s.Lines))
	}
	for i := 1; i < len(s.Beats); i++ {
		if d := s.Beats[i].At - s.Beats[i-1].At; d < 0.1 || d > 4 {
			t.Errorf("beat %d follows after %.2f s", i, d)
		}
	}
	period := 3.0
	if s.TempoBPM > 0 {
		period = 2 * 60 / s.TempoBPM
	}
	first, last := float64(s.Beats[0].At), float64(s.Beats[len(s.Beats)-1].At)
	if first > float64(s.Music.From)+period || last < float64(s.Music.To)-period {
		t.Errorf("beats from %.2f to %.2f do not cover the music %+v", first, last, s.Music)
	}
	next := 0
	for i, b := range s.Bars {
		if b.FirstBeat != next || b.Count < 1 || b.Span.From != s.Beats[next].At {
			t.Fatalf("bar %d is %+v, wanted to begin with beat %d", i, b, next)
		}
		next += b.Count
	}
	if next != len(s.Beats) {
		t.Errorf("bars hold %d of %d beats", next, len(s.Beats))
	}
	whole := film.SongSpan{From: s.Beats[0].At, To: s.Music.To}
	at := whole.From
	for _, sec := range s.Sections {
		if sec.Span.From != at || sec.Span.Len() <= 0 {
			t.Errorf("section %+v should begin at %v", sec, at)
		}
		at = sec.Span.To
	}
	if at != whole.To {
		t.Errorf("sections end at %v, the music at %v", at, whole.To)
	}
	at = whole.From
	for _, l := range s.Lines {
		if l.Span.From != at || l.Span.Len() <= 0 || !s.Sections[l.Section].Span.Holds(l.Span.From) {
			t.Errorf("line %+v should begin at %v", l, at)
		}
		at = l.Span.To
	}
	if at != whole.To {
		t.Errorf("lines end at %v, the music at %v", at, whole.To)
	}
}

func beatsOf(s film.Song) (beats, downs []float64) {
	for _, b := range s.Beats {
		beats = append(beats, float64(b.At))
		if b.InBar == 0 {
			downs = append(downs, float64(b.At))
		}
	}
	return beats, downs
}

func boundariesOf(s film.Song) []float64 {
	out := []float64{float64(s.Sections[0].Span.From)}
	for _, sec := range s.Sections {
		out = append(out, float64(sec.Span.To))
	}
	return out
}

func TestInventedSongs(t *testing.T) {
	var sections, downs []float64
	for i, c := range []struct {
		name string
		form string
		style
	}{
		{"strummed", "ABAB", style{bpm: 92, perBar: 4, strum: true, melody: true, walk: 0.02, lead: 1.3, cents: 12}},
		{"picked, slow waltz", "ABCB", style{bpm: 84, perBar: 3, melody: true, walk: 0.02, cents: -18}},
		{"with drums", "ABAC", style{bpm: 118, perBar: 4, drums: true, melody: true, walk: 0.01, lead: 0.4}},
		{"free tempo, picked, nobody sings", "ABAB", style{bpm: 104, perBar: 4, walk: 0.06, lead: 2}},
		{"late start", "AB", style{bpm: 110, perBar: 4, strum: true, walk: 0.02, lead: 14}},
	} {
		t.Run(c.name, func(t *testing.T) {
			p := play(rand.New(rand.NewPCG(uint64(i), 11)), c.form, c.style)
			s := mapOf(t, p.sound)
			b, d := beatsOf(s)
			if f := fMeasure(p.beats, b, beatWindow); f < 0.9 {
				t.Errorf("beats F %.2f, want 0.9 (%.1f bpm found, %.1f played)", f, s.TempoBPM, c.bpm)
			}
			if s.BeatsPerBar != c.perBar {
				t.Errorf("%d beats in a bar, want %d", s.BeatsPerBar, c.perBar)
			}
			if math.Abs(s.TuningCents-c.cents) > 3 {
				t.Errorf("tuning %.1f cents, want %.1f", s.TuningCents, c.cents)
			}
			if math.Abs(float64(s.Music.From)-c.lead) > 0.1 {
				t.Errorf("music begins at %.2f, want %.2f", s.Music.From, c.lead)
			}
			if s.Sureness < 0.5 {
				t.Errorf("sureness %.2f", s.Sureness)
			}
			downs = append(downs, fMeasure(p.downs, d, beatWindow))
			sections = append(sections, fMeasure(p.sections, boundariesOf(s), nearSection))
		})
	}
	if f := mean(downs); f < 0.85 {
		t.Errorf("downbeats F %.2f %.2f, want 0.85 on average", f, downs)
	}
	if f := mean(sections); f < 0.75 {
		t.Errorf("sections F %.2f %.2f, want 0.75 on average", f, sections)
	}
}

func mean(x []float64) float64 {
	var sum float64
	for _, v := range x {
		sum += v / float64(len(x))
	}
	return sum
}

func TestRepeatsShareALetter(t *testing.T) {
	p := play(rand.New(rand.NewPCG(5, 5)), "ABAB", style{bpm: 120, perBar: 4, strum: true, melody: true, walk: 0.01})
	s := mapOf(t, p.sound)
	at := func(sec int) string { // the letter in the middle of a played section
		middle := film.SongTime((p.sections[sec] + p.sections[sec+1]) / 2)
		for _, x := range s.Sections {
			if x.Span.Holds(middle) {
				return x.Letter
			}
		}
		return "none"
	}
	if at(0) != at(2) || at(1) != at(3) || at(0) == at(1) {
		t.Errorf("letters %s %s %s %s for A B A B", at(0), at(1), at(2), at(3))
	}
}

func TestShortSong(t *testing.T) {
	p := play(rand.New(rand.NewPCG(8, 5)), "A", style{bpm: 100, perBar: 4, strum: true, walk: 0.01, lead: 0.2})
	s := mapOf(t, p.sound[:10*rate])
	b, _ := beatsOf(s)
	want := p.beats[:0:0]
	for _, x := range p.beats {
		if x < 10 {
			want = append(want, x)
		}
	}
	if f := fMeasure(want, b, beatWindow); f < 0.9 {
		t.Errorf("beats F %.2f, want 0.9", f)
	}
}

// Where there is no pulse the beats are an even grid and sureness says so.
func TestNoPulse(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	noise, held, silent, blip := make([]float32, 20*rate), make([]float32, 20*rate), make([]float32, 5*rate), make([]float32, 300)
	for i := range noise {
		noise[i] = float32(0.1 * r.NormFloat64())
		x := float64(i) / rate
		held[i] = float32(0.2 * (math.Sin(2*math.Pi*220*x) + math.Sin(2*math.Pi*277.2*x)) * math.Min(1, x/3))
	}
	for name, x := range map[string][]float32{"noise": noise, "a held chord": held, "silence": silent, "one blip": blip} {
		t.Run(name, func(t *testing.T) {
			s := mapOf(t, x)
			if s.Sureness != 0 || s.TempoBPM != 0 {
				t.Errorf("sureness %.2f at %.1f bpm, want none", s.Sureness, s.TempoBPM)
			}
		})
	}
}

func TestNothingToHear(t *testing.T) {
	if _, err := Map(context.Background(), dsp.Slice{Hz: rate}, nil); film.CodeOf(err) != film.CodeNoSound {
		t.Errorf("error %v", err)
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := Map(ctx, dsp.Slice{Hz: rate, Samples: make([]float32, 30*rate)}, nil); err != context.Canceled {
		t.Errorf("cancelled: error %v", err)
	}
}
