package cut

import (
	"math/rand/v2"
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

// drawRequest is randomRequest under rapid.
func drawRequest(t *rapid.T, beats, candidates int) Request {
	return randomRequest(rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 0)), beats, candidates)
}

// randomRequest makes a small film with everything that can go wrong: uneven and
// long beats, silence before and after, rests, words, paces, must-sees, bending
// maps, several stretches of one pass, missing picture, other keys, odd frame
// rates, scores that change every few tenths of a second.
func randomRequest(rng *rand.Rand, beats, candidates int) Request {
	between := func(low, high float64) float64 { return low + (high-low)*rng.Float64() }
	song := &film.Song{BeatsPerBar: 3 + rng.IntN(2)}
	at := between(0, 1)
	for i := 0; i < beats; i++ {
		song.Beats = append(song.Beats, film.Beat{At: film.SongTime(at), InBar: i % song.BeatsPerBar})
		at += between(0.3, 1.3)
	}
	song.Duration = film.SongTime(at + 0.3)
	song.Music = film.SongSpan{From: song.Beats[0].At, To: song.Duration - film.SongTime(between(0, 1))}
	half := song.Beats[beats/2].At
	song.Sections = []film.Section{
		{Name: "A1", Letter: "A", Span: film.SongSpan{From: song.Music.From, To: half}},
		{Name: "B1", Letter: "B", Span: film.SongSpan{From: half, To: song.Music.To}, PaceS: []float64{0, 1, 2.5}[rng.IntN(3)]},
	}
	song.Lines = []film.Line{
		{Section: 0, Number: 1, Span: song.Sections[0].Span}, {Section: 1, Number: 1, Span: song.Sections[1].Span},
	}
	if rng.IntN(2) == 0 {
		song.Rests = []film.Rest{{At: film.SongTime(between(0, at)), Breath: true}}
		from := film.SongTime(between(0, at))
		song.Lines[0].Words = []film.Word{{Span: film.SongSpan{From: from, To: from + 1}, Text: "wall"}}
	}
	if rng.IntN(2) == 0 {
		from := film.SongTime(between(0, at))
		song.MustSee = []film.MustSee{{Span: film.SongSpan{From: from, To: from + 0.6}, Shows: []film.Shows{film.ShowsHands, film.ShowsLips}[rng.IntN(2)], Before: 5}}
	}
	served, turned, safe := wide, face, hands
	served.Serves = []string{"B"}
	angle := 20.0
	turned.Name, turned.AngleDeg = "turned", &angle
	safe.Safety = true
	setups := []film.Setup{served, hands, face, lamp, {}, turned, safe}
	rates := []film.Rate{{Num: 25, Den: 1}, {Num: 24, Den: 1}, {Num: 30000, Den: 1001}, {Num: 50, Den: 1}, {}}

	r := Request{Song: song, Rate: rates[rng.IntN(3)]}
	for i := 0; i < candidates; i++ {
		var c Candidate
		if i > 0 && rng.IntN(4) == 0 {
			c = Candidate{Pass: r.Candidates[i-1].Pass, Clip: r.Candidates[i-1].Clip, Setup: r.Candidates[i-1].Setup, Segment: r.Candidates[i-1].Segment + 1}
		} else {
			c.Clip = film.Clip{
				ID: int64(i + 1), File: string(rune('a'+i)) + ".mp4",
				Rate:         rates[rng.IntN(len(rates))],
				Variable:     rng.IntN(5) == 0,
				PictureStart: film.PassTime(between(0, 6)),
			}
			c.Pass = c.Clip.File
			c.Clip.PictureEnd = c.Clip.PictureStart + film.PassTime(between(0.5, 14))
			c.Setup = setups[rng.IntN(len(setups))]
			c.Semitones = []int{0, 0, -1}[rng.IntN(3)]
		}
		knot := film.Knot{Song: film.SongTime(between(0, 2)), Pass: film.PassTime(between(1, 5))}
		c.Map = &film.Segment{}
		for n := 2 + rng.IntN(5); n > 0; n-- {
			c.Map.Knots = append(c.Map.Knots, knot)
			c.Map.ErrorMS = append(c.Map.ErrorMS, between(1, 60))
			step := between(0.2, 3)
			knot.Song += film.SongTime(step)
			knot.Pass += film.PassTime(step * between(0.93, 1.07))
		}
		scores := make([]float64, 8)
		for k := range scores {
			scores[k] = []float64{0, 0.3, 0.49, 0.6, 0.9, 1}[rng.IntN(6)]
		}
		c.Agreement = agreement(song.Duration, func(at film.SongTime) float64 {
			if !c.Map.SongSpan().Holds(at) {
				return 0
			}
			return scores[int(at/0.7)%len(scores)]
		})
		if rng.IntN(3) == 0 {
			c.Picture = &film.Grades{First: 10, Score: scores}
			c.Framing = &film.Grades{Score: scores[2:]}
		}
		r.Candidates = append(r.Candidates, c)
	}
	r.Options = Options{
		MinShot: 0.9, WantShot: 1.8, MaxShot: 3,
		MaxSpeed:         []float64{0, 0.02}[rng.IntN(2)],
		AnticipateFrames: []int{0, 2, -1}[rng.IntN(3)],
		HandleFrames:     []int{0, 0, 6}[rng.IntN(3)],
	}
	return r
}

// randomPins draws none to three pins of all kinds.
func randomPins(rng *rand.Rand, r Request) (pins []film.Pin) {
	kinds := []film.PinKind{film.PinShowPass, film.PinShowSetup, film.PinNotPass, film.PinNotSetup, film.PinCut, film.PinNoCut, film.PinOverrule}
	for n := rng.IntN(4); n > 0; n-- {
		c := r.Candidates[rng.IntN(len(r.Candidates))]
		beat := rng.IntN(len(r.Song.Beats))
		from := r.Song.Beats[beat].At
		if rng.IntN(3) == 0 {
			from += film.SongTime(rng.Float64())
		}
		pins = append(pins, film.Pin{
			ID: int64(n), Kind: kinds[rng.IntN(len(kinds))], Span: film.SongSpan{From: from, To: from + film.SongTime(0.2+2*rng.Float64())},
			Pass: c.Pass, Name: c.Setup.Name, Strong: rng.IntN(3) == 0,
		})
		if p := &pins[len(pins)-1]; p.Kind == film.PinShowPass && rng.IntN(2) == 0 { // laid by hand
			at := c.Map.PassAt(from) + film.PassTime(0.1*(rng.Float64()-0.5))
			p.Source, p.Speed = &at, []float64{0, 1, 1.01}[rng.IntN(3)]
		}
	}
	return pins
}

func mustSolve(t testing.TB, r Request) film.Cut {
	t.Helper()
	c, err := Solve(t.Context(), r)
	if err != nil {
		t.Fatal(err)
	}
	return c
}
