package interchange

import (
	"bytes"
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"takeweave/internal/film"
)

var (
	inf = math.Inf(1)
	pal = film.Rate{Num: 25, Den: 1}
)

// a timeline of one picture track with the given children.
func timelineOf(children string) []byte {
	return []byte(`{"OTIO_SCHEMA":"Timeline.1","name":"t","tracks":{"OTIO_SCHEMA":"Stack.1","children":[
		{"OTIO_SCHEMA":"Track.1","kind":"Video","children":[` + children + `]}]}}`)
}

func span(start, length string) string {
	return fmt.Sprintf(`{"OTIO_SCHEMA":"TimeRange.1","start_time":{"OTIO_SCHEMA":"RationalTime.1","rate":25,"value":%s},"duration":{"OTIO_SCHEMA":"RationalTime.1","rate":25,"value":%s}}`, start, length)
}

func TestNotTimelines(t *testing.T) {
	for name, c := range map[string]struct{ text, says string }{
		"nothing":                   {"", "is not an OpenTimelineIO file"},
		"no JSON":                   {"# Notices", "is not an OpenTimelineIO file"},
		"a list":                    {"[]", "is not an OpenTimelineIO file"},
		"cut off":                   {`{"OTIO_SCHEMA":"Timeline.1","tracks":{`, "is not an OpenTimelineIO file"},
		"two":                       {`{} {}`, "follows"},
		"other JSON":                {`{"a":1}`, "JSON of another kind"},
		"a clip":                    {`{"OTIO_SCHEMA":"Clip.2"}`, `begins with "Clip.2"`},
		"a kind of tomorrow":        {`{"OTIO_SCHEMA":"Reel.1"}`, `begins with "Reel.1"`},
		"a collection without":      {`{"OTIO_SCHEMA":"SerializableCollection.1","children":[{"OTIO_SCHEMA":"Clip.2"}]}`, "its collection has none"},
		"a timeline without tracks": {`{"OTIO_SCHEMA":"Timeline.1","tracks":null}`, "no tracks"},
		"too deep": {
			string(timelineOf(strings.Repeat(`{"OTIO_SCHEMA":"Stack.1","children":[`, 70) + strings.Repeat(`]}`, 70))),
			"nested too deeply",
		},
		"deeper than JSON goes": {string(timelineOf(strings.Repeat(`{"OTIO_SCHEMA":"Stack.1","children":[`, 20_000) + strings.Repeat(`]}`, 20_000))), "is not an OpenTimelineIO file"},
		"too many":              {string(timelineOf(strings.Repeat(`{},`, maxItems) + `{}`)), "too many"},
		"too large":             {string(bytes.Repeat([]byte{' '}, maxBytes+1)), "larger than 16 MB"},
	} {
		_, err := ReadTimeline([]byte(c.text), "reel.otio", pal)
		var e *film.Error
		if !errors.As(err, &e) || e.Code != film.CodeUnreadable || e.Path != "reel.otio" || e.Hint == "" || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%s: %v", name, err)
		}
	}
	if _, err := ReadTimeline(timelineOf(""), "reel.otio", film.Rate{}); err == nil || !strings.Contains(err.Error(), "frame rate") {
		t.Errorf("a timeline without any rate: %v", err)
	}
}

