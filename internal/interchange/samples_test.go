package interchange

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"takeweave/internal/film"
)

func sample(t testing.TB, name string) []byte {
	t.Helper()
	text, err := os.ReadFile(filepath.Join("testdata", name))
	if err != nil {
		t.Fatal(err)
	}
	return text
}

func readSample(t testing.TB, name string, rate film.Rate) *Incoming {
	t.Helper()
	in, err := ReadTimeline(sample(t, name), name, rate)
	if err != nil {
		t.Fatal(err)
	}
	return in
}

// line is a shot in short, for tables: "first-end file@start xspeed".
type line struct {
	First, End film.Frames
	File       string
	Frame      float64 // of the source, counted at 24
	Speed      float64
}

func lines(in *Incoming) []line {
	var all []line
	for _, s := range in.Shots {
		l := line{s.First, s.End, s.File, float64(s.SourceStart) * 24, s.Speed}
		if s.Hole {
			l = line{First: s.First, End: s.End}
		}
		all = append(all, l)
	}
	return all
}

var near = cmp.Comparer(func(a, b float64) bool { return a-b < 1e-6 && b-a < 1e-6 }) // a millionth of a frame: rounding

// TestSamples reads published timelines and finds what stands in them. The
// totals of simple_cut (3, 6, 4 and 6 frames), transition, transition_test
// (3 × 50), multitrack and screening_example (1049) are those read from the
// files by others; source: [OTIO], tests/sample_data. All count at 24.
func TestSamples(t *testing.T) {
	folder := "/folder/"
	cut := []line{
		{0, 3, folder + "titles.mov", 3, 1},
		{3, 9, folder + "wind-up.mov", 2, 1},
		{9, 13, folder + "punchline.mov", 0, 1},
		{13, 19, folder + "credits.mov", 100, 1},
	}
	dissolved := append([]line(nil), cut...)
	dissolved[2].Frame = 3
	for _, c := range []struct {
		file  string
		want  []line
		notes []string // each must be found in some note, and no other note may be
	}{
		{"simple_cut.otio", cut, nil},
		{"transition.otio", dissolved, []string{"read as a cut"}},
		{"transition_test.otio", []line{{0, 50, "A", 0, 1}, {50, 100, "B", 0, 1}, {100, 150, "C", 0, 1}}, []string{`"t0"`, `"t1"`, `"t3"`}},
		{"clip_example.otio", []line{{End: 8}, {8, 11, "Clip-001", 3, 1}, {First: 11, End: 19}}, []string{"read as a cut"}},
		{"generator_reference_test.otio", []line{{0, 50, "bars", 0, 1}}, []string{"GeneratorReference.1"}},
		{"big_int.otio", []line{{0, 24, "black.mov", 1, 1}}, nil},
		// Upper tracks cover lower ones: worked out by hand from the three tracks
		// 720 83- 722 432- 720 605-, 482- 480 2320-, 1198- 640 1444- (- is a gap).
		{"multitrack.otio", []line{
			{0, 482, "tech.fux (loop)-HD.mp4", 0, 1},
			{482, 962, "t-hawk (loop)-HD.mp4", 0, 1},
			{962, 1198, "out-b (loop)-HD.mp4", 159, 1},
			{1198, 1838, "KOLL-HD.mp4", 0, 1},
			{First: 1838, End: 1957},
			{1957, 2677, "brokchrd (loop)-HD.mp4", 0, 1},
			{First: 2677, End: 3282},
		}, nil},
		// 238 + 31 + 33 + 29 + 63 + 4 + 238 = 636. The warped stack plays its 24
		// frames at 0.8545, so that they last 28.08 and leave the 29th empty; the
		// still holds frame 471.
		{"nested_example.otio", []line{
			{0, 238, "Normal Clip 1", 135, 1},
			{238, 269, "Clip Inside A Stack 1", 373, 1},
			{269, 302, "Normal Clip 2", 101, 1},
			{302, 330, "Clip Inside A Stack 2", 429, 0.8545454551724138},
			{First: 330, End: 331},
			{331, 394, "Normal Clip 3", 179, 1},
			{394, 398, "Clip Inside A Track", 471, 0},
			{398, 636, "Normal Clip 4", 135, 1},
		}, nil},
	} {
		in := readSample(t, c.file, film.Rate{})
		if d := cmp.Diff(c.want, lines(in), near); d != "" {
			t.Errorf("%s, want and got:\n%s", c.file, d)
		}
		if in.Rate != (film.Rate{Num: 24, Den: 1}) {
			t.Errorf("%s counts at %s", c.file, in.Rate)
		}
		if len(in.Notes) != len(c.notes) {
			t.Errorf("%s: the notes are %q", c.file, in.Notes)
		}
		for _, n := range c.notes {
			if !strings.Contains(strings.Join(in.Notes, "\n"), n) {
				t.Errorf("%s: no note tells of %s: %q", c.file, n, in.Notes)
			}
		}
	}
}

// TestScreening has clips in the second form and markers in the third, on a
// track that claims to begin elsewhere: nine clips, 1049 frames.
func TestScreening(t *testing.T) {
	in := readSample(t, "screening_example.otio", film.Rate{})
	if in.Frames != 1049 || len(in.Shots) != 9 {
		t.Errorf("it has %d shots and %d frames", len(in.Shots), in.Frames)
	}
	want := []film.Frames{31, 50, 28, 115, 101, 161, 170, 136, 257}
	for i, s := range in.Shots {
		if s.End-s.First != want[i] {
			t.Errorf("shot %d has %d frames, want %d", i+1, s.End-s.First, want[i])
		}
	}
	if last := in.Shots[8]; last.Name != "ZZ100_510B (LAY1)" || last.Linked || float64(last.SourceStart)*24 != 86501 {
		t.Errorf("the last shot is %+v", last)
	}
	if len(in.Notes) != 1 || !strings.Contains(in.Notes[0], "begins outside") {
		t.Errorf("the notes are %q", in.Notes)
	}
}

// TestOtherRates reads the 19 frames of 24 at other rates: cuts at 3, 9, 13 and
// 19 frames of 1/24 s fall on the nearest frames, and each shot still shows the
// same picture at the same time: the second one, frame 2 at 3/24 s.
func TestOtherRates(t *testing.T) {
	for _, c := range []struct {
		rate film.Rate
		ends []film.Frames
	}{
		{film.Rate{Num: 48, Den: 1}, []film.Frames{6, 18, 26, 38}},
		{film.Rate{Num: 25, Den: 1}, []film.Frames{3, 9, 14, 20}},
		{ntsc30, []film.Frames{4, 11, 16, 24}},
	} {
		in := readSample(t, "simple_cut.otio", c.rate)
		for i, s := range in.Shots {
			if s.End != c.ends[i] {
				t.Errorf("at %s shot %d ends at frame %d, want %d", c.rate, i+1, s.End, c.ends[i])
			}
		}
		second := in.Shots[1]
		if got, want := float64(second.SourceStart)-float64(c.rate.FrameStart(second.First)), 2./24-3./24; got-want > 1e-9 || want-got > 1e-9 {
			t.Errorf("at %s the second shot is %v s off", c.rate, got-want)
		}
		if len(in.Notes) != 1 || !strings.Contains(in.Notes[0], "24/1") {
			t.Errorf("at %s the notes are %q", c.rate, in.Notes)
		}
	}
}
