package handover

import (
	"bytes"
	"math"
	"strings"
	"testing"

	"takeweave/internal/film"
)

// aSong is ten seconds with music from 1 to 9 and two lines.
func aSong() film.Song {
	s := film.Song{Duration: 10, Music: film.SongSpan{From: 1, To: 9}, Sections: []film.Section{{Name: "A1", Letter: "A", Span: film.SongSpan{From: 1, To: 9}}}}
	s.Lines = []film.Line{{Section: 0, Number: 1, Span: film.SongSpan{From: 1, To: 5}}, {Section: 0, Number: 2, Span: film.SongSpan{From: 5, To: 9}}}
	for i := range 8 {
		s.Beats = append(s.Beats, film.Beat{At: film.SongTime(1 + i), InBar: i % 4})
	}
	return s
}

func aCut() film.Cut {
	return film.Cut{Rate: film.Rate{Num: 25, Den: 1}, Shape: "16:9", Frames: 250, Shots: []film.Shot{
		{First: 0, End: 125, Clip: 1, File: "C0001.MP4", Setup: "wide", Speed: 1, HoldErrorMS: 10, MapErrorMS: 20, Agreement: 0.9, Worst: 0.8, Why: "agrees"},
		{First: 125, End: 200, Clip: 2, File: "<C0002>.MP4", Setup: "hands", Speed: 1, HoldErrorMS: 30, MapErrorMS: 40, Agreement: 0.2, Worst: 0.1, Why: "nothing agrees here"},
		{First: 200, End: 250, Speed: 1, Why: "nothing was filmed"},
	}}
}

func TestFiguresByHand(t *testing.T) {
	f := FiguresOf(aCut(), aSong())
	// Music lasts 8 s: 4 s agree (1 to 5), 3 s do not, 1 s has no picture.
	want := Figures{Shots: 3, Seconds: 10, MeanShot: 10.0 / 3, MedianShot: 3, Agreeing: 0.5, NotAgreeing: 1, Holes: 1, HoldMedianMS: 20, HoldWorstMS: 30, MapErrorP90MS: 30}
	f.MeanShot, want.MeanShot = math.Round(f.MeanShot*1e6), math.Round(want.MeanShot*1e6)
	if f != want {
		t.Errorf("got %+v, want %+v", f, want)
	}
	if got := FiguresOf(film.Cut{Rate: film.Rate{Num: 25, Den: 1}}, film.Song{}); got.Shots != 0 || got.Agreeing != 0 {
		t.Errorf("an empty cut: %+v", got)
	}
}

func TestRefusedStretches(t *testing.T) {
	a := film.Agreement{First: 20} // from 1 s
	add := func(n int, score float64, why film.Why) {
		for range n {
			a.Score, a.Why, a.LateMS = append(a.Score, score), append(a.Why, why), append(a.LateMS, 46)
		}
	}
	add(20, 0.9, film.WhyAgrees)    // to 2 s
	add(4, 0.1, film.WhyOtherNotes) // to 2.2 s
	add(16, 0.2, film.WhyLate)      // to 3 s
	add(20, 0.9, film.WhyAgrees)    // to 4 s
	add(9, 0.1, film.WhyNotPlaying) // 0.45 s: too short to tell of
	add(10, 0.51, film.WhyAgrees)   // to 4.95 s
	add(20, 0.49, film.WhyOtherKey) // to the end
	got := RefusedStretches(a)
	if len(got) != 2 {
		t.Fatalf("got %+v", got)
	}
	if s := got[0]; math.Abs(float64(s.Span.From)-2) > 1e-9 || math.Abs(float64(s.Span.To)-3) > 1e-9 || s.Why != film.WhyLate || math.Abs(s.Late-46) > 1e-9 {
		t.Errorf("first: %+v", s)
	}
	if s := got[1]; s.Why != film.WhyOtherKey || math.Abs(s.Span.Len()-1) > 1e-9 {
		t.Errorf("second: %+v", s)
	}
}

func TestReportSaysWhatMattersAndIsSafe(t *testing.T) {
	var out bytes.Buffer
	r := Report{
		Title: "slow ferry & co", Record: "song.wav", FilmFile: "film.mp4", Engine: "FFmpeg", Width: 640, Height: 360, Song: aSong(), Cut: aCut(), Stills: [][]byte{{1, 2, 3}, nil, nil},
		Passes: []PassReport{{Name: "<script>.MP4", LineUp: film.LineUp{Status: film.Refused, Reason: "not this song"}}},
	}
	if err := WriteReport(&out, r); err != nil {
		t.Fatal(err)
	}
	page := out.String()
	for _, want := range []string{"slow ferry &amp; co", "nothing agrees here", "nothing was filmed", "not this song", "&lt;script&gt;.MP4", "&lt;C0002&gt;.MP4", "data:image/jpeg;base64,AQID", "does not agree", "A1.2", "30 ms (± 40 ms)"} {
		if !strings.Contains(page, want) {
			t.Errorf("the page lacks %q", want)
		}
	}
	for _, bad := range []string{"<script>.MP4", "ZgotmplZ", "<no value>"} {
		if strings.Contains(page, bad) {
			t.Errorf("the page has %q", bad)
		}
	}
}

func TestClock(t *testing.T) {
	for in, want := range map[float64]string{0: "0:00.0", 59.96: "1:00.0", 64.24: "1:04.2", 3600: "60:00.0"} {
		if got := clock(in); got != want {
			t.Errorf("clock(%v) = %s, want %s", in, got, want)
		}
	}
}
