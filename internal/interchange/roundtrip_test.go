package interchange

import (
	"encoding/json"
	"fmt"
	"math"
	"reflect"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"takeweave/internal/film"
)

// filmRates are those that a film may have, 24000/1001 to 60.
var filmRates = []film.Rate{ntsc24, {Num: 24, Den: 1}, {Num: 25, Den: 1}, ntsc30, {Num: 30, Den: 1}, {Num: 50, Den: 1}, ntsc60, {Num: 60, Den: 1}}

// clipRates also have what cameras make up: unknown, of phones, of action cameras.
var clipRates = append([]film.Rate{{}, {Num: 1350000, Den: 43543}, {Num: 90000, Den: 3001}, {Num: 120000, Den: 1001}, {Num: 25, Den: 2}}, filmRates...)

// anyFilm draws a whole valid film: clips, a cut with holes, slips and speeds, a
// song, pins.
func anyFilm(t *rapid.T) Outgoing {
	out := Outgoing{
		Name:   rapid.String().Draw(t, "name"),
		Record: rapid.SampledFrom([]string{"", "/songs/the record.wav", `D:\songs\record.flac`}).Draw(t, "record"),
		Start:  film.Frames(rapid.Int64Range(0, 100_000).Draw(t, "start")),
	}
	out.Cut.Rate = rapid.SampledFrom(filmRates).Draw(t, "film rate")
	out.Cut.Shape = rapid.SampledFrom([]film.Shape{"16:9", "9:16", "2.39:1"}).Draw(t, "shape")
	for i := range rapid.IntRange(1, 5).Draw(t, "clips") {
		r := rapid.SampledFrom(clipRates).Draw(t, "clip rate")
		from := rapid.Float64Range(0, 0.2).Draw(t, "picture start")
		file := fmt.Sprintf("%s/C%04d.MP4", rapid.StringN(1, 8, -1).Draw(t, "folder"), i)
		out.Clips = append(out.Clips, film.Clip{
			ID: int64(i + 1), Path: "/day/" + file, File: file, Rate: r,
			PictureStart: film.PassTime(from), PictureEnd: film.PassTime(from + rapid.Float64Range(1, 900).Draw(t, "length")),
		})
	}
	for range rapid.IntRange(0, 12).Draw(t, "shots") {
		s := film.Shot{First: out.Cut.Frames, Why: rapid.String().Draw(t, "why")}
		s.End = s.First + film.Frames(rapid.Int64Range(1, 500).Draw(t, "frames"))
		out.Cut.Frames = s.End
		if rapid.IntRange(0, 4).Draw(t, "hole") > 0 {
			c := rapid.SampledFrom(out.Clips).Draw(t, "clip")
			s.Clip, s.File, s.Setup, s.Pass = c.ID, c.File, rapid.String().Draw(t, "setup"), rapid.String().Draw(t, "pass")
			s.Segment = rapid.IntRange(0, 3).Draw(t, "segment")
			if s.SourceStart = film.PassTime(rapid.Float64Range(0, 900).Draw(t, "source")); c.Rate.Known() && rapid.Bool().Draw(t, "on a frame") {
				s.SourceStart = film.PassTime(c.Rate.FrameStart(c.Rate.NearestFrame(film.SongTime(s.SourceStart))))
			}
			s.Speed = rapid.SampledFrom([]float64{1, 1, 1.02, 0.98, 1 / 1.013, rapid.Float64Range(0.96, 1.04).Draw(t, "odd speed")}).Draw(t, "speed")
			s.Agreement, s.Worst = rapid.Float64Range(0, 1).Draw(t, "agreement"), rapid.Float64Range(0, 1).Draw(t, "worst")
			s.HoldErrorMS, s.MapErrorMS = rapid.Float64Range(0, 80).Draw(t, "hold"), rapid.Float64Range(0, 80).Draw(t, "map")
		}
		out.Cut.Shots = append(out.Cut.Shots, s)
	}
	length := out.Cut.Rate.FrameStart(out.Cut.Frames)
	out.Song = film.Song{Duration: length, Sections: []film.Section{{Name: "A1", Letter: "A", Span: film.SongSpan{From: 0, To: length}}}}
	out.Song.Lines = []film.Line{
		{Section: 0, Number: 1, Span: film.SongSpan{From: 0, To: length / 3}, Text: rapid.String().Draw(t, "text")},
		{Section: 0, Number: 2, Span: film.SongSpan{From: length / 3, To: length}},
	}
	if rapid.Bool().Draw(t, "pinned") {
		out.Pins = json.RawMessage(`[{"line": "A1.2", "clip": 12345678901234567, "strong": true, "why": "<&>"}]`)
	}
	return out
}

