package cut

import (
	"math"
	"strings"
	"testing"

	"takeweave/internal/film"
)

var at25 = film.Rate{Num: 25, Den: 1}

// sameMS is the slack of comparisons in milliseconds: float rounding only.
const sameMS = 1e-6

// Three setups that agree everywhere, 32 s at 120 a minute, a wanted length of
// 4 s: cuts on downbeats one frame early, no setup beside itself, every shot
// between the limits.
func TestEverythingAgrees(t *testing.T) {
	song := steadySong(64, 0.5)
	c := mustSolve(t, Request{Song: song, Rate: at25, Shape: "16:9", Candidates: []Candidate{
		steadyPass(1, "a.mp4", wide, song, 3), steadyPass(2, "b.mp4", hands, song, 4), steadyPass(3, "c.mp4", face, song, 5),
	}})
	if c.Frames != 800 || c.Shape != "16:9" || c.Rate != at25 {
		t.Errorf("got %d frames, shape %s, rate %s", c.Frames, c.Shape, c.Rate)
	}
	if len(c.Shots) < 6 || len(c.Shots) > 9 {
		t.Errorf("got %d shots, want about 8 of 4 s", len(c.Shots))
	}
	for i, s := range c.Shots {
		if i > 0 && (s.First+1)%50 != 0 { // bars of 2 s are 50 frames
			t.Errorf("shot %d begins at frame %d, not one before a downbeat", i, s.First)
		}
		if i > 0 && s.Setup == c.Shots[i-1].Setup {
			t.Errorf("shots %d and %d are both %s", i-1, i, s.Setup)
		}
		if s.HoldErrorMS > sameMS || s.Speed != 1 || math.Abs(s.Agreement-0.97) > 1e-9 || math.Abs(s.Worst-0.97) > 1e-9 {
			t.Errorf("shot %d: %+v", i, s)
		}
	}
}

// A cut one frame before the beat at 2.000 s of 120 a minute, 24 frames a
// second, falls on frame 47: round(2 × 24) - 1.
func TestCutComesBeforeTheBeat(t *testing.T) {
	song := steadySong(16, 0.5)
	for _, c := range []struct {
		anticipate int
		want       film.Frames
	}{{1, 47}, {2, 46}, {0, 48}} {
		points := cutPoints(song, newClock(film.Rate{Num: 24, Den: 1}, film.SongSpan{To: song.Duration}), c.anticipate)
		if got := points[4]; got.frame != c.want || got.place != atDownbeat {
			t.Errorf("%d early: got %+v, want frame %d, a downbeat", c.anticipate, got, c.want)
		}
	}
}

// Each beat is rounded by itself: at 29.97 frames a second, 100 beats of 0.6 s
// never drift from k·0.6·30000/1001, rounded.
func TestBeatsDoNotDrift(t *testing.T) {
	song := steadySong(100, 0.6)
	rate := film.Rate{Num: 30000, Den: 1001}
	points := cutPoints(song, newClock(rate, film.SongSpan{To: song.Duration}), 0)
	for k := 1; k < 100; k++ {
		if want := film.Frames(math.Round(float64(k) * 600 * 30 / 1001)); points[k].frame != want {
			t.Errorf("beat %d: got frame %d, want %d", k, points[k].frame, want)
		}
	}
}

// At 40 a minute a beat lasts 1.5 s and is halved; silence is divided as well.
func TestLongBeatsAreHalved(t *testing.T) {
	song := steadySong(4, 1.5)
	points := cutPoints(song, newClock(at25, film.SongSpan{To: song.Duration}), 0)
	var got []film.Frames
	for _, p := range points {
		got = append(got, p.frame)
	}
	want := []film.Frames{0, 19, 38, 56, 75, 94, 113, 131, 150} // multiples of 18.75, halves up
	for i := range want {
		if i >= len(got) || got[i] != want[i] {
			t.Fatalf("got %v, want %v", got, want)
		}
	}
	if points[1].place != atOffBeat || points[2].place != atWeakBeat {
		t.Errorf("places %d and %d, want half-way and weak", points[1].place, points[2].place)
	}
}