// TestOddThings reads timelines of 10 and 10 frames with something odd between
// or about them.
func TestOddThings(t *testing.T) {
	clip := func(name, more string) string {
		return `{"OTIO_SCHEMA":"Clip.2","name":"` + name + `","source_range":` + span("5", "10") + more + `}`
	}
	for name, c := range map[string]struct {
		text   []byte
		frames film.Frames
		shots  int
		note   string // "" for none
	}{
		"two clips":                      {timelineOf(clip("a", "") + "," + clip("b", "")), 20, 2, ""},
		"a byte order mark":              {append([]byte("\ufeff"), timelineOf(clip("a", ""))...), 10, 1, ""},
		"an unknown kind":                {timelineOf(clip("a", "") + `,{"OTIO_SCHEMA":"Wobble.1","source_range":` + span("0", "3") + `},` + clip("b", "")), 23, 3, `"Wobble.1"`},
		"an unknown kind without length": {timelineOf(clip("a", "") + `,{"OTIO_SCHEMA":"Wobble.1"},` + clip("b", "")), 20, 2, `"Wobble.1"`},
		"a newer clip":                   {timelineOf(`{"OTIO_SCHEMA":"Clip.9","name":"a","source_range":` + span("0", "10") + `}`), 10, 1, "newer"},
		"an unknown effect":              {timelineOf(clip("a", `,"effects":[{"OTIO_SCHEMA":"Blur.1"}]`)), 10, 1, `"Blur.1"`},
		"an effect switched off":         {timelineOf(clip("a", `,"effects":[{"OTIO_SCHEMA":"LinearTimeWarp.1","time_scalar":2,"enabled":false}]`)), 10, 1, ""},
		"a speed of NaN":                 {timelineOf(clip("a", `,"effects":[{"OTIO_SCHEMA":"LinearTimeWarp.1","time_scalar":NaN}]`)), 10, 1, "speed"},
		"a clip switched off":            {timelineOf(clip("a", "") + "," + clip("b", `,"enabled":false`)), 20, 2, "switched off"},
		"no length":                      {timelineOf(`{"OTIO_SCHEMA":"Clip.1","name":"x"},` + clip("a", "")), 10, 1, `"x" does not say how long`},
		"a length of Inf":                {timelineOf(`{"OTIO_SCHEMA":"Clip.1","name":"x","source_range":` + span("0", "Infinity") + `},` + clip("a", "")), 10, 1, `"x" does not say how long`},
		"a length below 0":               {timelineOf(`{"OTIO_SCHEMA":"Clip.1","name":"x","source_range":` + span("0", "-4") + `},` + clip("a", "")), 10, 1, `"x" does not say how long`},
		"numbers too large":              {timelineOf(`{"OTIO_SCHEMA":"Clip.1","name":"x","source_range":` + span("0", "1e999") + `},` + clip("a", "")), 10, 1, `"x" does not say how long`},
		"a length of a year":             {timelineOf(`{"OTIO_SCHEMA":"Clip.1","name":"x","source_range":` + span("0", "788400000") + `},` + clip("a", "")), 10, 1, `"x" does not say how long`},
		"fields of other kinds":          {timelineOf(`{"OTIO_SCHEMA":"Clip.2","name":7,"source_range":` + span("5", "10") + `,"media_references":[],"effects":5,"markers":{"a":[]},"metadata":{"takeweave":{"shot":[1]}}}`), 10, 1, ""},
		"children of other kinds":        {timelineOf(`5,null,"x",` + clip("a", "")), 10, 1, `the kind ""`},
		"a collection":                   {append(append([]byte(`{"OTIO_SCHEMA":"SerializableCollection.1","children":[`), timelineOf(clip("a", ""))...), "]}"...), 10, 1, `only the timeline "t"`},
	} {
		in, err := ReadTimeline(c.text, name, pal)
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		if in.Frames != c.frames || len(in.Shots) != c.shots {
			t.Errorf("%s: %d frames, %d shots %+v", name, in.Frames, len(in.Shots), in.Shots)
		}
		for _, s := range in.Shots {
			if !s.Hole && s.Speed != 1 {
				t.Errorf("%s: %q runs at %v", name, s.Name, s.Speed)
			}
		}
		if all := strings.Join(in.Notes, "\n"); (c.note == "") != (all == "") || !strings.Contains(all, c.note) {
			t.Errorf("%s: the notes are %q, want one of %q", name, in.Notes, c.note)
		}
	}
}

// TestMarkers has the three versions of the marker schema on a clip that begins
// at its frame 5, in a track of its own: the mark at the clip's frame 7 is the
// film's frame 2.
func TestMarkers(t *testing.T) {
	for _, m := range []string{
		`{"OTIO_SCHEMA":"Marker.1","name":"m","range":` + span("7", "3") + `}`,
		`{"OTIO_SCHEMA":"Marker.2","name":"m","color":"RED","marked_range":` + span("7", "3") + `}`,
		`{"OTIO_SCHEMA":"Marker.3","name":"m","color":{"OTIO_SCHEMA":"Color.1","r":1,"g":0,"b":0,"a":1,"name":"RED"},"marked_range":` + span("7", "3") + `}`,
	} {
		in, err := ReadTimeline(timelineOf(`{"OTIO_SCHEMA":"Clip.1","name":"a","source_range":`+span("5", "10")+`,"markers":[`+m+`]}`), "", pal)
		if err != nil || len(in.Marks) != 1 || in.Marks[0] != (Mark{2, 5, "m", ""}) || len(in.Notes) > 0 {
			t.Errorf("%s: %+v, %v", m, in, err)
		}
	}
}

