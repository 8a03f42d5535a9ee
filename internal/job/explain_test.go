package job

import (
	"math"
	"testing"

	"takeweave/internal/film"
)

func TestPassNamed(t *testing.T) {
	passes := []Pass{{Name: "wide/C0001.MP4"}, {Name: "face/C0002.MP4"}, {Name: "hands/C0002.MP4"}, {Name: "wide/C0001.MP4#2"}}
	for name, want := range map[string]string{"c0001": "wide/C0001.MP4", "C0001.mp4": "wide/C0001.MP4", "hands/c0002.mp4": "hands/C0002.MP4", "hands/C0002": "hands/C0002.MP4", "c0001#2": "wide/C0001.MP4#2"} {
		if p, err := passNamed(passes, name); err != nil || p.Name != want {
			t.Errorf("%s: %v, %v", name, p.Name, err)
		}
	}
	for name, code := range map[string]film.Code{"C0002": film.CodeUsage, "C0003": film.CodeNotFound} {
		if _, err := passNamed(passes, name); film.CodeOf(err) != code || film.HintOf(err) == "" {
			t.Errorf("%s: %v", name, err)
		}
	}
}

func TestExplainTellsTheWholePass(t *testing.T) {
	song := film.Song{Music: film.SongSpan{From: 0, To: 10}}
	g := film.Segment{Knots: []film.Knot{{Pass: 5, Song: 0}, {Pass: 15, Song: 10}}, ErrorMS: []float64{10, 20}}
	a := film.Agreement{}
	for i := range 240 { // to 12 s, two seconds past the music
		score, why := 0.9, film.WhyAgrees
		if i >= 60 && i < 100 { // 3 to 5 s
			score, why = 0.1, film.WhyLate
		}
		a.Score, a.Why, a.LateMS = append(a.Score, score), append(a.Why, why), append(a.LateMS, 46)
	}
	got := explain(song, Pass{LineUp: film.LineUp{Status: film.Aligned, Segments: []film.Segment{g}}, Agreement: []film.Agreement{a}})
	want := []struct {
		from, to, pass float64
		reason         string
	}{{0, 3, 5, "agrees"}, {3, 5, 8, "late 46 ms"}, {5, 10, 10, "agrees"}}
	if len(got) != len(want) {
		t.Fatalf("got %+v", got)
	}
	for i, w := range want {
		s := got[i]
		if math.Abs(float64(s.Span.From)-w.from) > 1e-9 || math.Abs(float64(s.Span.To)-w.to) > 1e-9 || math.Abs(float64(s.Pass)-w.pass) > 1e-9 || s.Reason != w.reason || s.Agrees != (w.reason == "agrees") {
			t.Errorf("stretch %d: %+v, want %+v", i, s, w)
		}
	}
}

func TestLevelOut(t *testing.T) {
	x := []float32{0, 0.5, -0.5, 0}
	levelOut(x)
	if math.Abs(float64(x[1])-listenRMS) > 1e-6 || x[0] != 0 {
		t.Errorf("got %v", x)
	}
	spiky := make([]float32, 1000)
	for i := range spiky {
		spiky[i] = 0.0001
	}
	spiky[3] = 1
	levelOut(spiky)
	if math.Abs(float64(spiky[3])) > listenPeak+1e-6 {
		t.Errorf("a peak of %v", spiky[3])
	}
	silence := []float32{0, 0}
	levelOut(silence)
	if silence[0] != 0 {
		t.Error("silence became sound")
	}
}
