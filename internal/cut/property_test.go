package cut

import (
	"math"
	"reflect"
	"testing"

	"pgregory.net/rapid"

	"takeweave/internal/film"
	"takeweave/internal/hold"
)

// meanScore is the slow twin of chance: the mean of the score over a fine grid.
func meanScore(a *film.Agreement, span film.SongSpan) float64 {
	sum := 0.0
	const n = 2000
	for i := 0; i < n; i++ {
		v, _, _ := a.At(span.From + film.SongTime(span.Len()*(float64(i)+0.5)/n))
		sum += v
	}
	return sum / n
}

// fine is how exactly meanScore measures: one of its 2000 samples at each of
// the steps in a span of at most 1.3 s.
const fine = 30.0 / 2000

func TestChanceIsTheMeanScore(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a := &film.Agreement{First: rapid.IntRange(-5, 30).Draw(t, "first")}
		a.Score = rapid.SliceOfN(rapid.Float64Range(0, 1), 0, 30).Draw(t, "scores")
		a.Why, a.LateMS = make([]film.Why, len(a.Score)), make([]float64, len(a.Score))
		m := newMeter(a.First, a.Score, 0)
		from := rapid.Float64Range(0, 3).Draw(t, "from")
		span := film.SongSpan{From: film.SongTime(from), To: film.SongTime(from + rapid.Float64Range(0.05, 1.3).Draw(t, "length"))}
		if got, want := m.mean(span), meanScore(a, span); math.Abs(got-want) > fine {
			t.Fatalf("chance over %v: got %g, want %g", span, got, want)
		}
	})
}

func TestEveryCutKeepsTheRules(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := drawRequest(t, rapid.IntRange(3, 30).Draw(t, "beats"), rapid.IntRange(1, 5).Draw(t, "candidates"))
		c, err := Solve(t.Context(), r)
		if film.CodeOf(err) == film.CodeNoCoverage {
			t.Skip()
		}
		if err != nil {
			t.Fatal(err)
		}
		next := film.Frames(0)
		for _, s := range c.Shots {
			if s.First != next || s.End <= s.First || s.Why == "" {
				t.Fatalf("frame %d comes next, got %+v", next, s)
			}
			next = s.End
		}
		if want := r.Rate.FramesToHold(r.Song.Duration); next != want || c.Frames != want {
			t.Fatalf("the cut has %d frames and says %d, want %d", next, c.Frames, want)
		}
		for _, s := range c.Shots {
			if s.File == "" {
				checkHole(t, r, s)
				continue
			}
			checkPicture(t, r, s)
			checkHold(t, r, s)
			checkMoments(t, r, s)
		}
		if again, _ := Solve(t.Context(), r); !reflect.DeepEqual(c, again) {
			t.Fatalf("solved twice: %+v and %+v", c, again)
		}
	})
}

func candidateOf(r Request, s film.Shot) Candidate {
	for _, c := range r.Candidates {
		if c.Clip.ID == s.Clip && c.Segment == s.Segment {
			return c
		}
	}
	return Candidate{}
}

func span(r Request, s film.Shot) film.SongSpan {
	return film.SongSpan{From: r.Rate.FrameStart(s.First), To: r.Rate.FrameStart(s.End)}
}

// A hole has no picture: nowhere inside it could any candidate show a film frame.
func checkHole(t *rapid.T, r Request, s film.Shot) {
	for f := s.First; f < s.End; f++ {
		for _, c := range r.Candidates {
			from, to := c.Map.PassAt(r.Rate.FrameStart(f)), c.Map.PassAt(r.Rate.FrameStart(f+1))
			if from >= c.Clip.PictureStart && to <= c.Clip.PictureEnd {
				t.Fatalf("hole %d to %d, but %s shows frame %d", s.First, s.End, c.Clip.File, f)
			}
		}
	}
}