// The only cheap pass plays other notes from beat 9 to 12 (4 to 6 s): there the
// other pass is seen although everything else speaks against it.
func TestRefusedMomentIsNeverUsed(t *testing.T) {
	song := steadySong(32, 0.5)
	good := except(steadyPass(1, "good.mp4", lamp, song, 3), 4, 6, 0.49)
	poor := except(steadyPass(2, "poor.mp4", hands, song, 4), 0, 16, 0.51)
	poor.Map.ErrorMS = []float64{200, 200}
	poor.Setup.Serves = []string{"elsewhere"}
	c := mustSolve(t, Request{Song: song, Rate: at25, Candidates: []Candidate{good, poor}})
	for _, s := range c.Shots {
		for f := s.First; f < s.End; f++ {
			if at := at25.FrameStart(f); at >= 4 && at < 5.96 && s.File != "poor.mp4" {
				t.Fatalf("frame %d shows %s: %s", f, s.File, s.Why)
			}
		}
	}
}

// Where nothing agrees the shot is the least bad, is marked, and says why.
func TestNothingAgrees(t *testing.T) {
	song := steadySong(32, 0.5)
	a := except(steadyPass(1, "a.mp4", wide, song, 3), 4, 8, 0.3)
	b := except(steadyPass(2, "b.mp4", wide, song, 4), 4, 8, 0.1)
	b.Setup.Name = "other wide"
	c := mustSolve(t, Request{Song: song, Rate: at25, Candidates: []Candidate{b, a}})
	for _, s := range c.Shots {
		touches := film.SongSpan{From: at25.FrameStart(s.First), To: at25.FrameStart(s.End)}.Overlap(film.SongSpan{From: 4.1, To: 7.9}) > 0
		if touches != (s.Agreement < film.Agrees) {
			t.Errorf("frames %d to %d: agreement %.2f: %s", s.First, s.End, s.Agreement, s.Why)
		}
		if touches && (s.File != "a.mp4" || !strings.Contains(s.Why, "other notes in every pass; least bad is a.mp4 (0.3")) {
			t.Errorf("frames %d to %d: %s: %s", s.First, s.End, s.File, s.Why)
		}
	}
}

// The picture begins 3 s into the song: before it is a hole, to the frame.
func TestHoleWhereNothingWasFilmed(t *testing.T) {
	song := steadySong(32, 0.5)
	a := steadyPass(1, "a.mp4", wide, song, -3)
	c := mustSolve(t, Request{Song: song, Rate: at25, Candidates: []Candidate{a}})
	hole := c.Shots[0]
	if hole.File != "" || hole.First != 0 || hole.End != 75 || hole.Why != "nothing was filmed for this moment" {
		t.Errorf("first shot: %+v, want a hole of 75 frames", hole)
	}
	if s := c.Shots[1]; s.File != "a.mp4" || math.Abs(float64(s.SourceStart)) > 1e-9 {
		t.Errorf("second shot: %+v, want a.mp4 from its first frame", s)
	}
}

// Two seconds of silence before and after the music: the line-up does not
// reach there, the picture does.
func TestSilenceIsCovered(t *testing.T) {
	song := steadySong(24, 0.5)
	for i := range song.Beats {
		song.Beats[i].At += 2
	}
	song.Duration += 4
	song.Music = film.SongSpan{From: 2, To: 14}
	a := steadyPass(1, "a.mp4", wide, song, 5)
	a.Map = &film.Segment{Knots: []film.Knot{{Pass: 7, Song: 2}, {Pass: 19, Song: 14}}}
	a = except(except(a, 0, 2, 0), 14, 16, 0)
	c := mustSolve(t, Request{Song: song, Rate: at25, Candidates: []Candidate{a}, Options: Options{WantShot: 2}})
	for _, s := range c.Shots {
		if s.File != "a.mp4" || s.Agreement < 0.9 {
			t.Errorf("frames %d to %d: %q agrees %.2f: %s", s.First, s.End, s.File, s.Agreement, s.Why)
		}
	}
}

