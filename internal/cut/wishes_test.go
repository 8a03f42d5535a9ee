package cut

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"takeweave/internal/film"
)

// generated is a film day of so many passes in six setups, two of a size, all
// with known angles, whose playing bends and disagrees here and there.
func generated(seed uint64, passes int) Request {
	rng := rand.New(rand.NewPCG(seed, 5))
	period := 0.4 + 0.4*rng.Float64()
	beats := int(120 / period)
	song := steadySong(beats, period)
	for i := range song.Beats {
		if i > 0 {
			song.Beats[i].At += film.SongTime(0.02 * (rng.Float64() - 0.5))
		}
	}
	paces := []float64{0, 3, 6, 4}
	for i, pace := range paces {
		from, to := song.Duration*film.SongTime(i)/4, song.Duration*film.SongTime(i+1)/4
		song.Sections = append(song.Sections, film.Section{Name: fmt.Sprintf("S%d", i), Letter: "S", Span: film.SongSpan{From: from, To: to}, PaceS: pace})
		song.Lines = append(song.Lines, film.Line{Section: i, Number: 1, Span: film.SongSpan{From: from, To: to}})
		song.Rests = append(song.Rests, film.Rest{At: from + film.SongTime(10.3*rng.Float64()+1), Breath: true})
	}
	deg := func(v float64) *float64 { return &v }
	setups := []film.Setup{
		{Name: "front", Size: film.SizeWide, Shows: film.ShowsBoth, AngleDeg: deg(0)},
		{Name: "front close", Size: film.SizeClose, Shows: film.ShowsLips, AngleDeg: deg(5)},
		{Name: "front mid", Size: film.SizeMid, Shows: film.ShowsBoth, AngleDeg: deg(10)},
		{Name: "left mid", Size: film.SizeMid, Shows: film.ShowsBoth, AngleDeg: deg(25)}, // beside front mid it jumps
		{Name: "neck", Size: film.SizeClose, Shows: film.ShowsHands, AngleDeg: deg(-15)}, // beside front close it jumps
		{Name: "right wide", Size: film.SizeWide, Shows: film.ShowsBoth, AngleDeg: deg(70)},
	}
	r := Request{Song: song, Rate: []film.Rate{{Num: 24, Den: 1}, at25, {Num: 30000, Den: 1001}}[rng.IntN(3)]}
	for p := range passes {
		c := steadyPass(int64(p+1), fmt.Sprintf("C%04d.MP4", p+1), setups[p%len(setups)], song, 8+5*rng.Float64())
		c.Clip.PictureEnd += 30
		c.Map = &film.Segment{}
		d := 8.0
		for at := 0.0; at < float64(song.Duration); at += 0.5 {
			c.Map.Knots = append(c.Map.Knots, film.Knot{Pass: film.PassTime(at + d), Song: film.SongTime(at)})
			c.Map.ErrorMS = append(c.Map.ErrorMS, 5+15*rng.Float64())
			d += 0.004 * (rng.Float64() - 0.5)
		}
		scores := make([]float64, beats)
		for i := range scores {
			if scores[i] = 0.85 + 0.14*rng.Float64(); i > 0 && rng.IntN(12) == 0 {
				scores[i] = 0.3 * rng.Float64()
			}
		}
		c.Agreement = agreement(song.Duration, func(t film.SongTime) float64 { return scores[min(int(t/3), beats-1)] })
		r.Candidates = append(r.Candidates, c)
	}
	return r
}