// TestNothingIsLost writes any film and reads it back, all of it.
func TestNothingIsLost(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		out := anyFilm(t)
		text, err := WriteTimeline(out)
		if err != nil {
			t.Fatal(err)
		}
		in, err := ReadTimeline(text, "film.otio", out.Cut.Rate)
		if err != nil {
			t.Fatal(err)
		}
		if len(in.Notes) > 0 {
			t.Fatalf("notes: %q", in.Notes)
		}
		cut, ok := in.Unchanged()
		if !ok {
			t.Fatalf("it came back changed: %+v\n%s", in.Shots, text)
		}
		if d := cmp.Diff(out.Cut, cut); d != "" {
			t.Fatal(d)
		}
		if in.Name != out.Name || in.Start != out.Start {
			t.Fatalf("name %q, start %d; want %q, %d", in.Name, in.Start, out.Name, out.Start)
		}
		if out.Pins == nil != (in.Pins == nil) || out.Pins != nil && !sameJSON(t, out.Pins, in.Pins) {
			t.Fatalf("pins %s came back as %s", out.Pins, in.Pins)
		}
		told, err := Differences(Present{out.Cut, out.Clips, out.Song, out.Record}, in)
		if err != nil || len(told) > 0 {
			t.Fatalf("differences: %+v, %v", told, err)
		}
	})
}

func sameJSON(t *rapid.T, a, b []byte) bool {
	x, err1 := parse([]byte(`{"of":` + string(a) + `}`))
	y, err2 := parse([]byte(`{"of":` + string(b) + `}`))
	if err1 != nil || err2 != nil {
		t.Fatal(err1, err2)
	}
	return reflect.DeepEqual(x, y)
}

// TestTheFileItselfSaysItAll reads back without our own metadata, as another
// program sees it: all places are exact, all source times right to a microsecond.
func TestTheFileItselfSaysItAll(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		out := anyFilm(t)
		text, err := WriteTimeline(out)
		if err != nil {
			t.Fatal(err)
		}
		in, err := ReadTimeline(withoutOurs(t, text), "film.otio", out.Cut.Rate)
		if err != nil {
			t.Fatal(err)
		}
		if len(in.Shots) != len(out.Cut.Shots) || in.Frames != out.Cut.Frames {
			t.Fatalf("%d shots, %d frames; want %d, %d", len(in.Shots), in.Frames, len(out.Cut.Shots), out.Cut.Frames)
		}
		for i, s := range in.Shots {
			w := out.Cut.Shots[i]
			if s.First != w.First || s.End != w.End || s.Hole != (w.File == "") || s.Sent != nil {
				t.Fatalf("shot %d is %+v, want %+v", i, s, w)
			}
			if s.Hole {
				continue
			}
			c := out.Clips[w.Clip-1]
			if s.File != c.Path || s.Name != w.Pass || s.Speed != w.Speed || math.Abs(float64(s.SourceStart-w.SourceStart)) > 1e-6 {
				t.Fatalf("shot %d is %+v, want %+v of %q", i, s, w, c.Path)
			}
			if math.Abs(float64(s.MediaStart-c.PictureStart)) > 1e-6 || !s.MediaKnown {
				t.Fatalf("the media of shot %d begins at %v, want %v", i, s.MediaStart, c.PictureStart)
			}
		}
		if told, err := Differences(Present{out.Cut, out.Clips, out.Song, out.Record}, in); err != nil || len(told) > 0 {
			t.Fatalf("differences: %+v, %v", told, err)
		}
		if len(in.Marks) != 3 && out.Cut.Frames > 3 {
			t.Fatalf("%d marks", len(in.Marks))
		}
		for i, m := range in.Marks {
			if i == 1 && m != (Mark{0, out.Cut.Rate.NearestFrame(out.Song.Lines[0].Span.To), "A1.1", out.Song.Lines[0].Text}) {
				t.Fatalf("the first line's mark is %+v", m)
			}
		}
	})
}

