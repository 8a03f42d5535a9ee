package workbench

import (
	"math"
	"testing"

	"takeweave/internal/film"
)

// steady is a song of beats half a second long with two lines, and a pass that
// plays it 10 s later, at the tempo of the record up to 4 s and 5 % slower after.
func steady() (*film.Song, *film.Segment) {
	s := &film.Song{Duration: 9}
	for i := range 16 {
		s.Beats = append(s.Beats, film.Beat{At: 1 + film.SongTime(i)*0.5})
	}
	s.Lines = []film.Line{{Span: film.SongSpan{From: 1, To: 5}}, {Span: film.SongSpan{From: 5, To: 9}}}
	g := &film.Segment{
		Knots:   []film.Knot{{Pass: 11, Song: 1}, {Pass: 14, Song: 4}, {Pass: 19.25, Song: 9}},
		ErrorMS: []float64{20, 20, 20},
	}
	return s, g
}

func judged(score func(film.SongTime) (float64, film.Why)) *film.Agreement {
	a := &film.Agreement{First: 20}
	for t := film.SongTime(1); t < 9; t += film.AgreementStep {
		v, w := score(t + film.AgreementStep/2)
		a.Score, a.Why, a.LateMS = append(a.Score, v), append(a.Why, w), append(a.LateMS, 0)
	}
	return a
}

func TestRibbonFollowsTheBeats(t *testing.T) {
	song, g := steady()
	a := judged(func(at film.SongTime) (float64, film.Why) {
		switch {
		case at >= 3 && at < 3.5:
			return 0.1, film.WhyOtherNotes
		case at >= 6 && at < 6.5:
			return 0.65, film.WhyAgrees
		}
		return 0.95, film.WhyAgrees
	})
	r := ribbonOf(0, g, a, film.Setup{Size: film.SizeMid}, song)
	if r.First != 0 || len(r.Cells) != 16 {
		t.Fatalf("cells %d from beat %d", len(r.Cells), r.First)
	}
	for i, c := range r.Cells {
		want := "holds"
		switch i {
		case 4: // 3.0 s
			want = "refused"
		case 10: // 6.0 s
			want = "doubtful"
		}
		if c.State != want || (c.Why == "") != (want == "holds") {
			t.Errorf("beat %d: %+v, want %s", i, c, want)
		}
	}
	if r.Cells[4].Why != "other notes" {
		t.Errorf("reason %q", r.Cells[4].Why)
	}
	// From 5 s on the pass loses 50 ms a second; mid sizes bear 40 ms to either
	// side, so a shot holds 80/50 = 1.6 s. Our own arithmetic.
	if h := r.Cells[8].Hold; math.Abs(h-1.6) > 0.11 {
		t.Errorf("at 5 s a shot holds %g s", h)
	}
	// Line 2 goes from d = 10.05 to 10.25: its one slip is the middle.
	if l := r.Lays[1]; math.Abs(l.Slip-10.15) > 0.001 || l.WorstMS != 100 || l.Fits {
		t.Errorf("line 2: %+v", l)
	}
	if l := r.Lays[0]; math.Abs(l.Slip-10.025) > 0.001 || !l.Fits {
		t.Errorf("line 1: %+v", l)
	}
}

// Not judged is not holding, and a line-up that knows nothing is doubtful.
func TestRibbonNeverPromisesWhatIsNotKnown(t *testing.T) {
	song, g := steady()
	for _, c := range ribbonOf(0, g, nil, film.Setup{}, song).Cells {
		if c.State != "doubtful" || c.Why != "not judged yet" {
			t.Fatalf("not judged: %+v", c)
		}
	}
	g.ErrorMS = []float64{400, 400, 400}
	a := judged(func(film.SongTime) (float64, film.Why) { return 0.99, film.WhyAgrees })
	for _, c := range ribbonOf(0, g, a, film.Setup{}, song).Cells {
		if c.State == "holds" {
			t.Fatalf("an unsure line-up: %+v", c)
		}
	}
}