// The clip has the frames, the start is one of them where they are regular, and
// the errors are what the map says.
func checkPicture(t *rapid.T, r Request, s film.Shot) {
	c := candidateOf(r, s)
	sp := span(r, s)
	last := float64(s.SourceStart) + s.Speed*sp.Len()
	if s.SourceStart < c.Clip.PictureStart-1e-9 || last > float64(c.Clip.PictureEnd)+1e-6 {
		t.Fatalf("shows %g to %g of a picture from %g to %g", float64(s.SourceStart), last, float64(c.Clip.PictureStart), float64(c.Clip.PictureEnd))
	}
	if c.Clip.Rate.Known() && !c.Clip.Variable {
		frame := float64(s.SourceStart-c.Clip.PictureStart) * c.Clip.Rate.PerSecond()
		if math.Abs(frame-math.Round(frame)) > 1e-6 {
			t.Fatalf("starts at frame %g of its clip", frame)
		}
	}
	worst := 0.0
	for i := 0; i <= 100; i++ {
		at := sp.From + film.SongTime(sp.Len()*float64(i)/100)
		shown := float64(s.SourceStart) + s.Speed*float64(at-sp.From)
		worst = math.Max(worst, math.Abs(float64(c.Map.PassAt(at))-shown))
	}
	if worst*1000 > s.HoldErrorMS+sameMS {
		t.Fatalf("parts by %g ms, says %g", worst*1000, s.HoldErrorMS)
	}
}

// A shot that does not hold could not be replaced whole by one that does.
func checkHold(t *rapid.T, r Request, s film.Shot) {
	holds := func(c Candidate) bool {
		tol := c.Setup.SyncTolerance()
		return hold.New(c.Map).Best(span(r, s), tol, r.Options.MaxSpeed).Within(tol)
	}
	if holds(candidateOf(r, s)) {
		return
	}
	for _, c := range r.Candidates {
		if holds(c) && c.Semitones == 0 && reaches(c, span(r, s)) && meanOverSteps(c, span(r, s)) >= film.Agrees {
			t.Fatalf("%s (%d) does not hold: %s; %s (%d) would", s.File, s.Segment, s.Why, c.Clip.File, c.Segment)
		}
	}
}

// meanOverSteps is the lowest score in a span: no beat in it can be lower.
func meanOverSteps(c Candidate, sp film.SongSpan) float64 {
	low := 1.0
	for t := sp.From - 0.1; t < sp.To+0.15; t += film.AgreementStep / 2 {
		v, _, _ := c.Agreement.At(t)
		low = math.Min(low, v)
	}
	return low
}

// reaches reports whether the picture of c covers a span with some to spare.
func reaches(c Candidate, sp film.SongSpan) bool {
	const spare = 0.3 // seconds: more than any slip or anticipation moves a shot
	return c.Map.PassAt(sp.From-spare) >= c.Clip.PictureStart && c.Map.PassAt(sp.To+spare) <= c.Clip.PictureEnd
}

// No beat of the shot is refused where another pass agrees, and a shot with a
// refused beat is never called good.
func checkMoments(t *rapid.T, r Request, s film.Shot) {
	c := candidateOf(r, s)
	beats := r.Song.Beats
	sp := span(r, s)
	const edge = 0.2 // seconds: beats so near the shot's ends may be the neighbour's
	for i := 0; i+1 < len(beats); i++ {
		beat := film.SongSpan{From: beats[i].At, To: beats[i+1].At}
		if beat.From < sp.From-0.05 || beat.To > sp.To-0.0 || beat.From < edge || beat.To > r.Song.Music.To-edge {
			continue
		}
		parts := []film.SongSpan{beat}
		if beat.Len() > longBeat {
			middle := (beat.From + beat.To) / 2
			parts = []film.SongSpan{{From: beat.From, To: middle}, {From: middle, To: beat.To}}
		}
		for _, part := range parts {
			if meanScore(c.Agreement, part) >= film.Agrees-fine {
				continue
			}
			if s.Agreement >= film.Agrees || s.Worst >= film.Agrees {
				t.Fatalf("agreement %g, worst %g, with a refused beat at %v", s.Agreement, s.Worst, part)
			}
			for _, o := range r.Candidates {
				if meanScore(o.Agreement, part) >= film.Agrees+fine && reaches(o, part) {
					t.Fatalf("beat at %v is refused in %s (%s), but agrees in %s", part, s.File, s.Why, o.Clip.File)
				}
			}
		}
	}
}
