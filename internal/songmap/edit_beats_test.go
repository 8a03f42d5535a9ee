package songmap

import (
	"math"
	"strings"
	"testing"

	"takeweave/internal/film"
)

// edited does edits and returns the song and what the last one said.
func edited(t *testing.T, song film.Song, changes ...Change) (film.Song, string) {
	t.Helper()
	var words string
	for _, c := range changes {
		var err error
		if song, words, err = Apply(song, Edit{c}); err != nil {
			t.Fatalf("%+v: %v", c, err)
		}
	}
	return song, words
}

// refused asserts that an edit fails and says why.
func refused(t *testing.T, song film.Song, c Change, says string) {
	t.Helper()
	_, words, err := Apply(song, Edit{c})
	if err == nil || !strings.Contains(err.Error(), says) || film.CodeOf(err) != film.CodeUsage || film.HintOf(err) == "" {
		t.Errorf("%+v: %q, error %v; want one that says %q", c, words, err, says)
	}
}

// counted writes the count of the beats, a space before each bar.
func counted(s film.Song) string {
	var b strings.Builder
	for i, beat := range s.Beats {
		if i > 0 && beat.InBar == 0 {
			b.WriteByte(' ')
		}
		b.WriteByte('1' + byte(beat.InBar))
	}
	return b.String()
}

func lineStarts(s film.Song) []film.SongTime {
	var out []film.SongTime
	for _, l := range s.Lines {
		out = append(out, l.Span.From)
	}
	return out
}

func same(a, b []film.SongTime) bool {
	if len(a) != len(b) {
		return false
	}
	for i := range a {
		if math.Abs(float64(a[i]-b[i])) > 1e-9 {
			return false
		}
	}
	return true
}

const eightBars = "1234 1234 1234 1234 1234 1234 1234 1234"

func TestCountAfterEditsOfBeats(t *testing.T) {
	// A song whose tracker missed the third beat of the second bar, 4.0 s, and
	// found the bars right all the same, and one that also heard a beat at 3.75.
	missed, _ := edited(t, fourLines(), DropBeat{6})
	for _, c := range []struct {
		name    string
		song    film.Song
		changes []Change
		want    string
		lines   []film.SongTime
	}{
		{"dropped in a bar", fourLines(), []Change{DropBeat{6}}, "1234 123 1234 1234 1234 1234 1234 1234", []film.SongTime{1, 5, 9, 13}},
		{"a missed beat put back", missed, []Change{AddBeat{4}}, eightBars, []film.SongTime{1, 5, 9, 13}},
		{"a downbeat dropped, the line begins nearby", fourLines(), []Change{DropBeat{8}}, "1234 1234 123 1234 1234 1234 1234 1234", []film.SongTime{1, 4.5, 9, 13}},
		{"added to a full bar, the count goes on", fourLines(), []Change{AddBeat{3.75}}, "1234 1234 1234 1234 1234 1234 1234 1234 1", []film.SongTime{1, 5, 9, 13}},
		{"added to a full bar, a short one takes it", fourLines(), []Change{DropBeat{18}, AddBeat{3.75}}, eightBars, []film.SongTime{1, 5, 9, 13}},
		{"added before the first", fourLines(), []Change{AddBeat{0.5}}, "4 " + eightBars, []film.SongTime{0.5, 5, 9, 13}},
		{"a bar of one beat goes with the beat that made it", fourLines(), []Change{AddBeat{3.75}, ShiftDownbeat{1, new(8)}, DropBeat{6}}, "1234 1234 1234 1234 1234 1234 1234 1234", []film.SongTime{1, 5, 9, 13}},
		{"half", fourLines(), []Change{HalfTempo{}}, "1234 1234 1234 1234", []film.SongTime{1, 5, 9, 13}},
		{"half with a pickup", fourLines(), []Change{ShiftDownbeat{1, nil}, HalfTempo{}}, "1234 1234 1234 1234", []film.SongTime{1.5, 5.5, 9.5, 13.5}},
		{"half of two bars", fourLines(), []Change{HalfTempo{&film.SongSpan{From: 5, To: 9}}}, "1234 1234 1234 1234 1234 1234 1234", []film.SongTime{1, 5, 9, 13}},
		{"double", fourLines(), []Change{HalfTempo{}, DoubleTempo{}}, eightBars, []film.SongTime{1, 5, 9, 13}},
		{"double of one bar", fourLines(), []Change{DoubleTempo{&film.SongSpan{From: 1, To: 3}}}, "1234 " + eightBars, []film.SongTime{1, 5, 9, 13}},
		{"downbeats later", fourLines(), []Change{ShiftDownbeat{1, nil}}, "4 1234 1234 1234 1234 1234 1234 1234 123", []film.SongTime{1, 5, 9, 13}},
		{"downbeats earlier", fourLines(), []Change{ShiftDownbeat{-1, nil}}, "234 1234 1234 1234 1234 1234 1234 1234 1", []film.SongTime{1, 5, 9, 13}},
		{"downbeats later from a beat on", fourLines(), []Change{ShiftDownbeat{2, new(8)}}, "1234 1234 12 1234 1234 1234 1234 1234 12", []film.SongTime{1, 5, 9, 13}},
		{"three in a bar", fourLines(), []Change{BeatsPerBar{3}}, "123 123 123 123 123 123 123 123 123 123 12", []film.SongTime{1, 5, 9, 13}},
		{"eight in a bar", fourLines(), []Change{BeatsPerBar{8}}, "12345678 12345678 12345678 12345678", []film.SongTime{1, 5, 9, 13}},
	} {
		t.Run(c.name, func(t *testing.T) {
			got, _ := edited(t, c.song, c.changes...)
			if counted(got) != c.want {
				t.Errorf("counted %s\nwant    %s", counted(got), c.want)
			}
			if !same(lineStarts(got), c.lines) {
				t.Errorf("lines begin at %v, want %v", lineStarts(got), c.lines)
			}
		})
	}
}