// A pass in another key is seen only where no pass in the right key agrees,
// unless its picture shows no hands.
func TestOtherKey(t *testing.T) {
	song := steadySong(32, 0.5)
	low := steadyPass(1, "low.mp4", hands, song, 3)
	low.Semitones = -1
	right := except(except(steadyPass(2, "right.mp4", face, song, 4), 0, 16, 0.55), 8, 10, 0.2)
	r := Request{Song: song, Rate: at25, Candidates: []Candidate{low, right}}
	for _, s := range mustSolve(t, r).Shots {
		inside := at25.FrameStart(s.First) > 7.9 && at25.FrameStart(s.End) < 10.1
		if (s.File == "low.mp4") != inside {
			t.Errorf("frames %d to %d show %s: %s", s.First, s.End, s.File, s.Why)
		}
	}
	r.Candidates[0].Setup = lamp
	used := false
	for _, s := range mustSolve(t, r).Shots {
		used = used || s.File == "low.mp4" && s.First < 150
	}
	if !used {
		t.Error("a lamp in another key is as good as any, but was not used")
	}
}

// pass = song + 10.013 s at 25 frames a second: the clip's nearest frame is
// 13 ms before, so the picture comes 13 ms late and says so.
func TestWholeFramesOfTheClipAreCounted(t *testing.T) {
	song := steadySong(8, 0.5)
	r := Request{Song: song, Rate: at25, Candidates: []Candidate{steadyPass(1, "a.mp4", face, song, 10.013)}}
	s := mustSolve(t, r).Shots[0]
	if math.Abs(float64(s.SourceStart)-10) > 1e-9 || math.Abs(s.HoldErrorMS-13) > sameMS {
		t.Errorf("got start %.6f, error %.3f ms, want 10 and 13", float64(s.SourceStart), s.HoldErrorMS)
	}
	// Frames of 29.97 do not fall on those of the film: half a clip frame more.
	r.Candidates[0].Clip.Rate = film.Rate{Num: 30000, Den: 1001}
	s = mustSolve(t, r).Shots[0]
	offGrid := math.Abs(math.Mod(float64(s.SourceStart)*30000/1001+0.5, 1) - 0.5)
	own := math.Abs(float64(s.SourceStart)-10.013) * 1000
	if offGrid > 1e-6 || math.Abs(s.HoldErrorMS-own-1001.0/60) > sameMS {
		t.Errorf("got start %.6f, error %.3f ms, want a whole frame and %.3f", float64(s.SourceStart), s.HoldErrorMS, own+1001.0/60)
	}
	// A clip of uneven frames is not moved to any grid.
	r.Candidates[0].Clip.Variable = true
	if s = mustSolve(t, r).Shots[0]; math.Abs(float64(s.SourceStart)-10.013) > 1e-9 {
		t.Errorf("uneven clip: start %.6f, want 10.013", float64(s.SourceStart))
	}
}