// Over generated film days: 95 % of the cuts fall within a frame of a beat or
// of a marked breath; the wanted lengths are met within a fifth; no neighbours
// break the rules of angle and size, since there always is an alternative.
func TestWishesAreMet(t *testing.T) {
	cuts, onBeat, jumps := 0, 0, 0
	for seed := range uint64(40) {
		r := generated(seed, 18)
		c := mustSolve(t, r)
		setups := map[string]film.Setup{}
		for _, k := range r.Candidates {
			setups[k.Setup.Name] = k.Setup
		}
		frame := r.Rate.FrameSeconds()
		for i, s := range c.Shots[1:] {
			cuts++
			at := float64(r.Rate.FrameStart(s.First))
			near := math.Inf(1)
			for _, b := range r.Song.Beats {
				near = min(near, math.Abs(at-float64(b.At)))
			}
			for _, b := range r.Song.Rests {
				near = min(near, math.Abs(at-float64(b.At)))
			}
			if near <= 1.5*frame { // one frame early, and half a frame of rounding
				onBeat++
			}
			before := setups[c.Shots[i].Setup]
			if before.CutTo(setups[s.Setup]) == film.ReadsAsJump || before.Name == s.Setup {
				jumps++
				t.Logf("day %d: %s to %s: %s", seed, c.Shots[i].Setup, s.Setup, s.Why)
			}
		}
		for i, sec := range r.Song.Sections {
			want := sec.PaceS
			if want == 0 {
				want = defaultWantShot
			}
			shots, seconds := 0, 0.0
			for _, s := range c.Shots {
				if sec.Span.Holds(r.Rate.FrameStart((s.First + s.End) / 2)) {
					shots++
					seconds += float64(s.End-s.First) * frame
				}
			}
			if mean := seconds / float64(max(1, shots)); math.Abs(mean/want-1) > 0.2 {
				t.Errorf("day %d, section %d: shots of %.2f s on average, %.1f s are wanted", seed, i, mean, want)
			}
		}
	}
	if jumps > 0 {
		t.Errorf("%d of %d cuts jump", jumps, cuts)
	}
	if share := float64(onBeat) / float64(cuts); share < 0.95 {
		t.Errorf("%.1f %% of %d cuts fall on a beat or a breath", 100*share, cuts)
	}
	t.Logf("%d cuts, %d on a beat or a breath, %d jumps", cuts, onBeat, jumps)
}

// What must be seen is shown by a setup that shows it, with the frames wanted
// before and after, in one shot.
func TestMustSeeIsSeen(t *testing.T) {
	r := fourPasses()
	r.Song.MustSee = []film.MustSee{
		{Span: film.SongSpan{From: 9.2, To: 10.1}, Shows: film.ShowsHands, Before: 10, After: 5},
		{Span: film.SongSpan{From: 20.3, To: 21}, Shows: film.ShowsLips},
	}
	c := mustSolve(t, r)
	for _, want := range []struct {
		pass     string
		from, to film.SongTime
	}{{"hands.mp4", 9.2 - 0.4, 10.1 + 0.2}, {"face.mp4", 20.3, 21}} {
		for f := at25.NearestFrame(want.from); f < at25.NearestFrame(want.to); f++ {
			if got := shownAt(c, f); got != want.pass {
				t.Errorf("frame %d shows %s, want %s", f, got, want.pass)
			}
		}
	}
}

// A weak beat inside a sung word is no place to cut from lips to lips.
func TestNoCutInsideAWord(t *testing.T) {
	r := fourPasses()
	other := face
	other.Name, other.Size = "other face", film.SizeClose
	r.Candidates = []Candidate{steadyPass(1, "face.mp4", face, r.Song, 3), steadyPass(2, "other.mp4", other, r.Song, 4)}
	inside := func(c film.Cut) (n int) {
		for _, s := range c.Shots[1:] {
			at := float64(c.At(s.First+1)) - 3.9
			if at = math.Mod(at, 4); at > 0 && at < 1.5 {
				n++
			}
		}
		return n
	}
	if n := inside(mustSolve(t, r)); n == 0 {
		t.Fatal("without words no cut falls there, so this shows nothing")
	}
	for at := film.SongTime(3.9); at < 30; at += 4 { // each holds a downbeat
		i := r.Song.LineAt(at)
		r.Song.Lines[i].Words = append(r.Song.Lines[i].Words, film.Word{Span: film.SongSpan{From: at, To: at + 1.5}, Text: "long"})
	}
	if n := inside(mustSolve(t, r)); n > 0 {
		t.Errorf("%d cuts fall inside a word", n)
	}
}

// The safety opens and closes the film.
func TestSafetyOpensAndCloses(t *testing.T) {
	r := fourPasses()
	r.Candidates[0].Setup.Safety = true
	c := mustSolve(t, r)
	if a, z := c.Shots[0].Pass, c.Shots[len(c.Shots)-1].Pass; a != "wide.mp4" || z != "wide.mp4" {
		t.Errorf("opens with %s, closes with %s", a, z)
	}
	for _, s := range c.Shots[1 : len(c.Shots)-1] {
		if s.Pass != "wide.mp4" {
			return
		}
	}
	t.Error("nothing but the safety is seen")
}

