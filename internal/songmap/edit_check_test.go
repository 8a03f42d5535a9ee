package songmap

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"takeweave/internal/dsp"
	"takeweave/internal/film"
)

func TestMapsPassCheck(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 3))
	noise := make([]float32, 10*rate)
	for i := range noise {
		noise[i] = float32(0.1 * r.NormFloat64())
	}
	for name, sound := range map[string][]float32{
		"silence": make([]float32, 5*rate),
		"blink":   make([]float32, rate/10),
		"noise":   noise,
		"song":    play(r, "AB", style{bpm: 96, perBar: 4, strum: true, melody: true, walk: 0.03, lead: 2.2}).sound,
		"waltz":   play(r, "ABA", style{bpm: 150, perBar: 3, melody: true, walk: 0.03}).sound,
	} {
		song, err := Map(context.Background(), dsp.Slice{Hz: rate, Samples: sound}, nil)
		if err != nil {
			t.Fatal(err)
		}
		if err := Check(song); err != nil {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// Cases that fail Check one by one, so that it does not pass everything.
func TestCheckFindsWhatIsBroken(t *testing.T) {
	for name, breakIt := range map[string]func(*film.Song){
		"music past the end":      func(s *film.Song) { s.Music.To = s.Duration + 1 },
		"no beats":                func(s *film.Song) { s.Beats = nil },
		"beats in disorder":       func(s *film.Song) { s.Beats[2].At = s.Beats[1].At },
		"a beat that is no time":  func(s *film.Song) { s.Beats[2].At = film.SongTime(math.NaN()) },
		"a beat past the music":   func(s *film.Song) { s.Beats[len(s.Beats)-1].At = s.Music.To },
		"a count that skips":      func(s *film.Song) { s.Beats[2].InBar = 3 },
		"a count too high":        func(s *film.Song) { s.BeatsPerBar = 3 },
		"bars of other beats":     func(s *film.Song) { s.Bars[1].Count = 2 },
		"a gap between lines":     func(s *film.Song) { s.Lines[1].Span.From = s.Beats[9].At },
		"a line off the beat":     func(s *film.Song) { s.Lines[0].Span.To += 0.01; s.Lines[1].Span.From += 0.01 },
		"lines that end early":    func(s *film.Song) { s.Lines[3].Span.To -= 0.1 },
		"a wrong number":          func(s *film.Song) { s.Lines[1].Number = 3 },
		"a section without lines": func(s *film.Song) { s.Lines[2].Section, s.Lines[3].Section = 0, 0 },
		"sections apart":          func(s *film.Song) { s.Sections[1].Span.From += 0.5 },
		"one name twice":          func(s *film.Song) { s.Sections[1].Name = "a1" },
		"no name":                 func(s *film.Song) { s.Sections[1].Name = " " },
		"a negative pace":         func(s *film.Song) { s.Sections[1].PaceS = -1 },
		"words of another text":   func(s *film.Song) { s.Lines[0].Text = "gone"; s.Lines[0].Words = spread("home", s.Lines[0].Span) },
		"words outside":           func(s *film.Song) { s.Lines[0].Text = "gone"; s.Lines[0].Words = spread("gone", s.Lines[1].Span) },
		"rests in disorder":       func(s *film.Song) { s.Rests = []film.Rest{{At: 3}, {At: 2}} },
		"a rest outside":          func(s *film.Song) { s.Rests = []film.Rest{{At: 99}} },
		"an empty must-see":       func(s *film.Song) { s.MustSee = []film.MustSee{{Span: film.SongSpan{From: 1, To: 1}, Shows: "lips"}} },
		"a must-see of nothing":   func(s *film.Song) { s.MustSee = []film.MustSee{{Span: film.SongSpan{From: 1, To: 2}}} },
	} {
		song := fourLines()
		if err := Check(song); err != nil {
			t.Fatal(err)
		}
		breakIt(&song)
		if film.CodeOf(Check(song)) != film.CodeFailed || Check(song) == nil {
			t.Errorf("%s passes", name)
		}
	}
}
