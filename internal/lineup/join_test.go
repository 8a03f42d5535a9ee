package lineup

import (
	"context"
	"math"
	"testing"

	"pgregory.net/rapid"

	"takeweave/internal/dsp"
	"takeweave/internal/film"
)

// cutInTwo cuts what is known of a line-up at the pass time at, as a camera cuts
// a file; the second half is on its own clock.
func cutInTwo(l film.LineUp, at film.PassTime) (a, b film.LineUp) {
	a, b = l, l
	a.Segments, b.Segments = nil, nil
	for _, g := range l.Segments {
		var left, right film.Segment
		add := func(k film.Knot, bound float64) {
			if k.Pass <= at {
				left.Knots, left.ErrorMS = append(left.Knots, k), append(left.ErrorMS, bound)
			}
			if k.Pass >= at {
				right.Knots, right.ErrorMS = append(right.Knots, film.Knot{Pass: k.Pass - at, Song: k.Song}), append(right.ErrorMS, bound)
			}
		}
		for i, k := range g.Knots {
			if i > 0 && g.Knots[i-1].Pass < at && k.Pass > at {
				add(film.Knot{Pass: at, Song: g.SongAt(at)}, g.ErrorMS[i])
			}
			add(k, g.ErrorMS[i])
		}
		for _, half := range []struct {
			of *film.LineUp
			g  film.Segment
		}{{&a, left}, {&b, right}} {
			if len(half.g.Knots) > 1 {
				half.of.Segments = append(half.of.Segments, half.g)
			}
		}
	}
	a.Covered, b.Covered = covered(a.Segments), covered(b.Segments)
	return a, b
}

// shifted moves the song times of l, as a map that errs does.
func shifted(l film.LineUp, seconds float64) film.LineUp {
	var segments []film.Segment
	for _, g := range l.Segments {
		moved := film.Segment{ErrorMS: g.ErrorMS}
		for _, k := range g.Knots {
			moved.Knots = append(moved.Knots, film.Knot{Pass: k.Pass, Song: k.Song + film.SongTime(seconds)})
		}
		segments = append(segments, moved)
	}
	l.Segments = segments
	return l
}

// A pass of up to three stretches is cut in the middle of one; each half may err
// by its stated bound.
func TestACutPassIsJoined(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		whole := film.LineUp{Status: film.Aligned, Reason: "played live"}
		pass := rapid.Float64Range(0, 20).Draw(t, "start")
		for range rapid.IntRange(1, 3).Draw(t, "stretches") {
			song := rapid.Float64Range(0, 60).Draw(t, "from")
			var g film.Segment
			for range rapid.IntRange(8, 30).Draw(t, "knots") {
				g.Knots, g.ErrorMS = append(g.Knots, film.Knot{Pass: film.PassTime(pass), Song: film.SongTime(song)}), append(g.ErrorMS, 30)
				step := rapid.Float64Range(0.5, 4).Draw(t, "step")
				pass, song = pass+step, song+step*rapid.Float64Range(0.9, 1.1).Draw(t, "tempo")
			}
			whole.Segments = append(whole.Segments, g)
			pass += 2
		}
		g := whole.Segments[rapid.IntRange(0, len(whole.Segments)-1).Draw(t, "cut stretch")]
		from, to := float64(g.Knots[0].Pass), float64(g.Knots[len(g.Knots)-1].Pass)
		at := rapid.Float64Range(from+0.5, to-0.5).Draw(t, "at")
		a, b := cutInTwo(whole, film.PassTime(at))
		a, b = shifted(a, rapid.Float64Range(-0.03, 0.03).Draw(t, "a errs")), shifted(b, rapid.Float64Range(-0.03, 0.03).Draw(t, "b errs"))
		if !Joined(a, at, b) {
			t.Fatalf("cut at %.2f s: not joined", at)
		}
		got := Join(a, at, b)
		if len(got.Segments) != len(whole.Segments) {
			t.Fatalf("%d segments, want %d", len(got.Segments), len(whole.Segments))
		}
		for i := range got.Segments {
			for k := 1; k < len(got.Segments[i].Knots); k++ {
				p, q := got.Segments[i].Knots[k-1], got.Segments[i].Knots[k]
				if q.Pass <= p.Pass || q.Song <= p.Song {
					t.Fatalf("segment %d: %v after %v", i, q, p)
				}
			}
			// Both halves err by 30 ms; the line over the cut stays between them.
			for _, k := range whole.Segments[i].Knots {
				if d := math.Abs(float64(got.Segments[i].SongAt(k.Pass)-k.Song)) * 1000; d > 100 {
					t.Fatalf("segment %d at %.2f s is off by %.0f ms", i, k.Pass, d)
				}
			}
		}
		if math.Abs(got.Covered-covered(whole.Segments)) > 0.5 {
			t.Fatalf("%.1f s covered, want %.1f", got.Covered, covered(whole.Segments))
		}
	})
}

