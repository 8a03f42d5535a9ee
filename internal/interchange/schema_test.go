package interchange

import (
	"encoding/json"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"takeweave/internal/film"
)

// fields are those of every schema that we write, with its version. Source:
// [OTIO], Serialized Data, Fields Only; "children" of compositions from the file
// format, "enabled" of effects from the snapshot.
var fields = map[string][]string{
	"Timeline.1":          {"global_start_time", "metadata", "name", "tracks"},
	"Stack.1":             {"children", "effects", "enabled", "markers", "metadata", "name", "source_range"},
	"Track.1":             {"children", "effects", "enabled", "kind", "markers", "metadata", "name", "source_range"},
	"Clip.2":              {"active_media_reference_key", "effects", "enabled", "markers", "media_references", "metadata", "name", "source_range"},
	"Gap.1":               {"effects", "enabled", "markers", "metadata", "name", "source_range"},
	"ExternalReference.1": {"available_image_bounds", "available_range", "metadata", "name", "target_url"},
	"LinearTimeWarp.1":    {"effect_name", "enabled", "metadata", "name", "time_scalar"},
	"Marker.2":            {"color", "comment", "marked_range", "metadata", "name"},
	"RationalTime.1":      {"rate", "value"},
	"TimeRange.1":         {"duration", "start_time"},
}

// colors are the names that a Marker.2 may have. Source: [OTIO], marker schema.
var colors = []string{"PINK", "RED", "ORANGE", "YELLOW", "GREEN", "CYAN", "BLUE", "PURPLE", "MAGENTA", "BLACK", "WHITE"}

// mayHold says what may stand where.
var mayHold = map[string][]string{
	"tracks":            {"Stack.1"},
	"children":          {"Track.1", "Clip.2", "Gap.1"},
	"effects":           {"LinearTimeWarp.1"},
	"markers":           {"Marker.2"},
	"media_references":  {"ExternalReference.1"},
	"source_range":      {"TimeRange.1"},
	"available_range":   {"TimeRange.1"},
	"marked_range":      {"TimeRange.1"},
	"start_time":        {"RationalTime.1"},
	"duration":          {"RationalTime.1"},
	"global_start_time": {"RationalTime.1"},
}

func TestWhatIsWrittenFollowsTheSchema(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		out := anyFilm(t)
		text, err := WriteTimeline(out)
		if err != nil {
			t.Fatal(err)
		}
		var top map[string]any
		if err := json.Unmarshal(text, &top); err != nil {
			t.Fatal(err)
		}
		if top["OTIO_SCHEMA"] != "Timeline.1" {
			t.Fatalf("it begins with %v", top["OTIO_SCHEMA"])
		}
		checkObject(t, "", top)
		tracks := top["tracks"].(map[string]any)["children"].([]any)
		if want := 1 + min(len(out.Record), 1); len(tracks) != want {
			t.Fatalf("%d tracks, want %d", len(tracks), want)
		}
		for i, kind := range []string{"Video", "Audio"}[:len(tracks)] {
			if got := tracks[i].(map[string]any)["kind"]; got != kind {
				t.Fatalf("track %d is of the kind %v", i, got)
			}
		}
		pictures := tracks[0].(map[string]any)["children"].([]any)
		if len(pictures) != len(out.Cut.Shots) {
			t.Fatalf("%d clips and gaps for %d shots", len(pictures), len(out.Cut.Shots))
		}
		for i, p := range pictures {
			s := out.Cut.Shots[i]
			got := object(p.(map[string]any))
			effects := got["effects"].([]any)
			if want := s.File != "" && s.Speed != 1; (len(effects) == 1) != want {
				t.Fatalf("shot %d at speed %v has the effects %v", i, s.Speed, effects)
			}
		}
	})
}

