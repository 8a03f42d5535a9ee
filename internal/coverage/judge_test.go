package coverage

import (
	"testing"

	"takeweave/internal/film"
	"takeweave/internal/schedule"
)

// laid is a pass laid on the song from one second to another, which starts 3 s
// into the clip and runs at the given speed; it agrees but where spoilt holds.
func laid(from, to film.SongTime, speed float64, spoilt ...film.SongSpan) (*film.LineUp, []film.Agreement) {
	l := &film.LineUp{Status: film.Aligned}
	var s film.Segment
	for t := from; t <= to; t++ {
		s.Knots = append(s.Knots, film.Knot{Song: t, Pass: 3 + film.PassTime(float64(t-from)*speed)})
		s.ErrorMS = append(s.ErrorMS, 5)
	}
	l.Segments = []film.Segment{s}
	a := film.Agreement{First: int(from / film.AgreementStep)}
	for range int((to - from) / film.AgreementStep) {
		score := 0.9
		at := film.SongTime(float64(a.First+len(a.Score))+0.5) * film.AgreementStep
		for _, bad := range spoilt {
			if bad.Holds(at) {
				score = 0.2
			}
		}
		a.Score, a.Why, a.LateMS = append(a.Score, score), append(a.Why, film.WhyAgrees), append(a.LateMS, 0)
	}
	return l, []film.Agreement{a}
}

func TestJudge(t *testing.T) {
	p := newPlan(ferry(), setup("face", film.ShowsLips, schedule.Rig{}))
	p.Song.MustSee = []film.MustSee{{Span: film.SongSpan{From: 1, To: 2}, Shows: film.ShowsLips}}
	wide := film.Setup{Shows: film.ShowsBoth, Size: film.SizeWide}
	tight := film.Setup{Shows: film.ShowsLips, Size: film.SizeClose}
	hands := film.Setup{Shows: film.ShowsHands, Size: film.SizeClose}
	for _, c := range []struct {
		name   string
		setup  film.Setup
		spoilt []film.SongSpan
		from   film.SongTime
		speed  float64
		lines  string // of V1 and C1, that are usable
		run    bool
	}{
		{"as the record", tight, nil, 0, 1, "V1.1-6, C1.1-6", true},
		{"from V1.3 on", tight, nil, 14, 1, "V1.3-6, C1.1-6", false},
		{"from inside V1.3 on", tight, nil, 16, 1, "V1.4-6, C1.1-6", false},
		{"half a second late", tight, nil, 14.5, 1, "V1.3-6, C1.1-6", false}, // 6.5 s of 7 are more than 90 %
		{"a second spoilt in V1.2", tight, []film.SongSpan{{From: 8, To: 9}}, 0, 1, "V1.1, V1.3-6, C1.1-6", true},
		{"half a second spoilt in V1.1", tight, []film.SongSpan{{From: 1.2, To: 1.7}}, 0, 1, "V1.1-6, C1.1-6", false},
		// Lips close up bear 20 ms to either side and 2 % of speed: within 7 s a
		// pass may drift by 1.4 + 0.4 s at most... of 3 % remain 1 %, 70 ms.
		{"1.5 % slower, lips", tight, nil, 0, 1.015, "V1.1-6, C1.1-6", true},
		{"3 % slower, lips", tight, nil, 0, 1.03, "", true}, // a second may drift by 30 ms
		{"3 % slower, hands", hands, nil, 0, 1.03, "V1.1-6, C1.1-6", true},
		{"3 % slower, wide", wide, nil, 0, 1.03, "V1.1-6, C1.1-6", true}, // 70 ms within 45 + 80
	} {
		lineUp, agreements := laid(c.from, 84, c.speed, c.spoilt...)
		usable := p.Judge(c.setup, lineUp, agreements)
		var lines []int
		for i := range 12 {
			if usable[i] {
				lines = append(lines, i)
			}
		}
		if got := SayLines(p.Song, lines); got != c.lines || usable[36] != c.run {
			t.Errorf("%s: %q, the run %v; want %q, %v", c.name, got, usable[36], c.lines, c.run)
		}
		if usable[13] {
			t.Errorf("%s: usable beyond its end", c.name)
		}
	}
}

func TestJudgeRefuses(t *testing.T) {
	p := newPlan(ferry(), setup("face", film.ShowsLips, schedule.Rig{}))
	lineUp, agreements := laid(0, 84, 1)
	lineUp.Semitones = 1
	if p.Judge(film.Setup{Shows: film.ShowsHands}, lineUp, agreements)[0] || p.Judge(film.Setup{}, lineUp, agreements)[0] {
		t.Error("hands on another fret are usable")
	}
	if !p.Judge(film.Setup{Shows: film.ShowsLips}, lineUp, agreements)[0] {
		t.Error("lips do not show the fret")
	}
	lineUp.Semitones, lineUp.Status = 0, film.Refused
	if p.Judge(film.Setup{Shows: film.ShowsLips}, lineUp, agreements)[0] {
		t.Error("a refused pass is usable")
	}
}

// A pass that begins again has two segments; either may serve.
func TestJudgeTakesTheBetterSegment(t *testing.T) {
	p := newPlan(ferry(), setup("face", film.ShowsLips, schedule.Rig{}))
	first, a := laid(0, 21, 1, film.SongSpan{From: 0, To: 7})
	again, b := laid(0, 21, 1, film.SongSpan{From: 7, To: 14})
	first.Segments = append(first.Segments, again.Segments...)
	usable := p.Judge(film.Setup{Shows: film.ShowsLips}, first, append(a, b...))
	if !usable[0] || !usable[1] || !usable[2] {
		t.Errorf("%v", usable[:3])
	}
}

func BenchmarkJudge(b *testing.B) {
	p, _ := largest()
	lineUp, agreements := laid(0, 720, 1.01)
	for b.Loop() {
		p.Judge(film.Setup{Shows: film.ShowsHands, Size: film.SizeClose}, lineUp, agreements)
	}
}