func TestBeatsInWords(t *testing.T) {
	for _, c := range []struct {
		change Change
		want   string
	}{
		{MoveBeat{11, 6.54}, "beat 12 (A1.2/4) moved 40 ms later"},
		{MoveBeat{0, 0.9}, "beat 1 (A1.1/1) moved 100 ms earlier"},
		{AddBeat{3.75}, "a beat added at 3.75 s, beat 7"},
		{DropBeat{6}, "beat 7 (A1.1/7) removed"},
		{DropBeat{8}, "beat 9 (A1.2/1) removed; A1.2 begins 500 ms earlier"},
		{HalfTempo{}, "the tempo is halved: 60 beats a minute"},
		{HalfTempo{&film.SongSpan{From: 5, To: 9}}, "the tempo is halved from A1.2/1 to A1.2/8"},
		{DoubleTempo{}, "the tempo is doubled: 240 beats a minute"},
		{ShiftDownbeat{-1, nil}, "bars begin 1 beat earlier"},
		{ShiftDownbeat{2, new(8)}, "bars begin 2 beats later from A1.2/1 on"},
		{BeatsPerBar{3}, "bars have 3 beats"},
	} {
		if _, words := edited(t, fourLines(), c.change); words != c.want {
			t.Errorf("%+v says %q, want %q", c.change, words, c.want)
		}
	}
	// All four lines begin with beats that go.
	if _, words := edited(t, fourLines(), ShiftDownbeat{1, nil}, HalfTempo{}); words != "the tempo is halved: 60 beats a minute; 4 lines begin with other beats" {
		t.Error(words)
	}
}

func TestBeatsThatCannotBe(t *testing.T) {
	oneEach := fourLines() // lines of one beat
	for range 3 {
		oneEach, _ = edited(t, oneEach, HalfTempo{})
	}
	if len(oneEach.Beats) != 4 || oneEach.TempoBPM != 15 {
		t.Fatalf("%d beats at %g", len(oneEach.Beats), oneEach.TempoBPM)
	}
	for _, c := range []struct {
		song   film.Song
		change Change
		says   string
	}{
		{fourLines(), MoveBeat{32, 3}, "beat 33 is not in the song"},
		{fourLines(), MoveBeat{-1, 3}, "beat 0 is not in the song"},
		{fourLines(), MoveBeat{3, 3.1}, "beat 5 is at 3.00 s"},
		{fourLines(), MoveBeat{3, 2.05}, "beat 3 is at 2.00 s"},
		{fourLines(), MoveBeat{3, 2.5001}, "is there already"},
		{fourLines(), MoveBeat{31, 17}, "outside the music"},
		{fourLines(), MoveBeat{0, -0.2}, "outside the music"},
		{fourLines(), MoveBeat{0, film.SongTime(math.NaN())}, "outside the music"},
		{fourLines(), AddBeat{4.05}, "beat 7 is at 4.00 s"},
		{oneEach, DropBeat{1}, "A1.2 has no other beat"},
		{oneEach, HalfTempo{}, "4 lines cannot share 2 beats"},
		{fourLines(), HalfTempo{&film.SongSpan{From: 5, To: 5.6}}, "too few beats"},
		{fourLines(), DoubleTempo{&film.SongSpan{From: 5.1, To: 5.2}}, "no beat from 5.10 to 5.20 s"},
		{fourLines(), ShiftDownbeat{4, nil}, "are the same"},
		{fourLines(), ShiftDownbeat{1, new(30)}, "no bar begins there"},
		{fourLines(), BeatsPerBar{1}, "cannot have 1 beat"},
		{fourLines(), BeatsPerBar{4}, "4 beats already"},
	} {
		refused(t, c.song, c.change, c.says)
	}
}