// withoutOurs empties every metadata dictionary.
func withoutOurs(t rapid.TB, text []byte) []byte {
	var v any
	if err := json.Unmarshal(text, &v); err != nil {
		t.Fatal(err)
	}
	var walk func(v any)
	walk = func(v any) {
		switch v := v.(type) {
		case map[string]any:
			if _, ok := v["metadata"]; ok {
				v["metadata"] = map[string]any{}
			}
			for _, child := range v {
				walk(child)
			}
		case []any:
			for _, child := range v {
				walk(child)
			}
		}
	}
	walk(v)
	text, err := json.Marshal(v)
	if err != nil {
		t.Fatal(err)
	}
	return text
}

// TestAnyChangeIsSeen changes one number in a file of ours: it no longer is the
// cut that we wrote, and the shot says so.
func TestAnyChangeIsSeen(t *testing.T) {
	text, err := WriteTimeline(threeShots())
	if err != nil {
		t.Fatal(err)
	}
	for what, change := range map[string]func(clip object){
		"a source start": func(clip object) {
			clip.object("source_range").object("start_time")["value"] = json.Number("350.34")
		},
		"a length": func(clip object) { clip.object("source_range").object("duration")["value"] = json.Number("101") },
		"a speed": func(clip object) {
			clip["effects"] = []any{map[string]any{"OTIO_SCHEMA": "LinearTimeWarp.1", "time_scalar": json.Number("1.01")}}
		},
		"a file": func(clip object) {
			clip.object("media_references").object("DEFAULT_MEDIA")["target_url"] = "file:///day/loft/C0009.MP4"
		},
		"the link":     func(clip object) { clip["media_references"] = map[string]any{} },
		"the metadata": func(clip object) { clip["metadata"] = map[string]any{} },
		"a gap":        func(clip object) { clip["OTIO_SCHEMA"] = "Gap.1" },
	} {
		top, err := parse(text)
		if err != nil {
			t.Fatal(err)
		}
		change(top.object("tracks").list("children")[0].list("children")[1])
		changed, err := json.Marshal(top)
		if err != nil {
			t.Fatal(err)
		}
		in, err := ReadTimeline(changed, "", pal)
		if err != nil {
			t.Fatal(err)
		}
		if _, ok := in.Unchanged(); ok || in.Shots[1].Sent != nil || in.Shots[0].Sent == nil {
			t.Errorf("%s was changed and not seen: %+v", what, in.Shots)
		}
	}
	if in, err := ReadTimeline(text, "", film.Rate{Num: 50, Den: 1}); err != nil {
		t.Fatal(err)
	} else if _, ok := in.Unchanged(); ok {
		t.Error("read at another rate it is not the same cut")
	}
	if _, ok := readSample(t, "simple_cut.otio", film.Rate{}).Unchanged(); ok {
		t.Error("a file of others is not ours")
	}
}

// TestAMovedCutIsSeen moves only the cut between two shots, and the source start
// not with it.
func TestAMovedCutIsSeen(t *testing.T) {
	text, err := WriteTimeline(threeShots())
	if err != nil {
		t.Fatal(err)
	}
	top, err := parse(text)
	if err != nil {
		t.Fatal(err)
	}
	clips := top.object("tracks").list("children")[0].list("children")
	clips[0].object("source_range").object("duration")["value"] = json.Number("90")
	clips[1].object("source_range").object("duration")["value"] = json.Number("110")
	text, err = json.Marshal(top)
	if err != nil {
		t.Fatal(err)
	}
	in, err := ReadTimeline(text, "", pal)
	if err != nil || in.Shots[0].Sent != nil || in.Shots[1].Sent != nil || in.Shots[2].Sent == nil {
		t.Errorf("%+v, %v", in, err)
	}
}
