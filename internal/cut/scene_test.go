package cut

import (
	"testing"

	"pgregory.net/rapid"

	"takeweave/internal/film"
)

// steadySong has n beats of period seconds from time 0, in bars of four, all
// of it music.
func steadySong(n int, period float64) *film.Song {
	s := &film.Song{BeatsPerBar: 4, Duration: film.SongTime(float64(n) * period)}
	s.Music = film.SongSpan{To: s.Duration}
	for i := 0; i < n; i++ {
		s.Beats = append(s.Beats, film.Beat{At: film.SongTime(float64(i) * period), InBar: i % 4})
	}
	return s
}

// steadyPass is a pass played to the loudspeaker: pass = song + offset, agreeing
// everywhere, with picture well before and after.
func steadyPass(id int64, file string, setup film.Setup, song *film.Song, offset float64) Candidate {
	end := song.Duration
	return Candidate{
		Pass: file,
		Clip: film.Clip{
			ID: id, File: file, Setup: setup.Name, Rate: film.Rate{Num: 25, Den: 1},
			PictureEnd: film.PassTime(float64(end) + offset + 5),
		},
		Setup:     setup,
		Map:       &film.Segment{Knots: []film.Knot{{Pass: film.PassTime(offset), Song: 0}, {Pass: film.PassTime(float64(end) + offset), Song: end}}},
		Agreement: agreement(end, func(film.SongTime) float64 { return 0.97 }),
	}
}

// agreement tabulates a score over [0, end); what is under the limit has other notes.
func agreement(end film.SongTime, score func(film.SongTime) float64) *film.Agreement {
	a := &film.Agreement{}
	for t := film.SongTime(0); t < end-1e-9; t += film.AgreementStep {
		v := score(t + film.AgreementStep/2)
		why := film.WhyAgrees
		if v < film.Agrees {
			why = film.WhyOtherNotes
		}
		a.Score, a.Why, a.LateMS = append(a.Score, v), append(a.Why, why), append(a.LateMS, 0)
	}
	return a
}

// except lowers the agreement of a candidate to score inside [from, to).
func except(c Candidate, from, to film.SongTime, score float64) Candidate {
	whole := film.SongTime(len(c.Agreement.Score)) * film.AgreementStep
	old := c.Agreement
	c.Agreement = agreement(whole, func(t film.SongTime) float64 {
		if t >= from && t < to {
			return score
		}
		v, _, _ := old.At(t)
		return v
	})
	return c
}

var (
	wide  = film.Setup{Name: "wide", Size: film.SizeWide}
	hands = film.Setup{Name: "hands", Size: film.SizeClose, Shows: film.ShowsHands}
	face  = film.Setup{Name: "face", Size: film.SizeMid, Shows: film.ShowsLips}
	lamp  = film.Setup{Name: "lamp", Size: film.SizeInsert, Shows: film.ShowsNeither}
)

