package interchange

import (
	"encoding/json"

	"takeweave/internal/film"
)

// The OpenTimelineIO schemas that are written, with the versions that releases
// from 0.15.0 read. Source: [OTIO].

// rational is a RationalTime.1: value/rate seconds.
type rational struct {
	Schema string  `json:"OTIO_SCHEMA"`
	Rate   float64 `json:"rate"`
	Value  float64 `json:"value"`
}

func rationalAt(value float64, r film.Rate) rational {
	return rational{"RationalTime.1", r.PerSecond(), value}
}

// timeRange is a TimeRange.1.
type timeRange struct {
	Schema   string   `json:"OTIO_SCHEMA"`
	Start    rational `json:"start_time"`
	Duration rational `json:"duration"`
}

func rangeOf(start, duration rational) *timeRange {
	return &timeRange{"TimeRange.1", start, duration}
}

func frameRange(first, count film.Frames, r film.Rate) *timeRange {
	return rangeOf(rationalAt(float64(first), r), rationalAt(float64(count), r))
}

// metadata is a free dictionary; all of ours lies under one name of our own.
type metadata struct {
	Ours any `json:"takeweave,omitempty"`
}

// item has what clips, gaps, tracks and stacks have in common.
type item struct {
	Schema   string     `json:"OTIO_SCHEMA"`
	Metadata metadata   `json:"metadata"`
	Name     string     `json:"name"`
	Range    *timeRange `json:"source_range"`
	Effects  []timeWarp `json:"effects"`
	Markers  []marker   `json:"markers"`
	Enabled  bool       `json:"enabled"`
}

func newItem(schema, name string, r *timeRange, ours any) item {
	return item{Schema: schema, Metadata: metadata{ours}, Name: name, Range: r, Effects: []timeWarp{}, Markers: []marker{}, Enabled: true}
}

// composition is a Stack.1 or, with a kind, a Track.1.
type composition struct {
	item
	Kind     string `json:"kind,omitempty"`
	Children []any  `json:"children"`
}

// clip is a Clip.2.
type clip struct {
	item
	Media  map[string]reference `json:"media_references"`
	Active string               `json:"active_media_reference_key"`
}

// reference is an ExternalReference.1.
type reference struct {
	Schema    string     `json:"OTIO_SCHEMA"`
	Metadata  metadata   `json:"metadata"`
	Name      string     `json:"name"`
	Available *timeRange `json:"available_range"`
	Bounds    any        `json:"available_image_bounds"`
	Target    string     `json:"target_url"`
}

// timeWarp is a LinearTimeWarp.1.
type timeWarp struct {
	Schema   string   `json:"OTIO_SCHEMA"`
	Metadata metadata `json:"metadata"`
	Name     string   `json:"name"`
	Effect   string   `json:"effect_name"`
	Scalar   float64  `json:"time_scalar"`
	Enabled  bool     `json:"enabled"`
}

// marker is a Marker.2.
type marker struct {
	Schema   string     `json:"OTIO_SCHEMA"`
	Metadata metadata   `json:"metadata"`
	Name     string     `json:"name"`
	Range    *timeRange `json:"marked_range"`
	Color    string     `json:"color"`
	Comment  string     `json:"comment"`
}

// timeline is a Timeline.1.
type timeline struct {
	Schema   string      `json:"OTIO_SCHEMA"`
	Metadata metadata    `json:"metadata"`
	Name     string      `json:"name"`
	Start    rational    `json:"global_start_time"`
	Tracks   composition `json:"tracks"`
}

// ourFilm is what we tell of the film as a whole.
type ourFilm struct {
	Rate   film.Rate       `json:"fps"`
	Shape  film.Shape      `json:"shape"`
	Frames film.Frames     `json:"song_frames"`
	Pins   json.RawMessage `json:"pins,omitempty"`
}

// ourShot is what we tell of a clip or a gap: the shot, and the media it was
// linked to.
type ourShot struct {
	Shot   *film.Shot `json:"shot,omitempty"`
	Target string     `json:"media,omitempty"`
}
