package interchange

import (
	"math"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"takeweave/internal/film"
)

// threeShots is a film of three clips, 100 frames each, of which a fourth is not
// used; a shot begins between two frames of its clip.
func threeShots() Outgoing {
	out := Outgoing{Record: "/songs/loft.wav", Song: film.Song{Duration: 12}}
	out.Cut = film.Cut{Rate: pal, Shape: "16:9", Frames: 300}
	for i, name := range []string{"wide/C0001.MP4", "face/C0001.MP4", "hands/C0007.MP4", "loft/C0009.MP4"} {
		out.Clips = append(out.Clips, film.Clip{ID: int64(i + 1), Path: "/day/" + name, File: name, Rate: pal, PictureStart: 0.02, PictureEnd: 300.02})
		if i < 3 {
			first := film.Frames(100 * i)
			out.Cut.Shots = append(out.Cut.Shots, film.Shot{
				First: first, End: first + 100, Clip: int64(i + 1), File: name, Pass: strings.Split(name, "/")[0],
				SourceStart: film.PassTime(10.013 + 4*float64(i)), Speed: 1,
			})
		}
	}
	return out
}

// short is a difference without its words.
type short struct {
	Kind       Kind
	First, End film.Frames
	File       string
	At         float64 // source start in seconds
}

func TestWhatWasChangedElsewhere(t *testing.T) {
	const wide, face, hands, loft = "wide/C0001.MP4", "face/C0001.MP4", "hands/C0007.MP4", "loft/C0009.MP4"
	for _, c := range []struct {
		name   string
		change func(out *Outgoing)
		want   []short
		says   string
		sound  film.Frames // by which the record was moved
	}{
		{"nothing", func(*Outgoing) {}, nil, "", 0},
		{"a cut 12 frames later", func(o *Outgoing) {
			o.Cut.Shots[0].End, o.Cut.Shots[1].First = 112, 112
			o.Cut.Shots[1].SourceStart += 12 * 0.04
		}, []short{{Moved, 100, 112, wide, 14.013}}, `the cut from "wide/C0001.MP4" to "face/C0001.MP4" moved 12 frames later, to frame 112`, 0},
		{"a cut 1 frame earlier", func(o *Outgoing) {
			o.Cut.Shots[1].End, o.Cut.Shots[2].First = 199, 199
			o.Cut.Shots[2].SourceStart -= 0.04
		}, []short{{Moved, 199, 200, hands, 17.973}}, "moved 1 frame earlier, to frame 199", 0},
		{"another pass", func(o *Outgoing) {
			s := &o.Cut.Shots[1]
			s.Clip, s.File, s.SourceStart = 4, loft, 33
		}, []short{{Swapped, 100, 200, loft, 33}}, `"loft/C0009.MP4" shows at frame 100 instead of "face/C0001.MP4"`, 0},
		{"another pass in the middle of a shot", func(o *Outgoing) {
			s := o.Cut.Shots[1]
			a, b := s, s
			a.End = 130
			s.First, s.End, s.Clip, s.File, s.SourceStart = 130, 150, 4, loft, 33
			b.First, b.SourceStart = 150, b.SourceStart+50*0.04
			o.Cut.Shots = []film.Shot{o.Cut.Shots[0], a, s, b, o.Cut.Shots[2]}
		}, []short{{Swapped, 130, 150, loft, 33}}, "", 0},
		{
			"80 ms later in the clip", func(o *Outgoing) { o.Cut.Shots[1].SourceStart += 0.08 },
			[]short{{Slipped, 100, 200, face, 14.093}},
			"slipped by 80 ms, to a moment later in the clip", 0,
		},
		{
			"15 ms earlier in the clip", func(o *Outgoing) { o.Cut.Shots[1].SourceStart -= 0.015 },
			[]short{{Slipped, 100, 200, face, 13.998}},
			"slipped by 15 ms, to a moment earlier in the clip", 0,
		},
		{
			"another speed", func(o *Outgoing) { o.Cut.Shots[2].Speed = 0.5 },
			[]short{{Retimed, 200, 300, hands, 18.013}},
			"runs at 50.0 % instead of 100.0 %", 0,
		},
		{
			"a shot taken out", func(o *Outgoing) { o.Cut.Shots[1] = film.Shot{First: 100, End: 200} },
			[]short{{Missing, 100, 200, face, 14.013}},
			`"face/C0001.MP4" at frame 100 is missing`, 0,
		},
		{
			"the last shot taken off", func(o *Outgoing) { o.Cut.Shots, o.Cut.Frames = o.Cut.Shots[:2], 200 },
			[]short{{Missing, 200, 300, hands, 18.013}},
			"", 0,
		},
		{"a shot taken out and its neighbour drawn over it", func(o *Outgoing) {
			o.Cut.Shots[0].End = 200
			o.Cut.Shots = append(o.Cut.Shots[:1], o.Cut.Shots[2])
		}, []short{{Swapped, 100, 200, wide, 14.013}}, `"wide/C0001.MP4" shows at frame 100 instead of "face/C0001.MP4"`, 0},
		{"both ends taken off", func(o *Outgoing) {
			s := o.Cut.Shots[1]
			s.First, s.End, s.SourceStart = 120, 190, s.SourceStart+20*0.04
			o.Cut.Shots = []film.Shot{o.Cut.Shots[0], {First: 100, End: 120}, s, {First: 190, End: 200}, o.Cut.Shots[2]}
		}, []short{{Trimmed, 120, 190, face, 14.813}}, "lost 30 frames", 0},
		{"a stranger", func(o *Outgoing) {
			o.Clips = append(o.Clips, film.Clip{ID: 9, Path: "/elsewhere/sunset.mov", File: "sunset.mov"})
			o.Cut.Shots[1].Clip, o.Cut.Shots[1].File = 9, "sunset.mov"
		}, []short{{Unknown, 100, 200, "/elsewhere/sunset.mov", 14.013}}, "is none of the clips of this film", 0},
		{"a shot cut in two", func(o *Outgoing) {
			a := o.Cut.Shots[1]
			b := a
			a.End, b.First, b.SourceStart = 150, 150, a.SourceStart+50*0.04
			o.Cut.Shots = []film.Shot{o.Cut.Shots[0], a, b, o.Cut.Shots[2]}
		}, nil, "", 0},
		{"rounded down to whole frames", func(o *Outgoing) { roundSources(o, math.Floor) }, nil, "", 0},
		{"rounded to whole frames", func(o *Outgoing) { roundSources(o, math.Round) }, nil, "", 0},
		{"a whole frame later, and rounded", func(o *Outgoing) {
			o.Cut.Shots[1].SourceStart += 0.04
			roundSources(o, math.Round)
		}, []short{{Slipped, 100, 200, face, 14.04}}, "", 0},
		{"a title of 50 frames before it all, record and picture", func(o *Outgoing) {
			for i := range o.Cut.Shots {
				o.Cut.Shots[i].First += 50
				o.Cut.Shots[i].End += 50
			}
			o.Clips = append(o.Clips, film.Clip{ID: 9, Path: "/elsewhere/title.mov", File: "title.mov"})
			o.Cut.Shots = append([]film.Shot{{End: 50, Clip: 9, File: "title.mov", Speed: 1}}, o.Cut.Shots...)
			o.Cut.Frames = 350
		}, []short{{Outside, -50, 0, "/elsewhere/title.mov", 0}}, "lies outside the song", 50},
		{"the clips lie in another folder", func(o *Outgoing) {
			for i := range o.Clips {
				o.Clips[i].Path = `E:\copy of the day\` + strings.ReplaceAll(o.Clips[i].File, "/", `\`)
			}
		}, nil, "", 0},
		{"the media begin with a time code of an hour", func(o *Outgoing) {
			for i := range o.Clips {
				o.Clips[i].PictureStart += 3600
				o.Clips[i].PictureEnd += 3600
			}
			for i := range o.Cut.Shots {
				o.Cut.Shots[i].SourceStart += 3600
			}
		}, nil, "", 0},
		{"the record 50 frames later than its picture", func(*Outgoing) {}, []short{
			{Slipped, 0, 50, wide, 12.013},
			{Slipped, 50, 150, face, 14.013},
			{Moved, 50, 100, face, 14.013},
			{Slipped, 150, 250, hands, 18.013},
			{Moved, 150, 200, hands, 18.013},
			{Trimmed, 150, 250, hands, 18.013},
		}, "slipped by 2000 ms, to a moment later in the clip", 50},
	} {
		there := threeShots()
		c.change(&there)
		in, err := ReadTimeline(foreign(t, there), "changed.otio", pal)
		if err != nil {
			t.Fatal(err)
		}
		in.Sound[0].First += c.sound
		in.Sound[0].End += c.sound
		here := threeShots()
		told, err := Differences(Present{here.Cut, here.Clips, film.Song{}, here.Record}, in)
		if err != nil {
			t.Fatal(err)
		}
		var got []short
		said := ""
		for _, d := range told {
			got = append(got, short{d.Kind, d.First, d.End, d.File, float64(d.SourceStart)})
			said += d.Say + "\n"
		}
		if d := cmp.Diff(c.want, got, cmp.Comparer(func(a, b float64) bool { return math.Abs(a-b) < 1e-6 })); d != "" {
			t.Errorf("%s, want and got:\n%s", c.name, d)
		}
		if !strings.Contains(said, c.says) {
			t.Errorf("%s is told as %q, want %q", c.name, said, c.says)
		}
	}
}

// foreign writes a film as another program would that keeps nothing of ours.
func foreign(t *testing.T, out Outgoing) []byte {
	text, err := WriteTimeline(out)
	if err != nil {
		t.Fatal(err)
	}
	return withoutOurs(t, text)
}

func roundSources(o *Outgoing, round func(float64) float64) {
	for i := range o.Cut.Shots {
		s := &o.Cut.Shots[i]
		s.SourceStart = film.PassTime(round(float64(s.SourceStart)*25) / 25)
	}
}

func TestOtherDifferences(t *testing.T) {
	here := threeShots()
	in := &Incoming{Rate: film.Rate{Num: 24, Den: 1}}
	if _, err := Differences(Present{Cut: here.Cut}, in); err == nil || film.HintOf(err) == "" {
		t.Errorf("another rate: %v", err)
	}
	// What a moved cut and a slip carry besides.
	there := threeShots()
	there.Cut.Shots[0].End, there.Cut.Shots[1].First = 112, 112
	there.Cut.Shots[1].SourceStart += 12*0.04 + 0.1
	in, err := ReadTimeline(foreign(t, there), "", pal)
	if err != nil {
		t.Fatal(err)
	}
	told, err := Differences(Present{here.Cut, here.Clips, film.Song{}, here.Record}, in)
	if err != nil || len(told) != 2 {
		t.Fatalf("%+v, %v", told, err)
	}
	if m := told[0]; m.Kind != Moved || m.Cut != 112 || m.Clip != 1 || m.Pass != "wide" || m.Speed != 1 {
		t.Errorf("the moved cut is %+v", m)
	}
	if s := told[1]; s.Kind != Slipped || math.Abs(s.SlipMS-100) > 0.001 || s.Clip != 2 || s.Pass != "face" {
		t.Errorf("the slip is %+v", s)
	}
}

// TestRoundedSources has source starts before and after, at 25 frames a second:
// whole frames are 14.00 and 14.04.
func TestRoundedSources(t *testing.T) {
	for _, c := range []struct {
		was, is film.PassTime
		slipped bool
	}{
		{14.013, 14.00, false}, // down
		{14.030, 14.00, false}, // down, as far as that goes
		{14.030, 14.04, false}, // to the nearest
		{14.013, 14.04, true},  // neither
		{14.013, 13.96, true},  // a frame more than down
		{14.000, 13.96, true},  // a whole frame
		{14.000, 14.04, true},
		{14.013, 14.02, true}, // no whole frame
		{14.0130, 14.0135, false},
	} {
		h := homeShot{Shot: Shot{End: 10, SourceStart: c.is, Speed: 1}, clip: &film.Clip{Rate: pal}, at: c.is}
		p := film.Shot{End: 10, SourceStart: c.was, Speed: 1}
		cmp := comparison{now: Present{Cut: film.Cut{Rate: pal}}}
		if got := cmp.slip(&h, &p); (got != 0) != c.slipped {
			t.Errorf("from %v to %v the slip is %v", c.was, c.is, got)
		}
	}
}

// TestAddresses tells places as song addresses where the song has lines.
func TestAddresses(t *testing.T) {
	c := comparison{now: Present{Cut: film.Cut{Rate: pal}, Song: film.Song{
		Sections: []film.Section{{Name: "A1"}}, Lines: []film.Line{{Number: 1, Span: film.SongSpan{To: 2}}, {Number: 2, Span: film.SongSpan{From: 2, To: 4}}},
	}}}
	if got := c.address(60); got != "A1.2/1" {
		t.Errorf("frame 60, at 2.4 s, is %q", got)
	}
}

// TestFinder must not guess: two folders have a C0001.MP4.
func TestFinder(t *testing.T) {
	find := finder(threeShots().Clips)
	for file, want := range map[string]int64{
		"/day/face/C0001.MP4":       2,
		`Z:\cards\face\C0001.MP4`:   2,
		"face/C0001.MP4":            2,
		"/cards/other/C0007.MP4":    3,
		"C0009.MP4":                 4,
		"/cards/other/C0001.MP4":    0,
		"C0001.MP4":                 0,
		"/cards/surface/C0001.MP4x": 0,
		"/cards/surface/C0001.MP4":  0,
		"":                          0,
	} {
		var got int64
		if c := find(Shot{File: file}); c != nil {
			got = c.ID
		}
		if got != want {
			t.Errorf("%q is clip %d, want %d", file, got, want)
		}
	}
}

// TestDifferencesAgreeFrameByFrame compares any two cuts of the same clips, frame
// by frame: where the file shows another clip than the present cut, some
// difference covers the frame and says so, and where it shows the same moment of
// the same clip, none that names another one does.
func TestDifferencesAgreeFrameByFrame(t *testing.T) {
	clips := threeShots().Clips
	anyCut := func(t *rapid.T) film.Cut {
		cut := film.Cut{Rate: pal, Frames: 60}
		for at := film.Frames(0); at < 60; {
			end := min(60, at+film.Frames(rapid.IntRange(1, 30).Draw(t, "length")))
			s := film.Shot{First: at, End: end}
			if k := rapid.IntRange(0, 4).Draw(t, "clip"); k > 0 {
				c := clips[k-1]
				s.Clip, s.File, s.Speed = c.ID, c.File, 1
				s.SourceStart = film.PassTime(10 + 0.04*float64(at)) // always in sync: no slips
			}
			cut.Shots = append(cut.Shots, s)
			at = end
		}
		return cut
	}
	shownAt := func(cut film.Cut, f film.Frames) int64 {
		for _, s := range cut.Shots {
			if f >= s.First && f < s.End {
				return s.Clip
			}
		}
		return 0
	}
	rapid.Check(t, func(t *rapid.T) {
		here, there := anyCut(t), anyCut(t)
		text, err := WriteTimeline(Outgoing{Cut: there, Clips: clips})
		if err != nil {
			t.Fatal(err)
		}
		in, err := ReadTimeline(text, "", pal)
		if err != nil {
			t.Fatal(err)
		}
		told, err := Differences(Present{Cut: here, Clips: clips}, in)
		if err != nil {
			t.Fatal(err)
		}
		for f := range film.Frames(60) {
			was, is := shownAt(here, f), shownAt(there, f)
			covered := false
			for _, d := range told {
				if f < d.First || f >= d.End {
					continue
				}
				shows := d.Kind == Swapped || d.Kind == Moved
				covered = covered || shows && d.Clip == is
				if shows && d.Clip != is {
					t.Fatalf("frame %d shows clip %d, and not as %+v says", f, is, d)
				}
				if shows && was == is && d.Clip == was {
					t.Fatalf("frame %d shows clip %d as before, and %+v says otherwise", f, is, d)
				}
				if d.Kind == Slipped || d.Kind == Retimed || d.Kind == Unknown || d.Kind == Outside {
					t.Fatalf("nothing was slipped: %+v", d)
				}
			}
			if is != 0 && is != was && !covered {
				t.Fatalf("frame %d shows clip %d instead of %d, which nothing tells: %+v", f, is, was, told)
			}
		}
		for _, p := range here.Shots {
			empty := false
			for f := p.First; f < p.End; f++ {
				empty = empty || p.File != "" && shownAt(there, f) == 0
			}
			toldGone := false
			for _, d := range told {
				toldGone = toldGone || (d.Kind == Missing || d.Kind == Trimmed) && d.Clip == p.Clip && d.First < p.End && d.End > p.First
			}
			if empty && !toldGone {
				t.Fatalf("of %+v some shows nothing, which nothing tells: %+v", p, told)
			}
		}
	})
}