// drawRequest makes a small film with everything that can go wrong: uneven and
// long beats, silence before and after, bending maps, several stretches of one
// pass, missing picture, other keys, odd frame rates, scores that change every
// few tenths of a second.
func drawRequest(t *rapid.T, beats, candidates int) Request {
	song := &film.Song{BeatsPerBar: rapid.SampledFrom([]int{3, 4}).Draw(t, "metre")}
	at := rapid.Float64Range(0, 1).Draw(t, "first beat")
	for i := 0; i < beats; i++ {
		song.Beats = append(song.Beats, film.Beat{At: film.SongTime(at), InBar: i % song.BeatsPerBar})
		at += rapid.Float64Range(0.3, 1.3).Draw(t, "beat")
	}
	song.Duration = film.SongTime(at + 0.3)
	song.Music = film.SongSpan{From: song.Beats[0].At, To: song.Duration - film.SongTime(rapid.Float64Range(0, 1).Draw(t, "tail"))}
	half := song.Beats[beats/2].At
	song.Sections = []film.Section{
		{Name: "A1", Letter: "A", Span: film.SongSpan{From: song.Music.From, To: half}},
		{Name: "B1", Letter: "B", Span: film.SongSpan{From: half, To: song.Music.To}},
	}
	song.Lines = []film.Line{
		{Section: 0, Number: 1, Span: song.Sections[0].Span}, {Section: 1, Number: 1, Span: song.Sections[1].Span},
	}
	served := wide
	served.Serves = []string{"B"}
	setups := []film.Setup{served, hands, face, lamp, {}}
	rates := []film.Rate{{Num: 25, Den: 1}, {Num: 24, Den: 1}, {Num: 30000, Den: 1001}, {Num: 50, Den: 1}, {}}

	r := Request{Song: song, Rate: rates[rapid.IntRange(0, 2).Draw(t, "film rate")]}
	for i := 0; i < candidates; i++ {
		var c Candidate
		if i > 0 && rapid.IntRange(0, 3).Draw(t, "another stretch") == 0 {
			c = Candidate{Pass: r.Candidates[i-1].Pass, Clip: r.Candidates[i-1].Clip, Setup: r.Candidates[i-1].Setup, Segment: r.Candidates[i-1].Segment + 1}
		} else {
			c.Clip = film.Clip{
				ID: int64(i + 1), File: string(rune('a'+i)) + ".mp4",
				Rate:         rapid.SampledFrom(rates).Draw(t, "clip rate"),
				Variable:     rapid.IntRange(0, 4).Draw(t, "variable") == 0,
				PictureStart: film.PassTime(rapid.Float64Range(0, 6).Draw(t, "picture start")),
			}
			c.Pass = c.Clip.File
			c.Clip.PictureEnd = c.Clip.PictureStart + film.PassTime(rapid.Float64Range(0.5, 14).Draw(t, "picture length"))
			c.Setup = rapid.SampledFrom(setups).Draw(t, "setup")
			c.Semitones = rapid.SampledFrom([]int{0, 0, -1}).Draw(t, "semitones")
		}
		knot := film.Knot{
			Song: film.SongTime(rapid.Float64Range(0, 2).Draw(t, "map start")),
			Pass: film.PassTime(rapid.Float64Range(1, 5).Draw(t, "map start in the pass")),
		}
		c.Map = &film.Segment{}
		for n := rapid.IntRange(2, 6).Draw(t, "knots"); n > 0; n-- {
			c.Map.Knots = append(c.Map.Knots, knot)
			c.Map.ErrorMS = append(c.Map.ErrorMS, rapid.Float64Range(1, 60).Draw(t, "map error"))
			step := rapid.Float64Range(0.2, 3).Draw(t, "knot step")
			knot.Song += film.SongTime(step)
			knot.Pass += film.PassTime(step * rapid.Float64Range(0.93, 1.07).Draw(t, "slope"))
		}
		scores := rapid.SliceOfN(rapid.SampledFrom([]float64{0, 0.3, 0.49, 0.6, 0.9, 1}), 8, 8).Draw(t, "scores")
		c.Agreement = agreement(song.Duration, func(at film.SongTime) float64 {
			if !c.Map.SongSpan().Holds(at) {
				return 0
			}
			return scores[int(at/0.7)%len(scores)]
		})
		r.Candidates = append(r.Candidates, c)
	}
	r.Options = Options{
		MinShot: 0.9, WantShot: 1.8, MaxShot: 3,
		MaxSpeed:         rapid.SampledFrom([]float64{0, 0.02}).Draw(t, "max speed"),
		AnticipateFrames: rapid.SampledFrom([]int{0, 2, -1}).Draw(t, "anticipate"),
	}
	return r
}

func mustSolve(t testing.TB, r Request) film.Cut {
	t.Helper()
	c, err := Solve(t.Context(), r)
	if err != nil {
		t.Fatal(err)
	}
	return c
}