// TestManyLayers lays 20,000 tracks over each other, each of one frame more to
// the right: it must not take longer than their number times its logarithm.
func TestManyLayers(t *testing.T) {
	const n = 20_000
	var b strings.Builder
	b.WriteString(`{"OTIO_SCHEMA":"Timeline.1","tracks":{"OTIO_SCHEMA":"Stack.1","children":[`)
	for i := range n {
		if i > 0 {
			b.WriteByte(',')
		}
		fmt.Fprintf(&b, `{"OTIO_SCHEMA":"Track.1","kind":"Video","children":[{"OTIO_SCHEMA":"Gap.1","source_range":%s},{"OTIO_SCHEMA":"Clip.1","name":"%d","source_range":%s}]}`,
			span("0", fmt.Sprint(i)), i, span("0", "2"))
	}
	b.WriteString(`]}}`)
	if b.Len() > maxBytes {
		t.Fatal("the test is too large for the limit")
	}
	in, err := ReadTimeline([]byte(b.String()), "", pal)
	if err != nil {
		t.Fatal(err)
	}
	if in.Frames != n+1 || len(in.Shots) != n {
		t.Fatalf("%d frames, %d shots", in.Frames, len(in.Shots))
	}
	for i, s := range in.Shots[:n-1] {
		if s.Name != fmt.Sprint(i) || s.End-s.First != 1 {
			t.Fatalf("shot %d is %+v", i, s)
		}
	}
}

// FuzzReadTimeline wants of any bytes an error or a flat list that covers its
// frames once, in order.
func FuzzReadTimeline(f *testing.F) {
	for _, name := range []string{"simple_cut", "transition", "multitrack", "nested_example", "screening_example", "big_int", "generator_reference_test"} {
		f.Add(sample(f, name+".otio"))
	}
	f.Add(timelineOf(`{"OTIO_SCHEMA":"Clip.2","source_range":` + span("5", "10") + `,"effects":[{"OTIO_SCHEMA":"LinearTimeWarp.1","time_scalar":-0.5}]}`))
	f.Fuzz(func(t *testing.T, text []byte) {
		in, err := ReadTimeline(text, "fuzz.otio", pal)
		if err != nil {
			if film.CodeOf(err) != film.CodeUnreadable || film.HintOf(err) == "" {
				t.Fatalf("an error without a way out: %v", err)
			}
			return
		}
		mustCover(t, in)
		if _, err := Differences(Present{Cut: film.Cut{Rate: pal, Frames: 100, Shots: []film.Shot{{End: 100, Clip: 1, File: "a.mov", Speed: 1}}}, Clips: []film.Clip{{ID: 1, File: "a.mov"}}}, in); err != nil {
			t.Fatal(err)
		}
	})
}

func mustCover(t testing.TB, in *Incoming) {
	t.Helper()
	next := film.Frames(0)
	for i, s := range in.Shots {
		if s.First != next || s.End <= s.First {
			t.Fatalf("shot %d covers %d to %d after frame %d", i, s.First, s.End, next)
		}
		next = s.End
		for _, v := range []float64{float64(s.SourceStart), float64(s.MediaStart), s.Speed} {
			if math.IsNaN(v) || math.IsInf(v, 0) {
				t.Fatalf("shot %d is %+v", i, s)
			}
		}
	}
	if next != in.Frames {
		t.Fatalf("the shots end at %d of %d", next, in.Frames)
	}
}