func TestPassesThatMerelyMeetAreNotJoined(t *testing.T) {
	first := playedOneAfterAnother(4, [2]float64{0, 100}) // from 5 s to 105 s
	second := film.LineUp{Status: film.Aligned, Segments: []film.Segment{inTempo(0.3, 100.3, 180)}}
	if !Joined(first, 105, second) {
		t.Fatal("the plain case is not joined")
	}
	change := func(l film.LineUp, f func(*film.LineUp)) film.LineUp { f(&l); return l }
	for name, c := range map[string]struct {
		a    film.LineUp
		ends float64
		b    film.LineUp
	}{
		"a second of talk before the end, another pass after":    {first, 107, second},
		"the next begins after a count-in":                       {first, 105, film.LineUp{Status: film.Aligned, Segments: []film.Segment{inTempo(4, 104, 180)}}},
		"the next begins half a second further on":               {first, 105, shifted(second, 0.5)},
		"the next begins a third of a second earlier":            {first, 105, shifted(second, -0.33)},
		"the next begins anew":                                   {first, 105, film.LineUp{Status: film.Aligned, Segments: []film.Segment{inTempo(0.3, 0, 180)}}},
		"another key":                                            {first, 105, change(second, func(l *film.LineUp) { l.Semitones = 2 })},
		"one to the loudspeaker, one without":                    {first, 105, change(second, func(l *film.LineUp) { l.Playback = true })},
		"nothing of the song in the next":                        {first, 105, film.LineUp{Status: film.Refused}},
		"nothing of the song in the first":                       {film.LineUp{Status: film.Silent}, 105, second},
		"a bound so wide that it says nothing does not join all": {change(shifted(first, 0), func(l *film.LineUp) { l.Segments[0].ErrorMS = []float64{400, 400} }), 105, shifted(second, 0.5)},
	} {
		if Joined(c.a, c.ends, c.b) {
			t.Errorf("%s: joined", name)
		}
	}
}

// A generated pass cut in two is laid half by half and joined to what it is as a
// whole.
func TestACutRecordingIsJoined(t *testing.T) {
	s := newShoot(62, 2, sung, true, true)
	record := listen(t, s.record)
	align := func(x []float32) film.LineUp {
		t.Helper()
		l, err := Align(context.Background(), record, listen(t, x), nil)
		if err != nil {
			t.Fatal(err)
		}
		return l
	}
	for _, kind := range []string{"full", "playback"} {
		f := s.pass(kind)
		at := len(f.sound) * 2 / 5
		seconds := dsp.Seconds(dsp.Slice{Hz: rate, Samples: f.sound[:at]})
		a, b := align(f.sound[:at]), align(f.sound[at:])
		if !Joined(a, seconds, b) {
			t.Errorf("%s is not joined: %s and %s", kind, a.Reason, b.Reason)
			continue
		}
		l := Join(a, seconds, b)
		checkSegments(t, l)
		ms, _, _ := errorsOf(f, l)
		// As passes in one file do, see TestAlignOnOneFilmDay.
		if len(l.Segments) != 1 || within(ms, 45) < 0.85 || within(ms, 90) < 0.92 {
			t.Errorf("%s: %d segments, %.3f within 45 ms, %.3f within 90", kind, len(l.Segments), within(ms, 45), within(ms, 90))
		}
		if Joined(b, dsp.Seconds(dsp.Slice{Hz: rate, Samples: f.sound[at:]}), a) {
			t.Errorf("%s: the halves the wrong way round are joined", kind)
		}
	}
}