func checkObject(t *rapid.T, where string, o map[string]any) {
	schema, _ := o["OTIO_SCHEMA"].(string)
	want, known := fields[schema]
	if !known {
		t.Fatalf("%s is of the unknown schema %q", where, schema)
	}
	var got []string
	for key := range o {
		if key != "OTIO_SCHEMA" {
			got = append(got, key)
		}
	}
	slices.Sort(got)
	if !slices.Equal(got, want) {
		t.Fatalf("%s, a %s, has the fields %q, want %q", where, schema, got, want)
	}
	if schema == "Marker.2" && !slices.Contains(colors, o["color"].(string)) {
		t.Fatalf("%s has the colour %q", where, o["color"])
	}
	if schema == "RationalTime.1" && !(o["rate"].(float64) > 0) {
		t.Fatalf("%s has the rate %v", where, o["rate"])
	}
	if schema == "Clip.2" && o["media_references"].(map[string]any)[o["active_media_reference_key"].(string)] == nil {
		t.Fatalf("%s has no active media", where)
	}
	for key, v := range o {
		below := where + "/" + key
		switch held := mayHold[key]; {
		case key == "metadata":
			for name := range v.(map[string]any) {
				if name != "takeweave" {
					t.Fatalf("%s holds %q beside our own name", below, name)
				}
			}
		case held == nil || v == nil:
		case key == "media_references":
			for _, child := range v.(map[string]any) {
				checkHeld(t, below, held, child)
			}
		default:
			children, many := v.([]any)
			if !many {
				children = []any{v}
			}
			for _, child := range children {
				checkHeld(t, below, held, child)
			}
		}
	}
}

func checkHeld(t *rapid.T, where string, held []string, child any) {
	o := child.(map[string]any)
	if schema := o["OTIO_SCHEMA"].(string); !slices.Contains(held, schema) {
		t.Fatalf("%s holds a %s", where, schema)
	}
	checkObject(t, where, o)
}

// TestWholeFramesOfTheClip has 10 film frames at 25: 20 frames of a clip at 50,
// from its frame 101, unless the start lies between frames; of a clip at 24 they
// are no whole number.
func TestWholeFramesOfTheClip(t *testing.T) {
	for _, c := range []struct {
		rate                    int64
		at                      film.PassTime
		speed                   float64
		start, length, lengthAt float64
	}{
		{50, 2.02, 1, 101, 20, 50},
		{50, 2.02, 1.02, 101, 20, 50}, // an effect does not change how long a clip is: [OTIO], item
		{50, 2.025, 1, 101.25, 10, 25},
		{24, 2.5, 1, 60, 10, 25},
	} {
		from := film.Clip{ID: 1, Path: "/day/a.mov", File: "a.mov", Rate: film.Rate{Num: c.rate, Den: 1}, PictureEnd: 60}
		s := film.Shot{End: 10, Clip: 1, File: "a.mov", SourceStart: c.at, Speed: c.speed}
		got := shotClip(&s, &from, pal).Range
		if got.Start.Value != c.start || got.Start.Rate != float64(c.rate) || got.Duration.Value != c.length || got.Duration.Rate != c.lengthAt {
			t.Errorf("from %v s of a clip at %d, at speed %v, the range is %+v", c.at, c.rate, c.speed, got)
		}
	}
}

func TestWriteRefuses(t *testing.T) {
	rate := film.Rate{Num: 25, Den: 1}
	clips := []film.Clip{{ID: 1, Path: "/day/a.mov", File: "a.mov"}}
	good := film.Shot{End: 10, Clip: 1, File: "a.mov", Speed: 1}
	for name, c := range map[string]struct {
		cut  film.Cut
		says string
	}{
		"an unknown rate":  {film.Cut{Frames: 10, Shots: []film.Shot{good}}, "rate"},
		"a short cut":      {film.Cut{Rate: rate, Frames: 11, Shots: []film.Shot{good}}, "end at frame 10"},
		"an overlap":       {film.Cut{Rate: rate, Frames: 10, Shots: []film.Shot{good, good}}, "shot 2"},
		"an unknown clip":  {film.Cut{Rate: rate, Frames: 10, Shots: []film.Shot{{End: 10, Clip: 7, File: "b.mov"}}}, "clip 7"},
		"an endless shift": {film.Cut{Rate: rate, Frames: 10, Shots: []film.Shot{{End: 10, Clip: 1, File: "a.mov", HoldErrorMS: inf}}}, "unsupported"},
	} {
		_, err := WriteTimeline(Outgoing{Cut: c.cut, Clips: clips})
		if err == nil || !strings.Contains(err.Error(), c.says) || film.HintOf(err) == "" {
			t.Errorf("%s: %v", name, err)
		}
	}
}