// TestNestedWindow plays the second half of a stack twice as fast: a track of 10
// and 30 frames, of which 20 to 40 are shown in 10 frames, with marks at 5 (cut
// off) and at 24, which falls on the film's frame 2.
func TestNestedWindow(t *testing.T) {
	clip := func(name, length, mark string) string {
		return `{"OTIO_SCHEMA":"Clip.2","name":"` + name + `","source_range":` + span("100", length) + `,"markers":[{"OTIO_SCHEMA":"Marker.2","name":"m","marked_range":` + span(mark, "4") + `}]}`
	}
	text := timelineOf(`{"OTIO_SCHEMA":"Track.1","kind":"Video","source_range":` + span("20", "10") +
		`,"effects":[{"OTIO_SCHEMA":"LinearTimeWarp.1","time_scalar":2}],"children":[` + clip("a", "10", "105") + "," + clip("b", "30", "114") + `]}`)
	in, err := ReadTimeline(text, "", pal)
	if err != nil || len(in.Shots) != 1 || len(in.Marks) != 1 {
		t.Fatalf("%+v, %v", in, err)
	}
	if s := in.Shots[0]; s.First != 0 || s.End != 10 || s.Name != "b" || math.Abs(float64(s.SourceStart)-110./25) > 1e-9 || s.Speed != 2 {
		t.Errorf("the shot is %+v", s)
	}
	if in.Marks[0] != (Mark{2, 4, "m", ""}) {
		t.Errorf("the mark is %+v", in.Marks[0])
	}
}

// TestWarpsWithoutRange has a track at double speed that says nothing of its
// range: it stays as long as it is, and its second half is empty. Backwards is
// not understood for a whole track.
func TestWarpsWithoutRange(t *testing.T) {
	for scalar, c := range map[string]struct {
		shots int
		note  string
	}{"2": {2, ""}, "-1": {1, "runs backwards"}} {
		in, err := ReadTimeline(timelineOf(`{"OTIO_SCHEMA":"Track.1","effects":[{"OTIO_SCHEMA":"LinearTimeWarp.1","time_scalar":`+scalar+`}],"children":[{"OTIO_SCHEMA":"Clip.2","source_range":`+span("0", "10")+`}]}`), "", pal)
		if err != nil || in.Frames != 10 || len(in.Shots) != c.shots || !strings.Contains(strings.Join(in.Notes, ""), c.note) {
			t.Errorf("at %s: %+v, %v", scalar, in, err)
		}
	}
}

func TestNotesEnd(t *testing.T) {
	var b strings.Builder
	for i := range 3 * maxNotes {
		fmt.Fprintf(&b, `{"OTIO_SCHEMA":"Transition.1","name":"%d"},{"OTIO_SCHEMA":"Transition.1","name":"again"},`, i)
	}
	in, err := ReadTimeline(timelineOf(b.String()+`{"OTIO_SCHEMA":"Gap.1"}`), "", pal)
	if err != nil || len(in.Notes) != maxNotes+1 || in.Notes[maxNotes] != "and more of that kind" {
		t.Errorf("%d notes, %v: %q", len(in.Notes), err, in.Notes)
	}
}

func TestPlainJSON(t *testing.T) {
	for in, want := range map[string]string{
		`{"a":NaN,"b":[-Inf,Inf,-Infinity,Infinity],"c":-1}`: `{"a":null,"b":[null,null,null,null],"c":-1}`,
		`{"NaN":"Infinity \" NaN \\","b":NaN}`:               `{"NaN":"Infinity \" NaN \\","b":null}`,
		`{"a":1}`:                                            `{"a":1}`,
	} {
		if got := string(plainJSON([]byte(in))); got != want {
			t.Errorf("%s became %s, want %s", in, got, want)
		}
	}
}

// TestShortRates has frame 30000 of a clip "at 29.97", which is 1001 s and not
// 1001.001.
func TestShortRates(t *testing.T) {
	at := strings.ReplaceAll(span("30000", "10"), `"rate":25`, `"rate":29.97`)
	in, err := ReadTimeline(timelineOf(`{"OTIO_SCHEMA":"Clip.2","source_range":`+at+`}`), "", film.Rate{})
	if err != nil || in.Rate != ntsc30 || len(in.Shots) != 1 || in.Shots[0].SourceStart != 1001 {
		t.Errorf("%+v, %v", in, err)
	}
}
