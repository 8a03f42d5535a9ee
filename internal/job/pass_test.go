package job

import (
	"encoding/binary"
	"math"
	"os"
	"path/filepath"
	"testing"

	"github.com/google/go-cmp/cmp"

	"takeweave/internal/dsp"
	"takeweave/internal/film"
)

// splitPass is a pass of 20 s in two files of 12 and 8 s, played at the tempo of
// the song from song time 5 on.
func splitPass() Pass {
	first := film.Clip{ID: 1, File: "face/C0001.MP4", Duration: 12, PictureEnd: 12}
	second := film.Clip{ID: 2, File: "face/C0002.MP4", Duration: 8, PictureEnd: 8}
	whole := first
	whole.Duration, whole.PictureEnd = 20, 20
	return Pass{
		Name: first.File, Clip: whole, Files: []PassFile{{first, 0}, {second, 12}},
		LineUp: film.LineUp{Status: film.Aligned, Segments: []film.Segment{{
			Knots:   []film.Knot{{Pass: 2, Song: 5}, {Pass: 19, Song: 22}},
			ErrorMS: []float64{20, 30},
		}}},
		Agreement: []film.Agreement{{First: 100, Score: ones(340), Why: make([]film.Why, 340), LateMS: make([]float64, 340)}},
	}
}

func ones(n int) []float64 {
	v := make([]float64, n)
	for i := range v {
		v[i] = 1
	}
	return v
}

func TestShotOverTheEndOfAFileIsReadFromBoth(t *testing.T) {
	at25 := film.Rate{Num: 25, Den: 1}
	p := splitPass()
	whole := film.Shot{First: 100, End: 200, Pass: p.Name, Clip: 1, File: p.Name, SourceStart: 10, Speed: 1, Why: "holds"}
	c := inFiles(film.Cut{Rate: at25, Frames: 300, Shots: []film.Shot{{First: 0, End: 100, Pass: "other"}, whole, {First: 200, End: 300}}}, []Pass{p})
	if len(c.Shots) != 4 {
		t.Fatalf("got %d shots", len(c.Shots))
	}
	a, b := c.Shots[1], c.Shots[2]
	// 2 s of 25 frames lie before the second file's first picture.
	if a.First != 100 || a.End != 150 || a.Clip != 1 || a.SourceStart != 10 {
		t.Errorf("first part: %+v", a)
	}
	if b.First != 150 || b.End != 200 || b.Clip != 2 || b.File != "face/C0002.MP4" || math.Abs(float64(b.SourceStart)) > 1e-9 {
		t.Errorf("second part: %+v", b)
	}
}

func TestEachFileIsExportedOnItsOwnClock(t *testing.T) {
	files := exportFiles([]Pass{splitPass()})
	if len(files) != 2 {
		t.Fatalf("got %d files", len(files))
	}
	if diff := cmp.Diff([][2]float64{{2, 5}, {12, 15}}, files[0].Map); diff != "" {
		t.Error(diff)
	}
	if diff := cmp.Diff([][2]float64{{0, 15}, {7, 22}}, files[1].Map); diff != "" {
		t.Error(diff)
	}
	for i, want := range [][2]float64{{5, 15}, {15, 22}} {
		a := files[i].Agreement
		from, to := a[0][0].(float64), a[len(a)-1][1].(float64)
		if math.Abs(from-want[0]) > 2*film.AgreementStep || math.Abs(to-want[1]) > 2*film.AgreementStep+1e-9 {
			t.Errorf("file %d: agreement from %g to %g, want %v", i, from, to, want)
		}
	}
}

func TestPerformancesOfOneFileAreExportedTogether(t *testing.T) {
	clip := film.Clip{ID: 7, File: "wide/C0009.MP4", Duration: 500, PictureEnd: 500}
	segment := func(at film.PassTime) film.Segment {
		return film.Segment{Knots: []film.Knot{{Pass: at, Song: 0}, {Pass: at + 200, Song: 200}}, ErrorMS: []float64{20, 20}}
	}
	p := passOf(clip, film.Setup{})
	p.LineUp = film.LineUp{Status: film.Aligned, Reason: "played live", Segments: []film.Segment{segment(10), segment(260)}}
	passes := performances(p, 200)
	if len(passes) != 2 || passes[0].Name != "wide/C0009.MP4" || passes[1].Name != "wide/C0009.MP4#2" {
		t.Fatalf("got %+v", passes)
	}
	for i, want := range []film.PassTime{10, 260} {
		if g := passes[i].LineUp.Segments; len(g) != 1 || g[0].Knots[0].Pass != want {
			t.Errorf("performance %d: %+v", i+1, g)
		}
		if c := passes[i].LineUp.Covered; math.Abs(c-200) > 1e-9 {
			t.Errorf("performance %d covers %g s", i+1, c)
		}
	}
	files := exportFiles(passes)
	if len(files) != 1 {
		t.Fatalf("got %d files", len(files))
	}
	if diff := cmp.Diff([][][2]float64{{{10, 0}, {210, 200}}, {{260, 0}, {460, 200}}}, files[0].Map); diff != "" {
		t.Error(diff)
	}
	if diff := cmp.Diff([]string{"wide/C0009.MP4", "wide/C0009.MP4#2"}, files[0].Names); diff != "" {
		t.Error(diff)
	}
}