// The speed of a shot stays within what its setup allows, whatever the film
// allows.
func TestSpeedStaysWithinTheSetup(t *testing.T) {
	r := fourPasses()
	r.Options.MaxSpeed, r.Options.WantShot = 0.04, 8
	for i := range r.Candidates {
		r.Candidates[i].Map = &film.Segment{Knots: []film.Knot{{Pass: 4, Song: 0}, {Pass: 4 + 32*1.03, Song: 32}}}
		r.Candidates[i].Clip.PictureEnd = 60
	}
	fast := 0
	for _, s := range mustSolve(t, r).Shots {
		limit := 0.02 // lips show or may show
		if s.Pass == "hands.mp4" || s.Pass == "lamp.mp4" {
			limit = 0.04
		}
		if math.Abs(s.Speed-1) > limit+1e-9 {
			t.Errorf("%s runs at %.3f", s.Pass, s.Speed)
		}
		if s.Speed != 1 {
			fast++
		}
	}
	if fast == 0 {
		t.Error("no shot changes its speed")
	}
}

// With handles asked for, no shot touches the ends of its clip.
func TestHandles(t *testing.T) {
	r := fourPasses()
	r.Options.HandleFrames = 12
	r.Candidates[0].Clip.PictureStart = 3 // the wide begins with the song: no handle before it
	for _, s := range mustSolve(t, r).Shots {
		for _, k := range r.Candidates {
			if k.Pass == s.Pass && (s.SourceStart < k.Clip.PictureStart+0.48-1e-6 || float64(s.SourceStart)+float64(s.End-s.First)/25 > float64(k.Clip.PictureEnd)-0.48+1e-6) {
				t.Errorf("frames %d to %d of %s lack handles", s.First, s.End, s.Pass)
			}
		}
	}
}

// A pass whose picture is poor, or whose subject leaves the frame, gives way.
func TestPictureAndFraming(t *testing.T) {
	for _, framing := range []bool{false, true} {
		r := fourPasses()
		bad := &film.Grades{Score: make([]float64, 320)} // 0 up to 16 s
		if framing {
			r.Candidates[2].Framing = bad
		} else {
			r.Candidates[2].Picture = bad
		}
		late := false
		for _, s := range mustSolve(t, r).Shots {
			if s.Pass == "face.mp4" && s.First < 390 {
				t.Errorf("framing %v: frames %d to %d show it", framing, s.First, s.End)
			}
			late = late || s.Pass == "face.mp4"
		}
		if !late {
			t.Errorf("framing %v: it is not seen where it is good either", framing)
		}
	}
}

// An extract is the cut of its stretch alone, from frame 0, on the clock of the
// stretch.
func TestExtract(t *testing.T) {
	r := fourPasses()
	r.Span = film.SongSpan{From: 8.5, To: 24.5}
	r.Pins = []film.Pin{
		{ID: 1, Kind: film.PinShowPass, Pass: "lamp.mp4", Span: film.SongSpan{From: 12, To: 14}},
		{ID: 2, Kind: film.PinShowPass, Pass: "face.mp4", Span: film.SongSpan{From: 1, To: 3}}, // outside
	}
	c := mustSolve(t, r)
	if c.Frames != 400 || c.From != 8.5 || c.Shots[0].First != 0 || c.Shots[len(c.Shots)-1].End != 400 {
		t.Errorf("got %d frames from %.2f s, shots %+v", c.Frames, float64(c.From), c.Shots)
	}
	if got := shownAt(c, 112); got != "lamp.mp4" {
		t.Errorf("13 s shows %s", got)
	}
	for _, s := range c.Shots {
		offset := map[string]float64{"wide.mp4": 3, "hands.mp4": 4, "face.mp4": 5, "lamp.mp4": 6}[s.Pass]
		if want := float64(c.At(s.First)) + offset; math.Abs(float64(s.SourceStart)-want) > 0.0201 {
			t.Errorf("frame %d of %s shows %.3f, want %.3f", s.First, s.Pass, float64(s.SourceStart), want)
		}
	}
}
