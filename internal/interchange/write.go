package interchange

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"

	"takeweave/internal/film"
)

// Outgoing is a cut with what another program needs to know about it.
type Outgoing struct {
	Name   string      // of the film
	Cut    film.Cut    // shots in order, covering [0, Cut.Frames)
	Clips  []film.Clip // at least those that the cut uses
	Song   film.Song   // its sections and lines become markers
	Record string      // absolute path of the record; "" leaves the sound track out
	Start  film.Frames // the time code of film frame 0, as a frame count
	// Pins are the person's decisions as JSON, carried along as they are; nil for none.
	Pins json.RawMessage
}

// WriteTimeline returns the cut as an OpenTimelineIO timeline: a picture track
// with a clip or a gap per shot, a sound track with the record, and markers for
// sections and lines. What the schema has no place for lies in the metadata
// under "takeweave", so that [ReadTimeline] and [Incoming.Unchanged] give back
// the same cut. A cut that does not cover its frames, uses an unknown clip or has a
// number that is not finite is an error.
//
// A clip's source range is in whole frames of the clip where start and length
// are that to a nanosecond; else its length is in film frames and its start a
// fraction of a frame. A clip shown at another speed than 1 keeps the length it
// has in the film and carries a LinearTimeWarp.1: effects do not change ranges.
//
// Source: [OTIO].
func WriteTimeline(out Outgoing) ([]byte, error) {
	picture, err := pictureTrack(out)
	if err != nil {
		return nil, &film.Error{Code: film.CodeFailed, Msg: "the cut cannot be written as a timeline", Hint: "make the cut again", Err: err}
	}
	tracks := composition{item: newItem("Stack.1", "tracks", nil, nil), Children: []any{picture}}
	if out.Record != "" {
		tracks.Children = append(tracks.Children, soundTrack(out))
	}
	tracks.Markers = songMarkers(out.Song, out.Cut.Rate)
	c := &out.Cut
	text, err := encode(timeline{
		Schema: "Timeline.1", Name: out.Name, Start: rationalAt(float64(out.Start), c.Rate), Tracks: tracks,
		Metadata: metadata{ourFilm{c.Rate, c.Shape, c.Frames, out.Pins}},
	})
	if err != nil {
		return nil, &film.Error{Code: film.CodeFailed, Msg: "the cut cannot be written as a timeline", Hint: "make the cut again", Err: err}
	}
	return text, nil
}

// encode returns v as indented JSON, as the format asks for, in which only what
// JSON demands is escaped.
func encode(v any) ([]byte, error) {
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	err := e.Encode(v)
	return b.Bytes(), err
}

// pictureTrack lays the shots one after another.
func pictureTrack(out Outgoing) (composition, error) {
	c := &out.Cut
	if !c.Rate.Known() {
		return composition{}, fmt.Errorf("its frame rate is not known")
	}
	clips := map[int64]*film.Clip{}
	for i := range out.Clips {
		clips[out.Clips[i].ID] = &out.Clips[i]
	}
	track := composition{item: newItem("Track.1", "picture", nil, nil), Kind: "Video", Children: []any{}}
	next := film.Frames(0)
	for i := range c.Shots {
		s := &c.Shots[i]
		if s.First != next || s.End <= s.First {
			return composition{}, fmt.Errorf("shot %d covers frames %d to %d, after frame %d", i+1, s.First, s.End, next)
		}
		next = s.End
		if s.File == "" {
			track.Children = append(track.Children, newItem("Gap.1", "", frameRange(0, s.End-s.First, c.Rate), ourShot{Shot: s}))
			continue
		}
		from := clips[s.Clip]
		if from == nil {
			return composition{}, fmt.Errorf("shot %d uses clip %d, which is not known", i+1, s.Clip)
		}
		track.Children = append(track.Children, shotClip(s, from, c.Rate))
	}
	if next != c.Frames {
		return composition{}, fmt.Errorf("its shots end at frame %d of %d", next, c.Frames)
	}
	return track, nil
}

// shotClip returns the clip that shows one shot.
func shotClip(s *film.Shot, from *film.Clip, filmRate film.Rate) clip {
	own := from.Rate
	if !own.Known() {
		own = filmRate
	}
	media := reference{
		Schema: "ExternalReference.1", Name: from.File, Target: fileURL(from.Path),
		Available: rangeOf(secondsAt(float64(from.PictureStart), own), secondsAt(float64(from.PictureEnd-from.PictureStart), own)),
	}
	start := secondsAt(float64(s.SourceStart), own)
	length := secondsAt(float64(filmRate.FrameStart(s.End-s.First)), own)
	if start.Value != math.Trunc(start.Value) || length.Value != math.Trunc(length.Value) {
		length = rationalAt(float64(s.End-s.First), filmRate)
	}
	made := clip{
		item:  newItem("Clip.2", s.Pass, rangeOf(start, length), ourShot{s, media.Target}),
		Media: map[string]reference{"DEFAULT_MEDIA": media}, Active: "DEFAULT_MEDIA",
	}
	if s.Speed != 1 {
		made.Effects = append(made.Effects, timeWarp{Schema: "LinearTimeWarp.1", Effect: "LinearTimeWarp", Scalar: s.Speed, Enabled: true})
	}
	return made
}

// secondsAt returns a time in frames of a rate: a whole number where it is one
// to a nanosecond, else a fraction.
func secondsAt(seconds float64, r film.Rate) rational {
	value := seconds * float64(r.Num) / float64(r.Den)
	if whole := math.Round(value); math.Abs(value-whole) < 1e-9*r.PerSecond() {
		value = whole
	}
	return rationalAt(value, r)
}

// soundTrack holds the record from its first sample.
func soundTrack(out Outgoing) composition {
	r := out.Cut.Rate
	media := reference{
		Schema: "ExternalReference.1", Name: "record", Target: fileURL(out.Record),
		Available: rangeOf(rationalAt(0, r), secondsAt(float64(out.Song.Duration), r)),
	}
	record := clip{
		item:  newItem("Clip.2", "record", frameRange(0, out.Cut.Frames, r), nil),
		Media: map[string]reference{"DEFAULT_MEDIA": media}, Active: "DEFAULT_MEDIA",
	}
	return composition{item: newItem("Track.1", "record", nil, nil), Kind: "Audio", Children: []any{record}}
}

// songMarkers marks sections ("A2") and lines ("A2.3", with its text as the
// comment), to the nearest film frames.
func songMarkers(song film.Song, r film.Rate) []marker {
	marks := []marker{}
	mark := func(name, comment, color string, span film.SongSpan, ours any) {
		first := r.NearestFrame(span.From)
		marks = append(marks, marker{
			Schema: "Marker.2", Name: name, Comment: comment, Color: color,
			Range: frameRange(first, r.NearestFrame(span.To)-first, r), Metadata: metadata{ours},
		})
	}
	for _, s := range song.Sections {
		mark(s.Name, "", "BLUE", s.Span, map[string]film.Section{"section": s})
	}
	for _, l := range song.Lines {
		section := "?"
		if l.Section >= 0 && l.Section < len(song.Sections) {
			section = song.Sections[l.Section].Name
		}
		mark(fmt.Sprintf("%s.%d", section, l.Number), l.Text, "GREEN", l.Span, map[string]film.Line{"line": l})
	}
	return marks
}