// A false start at a passage that comes twice may be laid on the second one.
func TestAFalseStartIsNoPerformance(t *testing.T) {
	segment := func(at film.PassTime, from, to film.SongTime) film.Segment {
		return film.Segment{Knots: []film.Knot{{Pass: at, Song: from}, {Pass: at + film.PassTime(to-from), Song: to}}, ErrorMS: []float64{20, 20}}
	}
	p := passOf(film.Clip{ID: 7, File: "C0009.MP4", PictureEnd: 900}, film.Setup{})
	p.LineUp = film.LineUp{Status: film.Aligned, Segments: []film.Segment{
		segment(5, 150, 160), segment(30, 0, 200), segment(260, 150, 158), segment(300, 2, 199), segment(520, 150, 155),
	}}
	passes := performances(p, 200)
	if len(passes) != 2 || len(passes[0].LineUp.Segments) != 3 || len(passes[1].LineUp.Segments) != 2 {
		t.Fatalf("got %+v", passes)
	}
	p.LineUp.Segments = []film.Segment{segment(5, 150, 160), segment(30, 0, 8)}
	if got := performances(p, 200); len(got) != 1 || len(got[0].LineUp.Segments) != 2 {
		t.Errorf("only false starts: %+v", got)
	}
}

func TestOnlyTheNextFileOfTheSameCameraFollows(t *testing.T) {
	a := film.Clip{File: "face/C0001.MP4", Setup: "face", Width: 1920, Height: 1080, Rate: film.Rate{Num: 25, Den: 1}}
	next := func(change func(*film.Clip)) film.Clip {
		b := a
		b.File = "face/C0002.MP4"
		change(&b)
		return b
	}
	if !follows(a, next(func(*film.Clip) {})) {
		t.Error("the next file does not follow")
	}
	for name, b := range map[string]film.Clip{
		"another folder": next(func(b *film.Clip) { b.File = "wide/C0002.MP4" }),
		"another setup":  next(func(b *film.Clip) { b.Setup = "hands" }),
		"another size":   next(func(b *film.Clip) { b.Height = 720 }),
		"another rate":   next(func(b *film.Clip) { b.Rate.Num = 50 }),
		"sound only":     next(func(b *film.Clip) { b.SoundOnly = true }),
		"unreadable":     next(func(b *film.Clip) { b.Refusal = "is empty" }),
	} {
		if follows(a, b) {
			t.Errorf("%s follows", name)
		}
	}
}

// rampSound stores sound whose sample i is i.
func rampSound(t *testing.T, n int) *storedSound {
	t.Helper()
	name := filepath.Join(t.TempDir(), "ramp.s16")
	var raw []byte
	for i := range n {
		raw = binary.LittleEndian.AppendUint16(raw, uint16(i))
	}
	if err := os.WriteFile(name, raw, 0o666); err != nil {
		t.Fatal(err)
	}
	s, err := openSound(name)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { s.Close() })
	return s
}

func samplesOf(t *testing.T, s dsp.Source, from, n int) []int {
	t.Helper()
	x := make([]float32, n)
	if err := s.Read(x, from); err != nil {
		t.Fatal(err)
	}
	out := make([]int, n)
	for i, v := range x {
		out[i] = int(math.Round(float64(v) * 32768))
	}
	return out
}

func TestFilesInARowAreHeardOneAfterTheOther(t *testing.T) {
	r := inARow{soundFrom{rampSound(t, 10), 0}, soundFrom{rampSound(t, 5), 8}}
	if r.Len() != 13 {
		t.Errorf("length %d", r.Len())
	}
	want := []int{0, 0, 0, 1, 2, 3, 4, 5, 6, 7, 0, 1, 2, 3, 4, 0, 0}
	if diff := cmp.Diff(want, samplesOf(t, r, -2, 17)); diff != "" {
		t.Error(diff)
	}
	if diff := cmp.Diff([]int{7, 0, 1}, samplesOf(t, r, 7, 3)); diff != "" {
		t.Error(diff)
	}
}

func TestRecorderIsReadOnTheClockOfThePass(t *testing.T) {
	const n, ppm = 30000, 400.0
	c := onClock{rampSound(t, n), 100.0 / dsp.AnalysisRate, ppm, float64(n) / dsp.AnalysisRate}
	for _, from := range []int{0, 1000, 20000} {
		got := samplesOf(t, c, from, 3000)
		for i, v := range got {
			want := 100 + float64(from+i)*(1+ppm/1e6)
			if want > n-1 {
				break
			}
			if math.Abs(float64(v)-want) > 1 { // a whole sample: it slips by those
				t.Fatalf("sample %d is the recorder's %d, want %.1f", from+i, v, want)
			}
		}
	}
	// However it is read, the same.
	if diff := cmp.Diff(samplesOf(t, c, 1500, 2000)[500:], samplesOf(t, c, 2000, 1500)); diff != "" {
		t.Error(diff)
	}
}