// A close picture of hands played 1 % slow parts by 10 ms a second: 40 ms hold
// 4 s. With a second such pass the shots change in time; alone it hops; with a
// speed of 1 % it need not.
func TestShotsEndWhenTheyNoLongerHold(t *testing.T) {
	song := steadySong(48, 0.5)
	slow := func(id int64, file, setup string) Candidate {
		c := steadyPass(id, file, film.Setup{Name: setup, Size: film.SizeClose}, song, 4)
		c.Map = &film.Segment{Knots: []film.Knot{{Pass: 4, Song: 0}, {Pass: 28.24, Song: 24}}}
		return c
	}
	r := Request{Song: song, Rate: at25, Candidates: []Candidate{slow(1, "a.mp4", "hands"), slow(2, "b.mp4", "neck")}}
	for _, cands := range [][]Candidate{r.Candidates, r.Candidates[:1]} {
		alone := Request{Song: song, Rate: at25, Candidates: cands}
		for _, s := range mustSolve(t, alone).Shots {
			if s.End-s.First > 100 || strings.Contains(s.Why, "nothing holds") {
				t.Errorf("%d candidates: frames %d to %d: %s", len(cands), s.First, s.End, s.Why)
			}
		}
	}
	r.Candidates = r.Candidates[:1]
	r.Options.MaxSpeed = 0.01
	shots := mustSolve(t, r).Shots
	if len(shots) > 4 { // longer ones need a speed, of at most 1 %
		t.Errorf("with speed: got %d shots", len(shots))
	}
	for _, s := range shots {
		if math.Abs(s.Speed-1) > 0.01+1e-9 || strings.Contains(s.Why, "nothing holds") {
			t.Errorf("with speed %g: %s", s.Speed, s.Why)
		}
	}
}

// Nothing holds even for a second: the shot is used and says how far it parts.
func TestNothingHolds(t *testing.T) {
	song := steadySong(16, 0.5)
	a := steadyPass(1, "a.mp4", film.Setup{Name: "hands", Size: film.SizeClose}, song, 4)
	a.Map = &film.Segment{Knots: []film.Knot{{Pass: 4, Song: 0}, {Pass: 13.2, Song: 8}}} // 150 ms a second
	for _, s := range mustSolve(t, Request{Song: song, Rate: at25, Candidates: []Candidate{a}}).Shots {
		if !strings.Contains(s.Why, "nothing holds here: parts by ") || s.HoldErrorMS < 20 {
			t.Errorf("frames %d to %d: %.0f ms: %s", s.First, s.End, s.HoldErrorMS, s.Why)
		}
	}
}

// Two stretches of one pass are no change of picture: a third pass comes
// between them where it can.
func TestStretchesOfOnePassAreAJump(t *testing.T) {
	song := steadySong(48, 0.5)
	first, second := steadyPass(1, "a.mp4", wide, song, 3), steadyPass(1, "a.mp4", wide, song, 30)
	second.Segment = 1
	first.Clip.PictureEnd, second.Clip.PictureEnd = 60, 60
	other := steadyPass(2, "b.mp4", face, song, 4)
	shots := mustSolve(t, Request{Song: song, Rate: at25, Candidates: []Candidate{first, second, other}}).Shots
	for i := 1; i < len(shots); i++ {
		if shots[i].File == shots[i-1].File {
			t.Errorf("shots %d and %d are both of %s", i-1, i, shots[i].File)
		}
	}
}

// A setup meant for section B is seen there and not in A.
func TestSetupsServeTheirSections(t *testing.T) {
	song := steadySong(64, 0.5)
	song.Sections = []film.Section{
		{Name: "A1", Letter: "A", Span: film.SongSpan{To: 16}}, {Name: "B1", Letter: "B", Span: film.SongSpan{From: 16, To: 32}},
	}
	forA, forB, any := wide, face, lamp
	forA.Serves, forB.Serves = []string{"A"}, []string{"B1"}
	shots := mustSolve(t, Request{Song: song, Rate: at25, Candidates: []Candidate{
		steadyPass(1, "b.mp4", forB, song, 3), steadyPass(2, "any.mp4", any, song, 4), steadyPass(3, "a.mp4", forA, song, 5),
	}}).Shots
	seen := map[string]bool{}
	for _, s := range shots {
		inB := s.First >= 399
		if s.File == "a.mp4" && inB || s.File == "b.mp4" && !inB {
			t.Errorf("%s is seen from frame %d", s.File, s.First)
		}
		seen[s.File] = true
	}
	if !seen["a.mp4"] || !seen["b.mp4"] {
		t.Errorf("seen: %v", seen)
	}
}
