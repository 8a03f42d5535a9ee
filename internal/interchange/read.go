package interchange

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math"

	"takeweave/internal/film"
)

// Limits of what is read. A timeline of ours takes about 2 KB a shot.
const (
	maxBytes = 16 << 20
	maxItems = 100_000 // clips, gaps, tracks, stacks
	maxDepth = 64      // stacks in tracks in stacks
	maxNotes = 100
	fastest  = 1000 // speeds beyond are not believed
)

// Incoming is what a file from elsewhere says, in film frames: a plain list of
// shots, laid flat, with notes of what was not understood.
type Incoming struct {
	Name   string
	Rate   film.Rate   // in which all frames count
	Start  film.Frames // the time code of frame 0, as a frame count
	Frames film.Frames // length of the picture
	Shots  []Shot      // in order, without overlap, covering [0, Frames)
	Sound  []Shot      // what the sound tracks hold, track by track, without holes
	Marks  []Mark
	Notes  []string        // in plain words
	Pins   json.RawMessage // ours, when the file carries them
	sent   *ourFilm        // what we wrote about the film, if we did
}

// Shot is a stretch of one source.
type Shot struct {
	First, End film.Frames // end exclusive
	Hole       bool        // nothing shows
	Name       string      // of the clip, as the file gives it
	File       string      // path of its media, or a name when none is linked
	Linked     bool        // File comes from a link to media
	// SourceStart is what is shown at the start of frame First, and MediaStart
	// where the media begins, if MediaKnown; in seconds on the media's own clock
	// as the file has it.
	SourceStart film.PassTime
	MediaStart  film.PassTime
	MediaKnown  bool
	Speed       float64 // 1 is native, 0 a still, negative backwards
	// Sent is what we wrote about this shot, when the file still says the same;
	// nil when it is new or was changed.
	Sent *film.Shot
}

// Mark is a marker.
type Mark struct {
	First, End    film.Frames // equal for a moment
	Name, Comment string
}

// ReadTimeline reads an OpenTimelineIO timeline of any kind and lays it flat:
// upper picture tracks cover lower ones, nested compositions are opened,
// transitions become cuts. Frames count at rate, or at the file's own rate when
// that is the zero Rate. The path is told in errors only.
//
// A file that is not JSON, is too large or too deep, or holds no timeline gives
// a *film.Error with film.CodeUnreadable. Anything less is left out with a note.
//
// Source: [OTIO].
func ReadTimeline(text []byte, path string, rate film.Rate) (*Incoming, error) {
	refuse := func(msg, hint string, err error) (*Incoming, error) {
		return nil, &film.Error{Code: film.CodeUnreadable, Path: path, Msg: msg, Hint: hint, Err: err}
	}
	if len(text) > maxBytes {
		return refuse(fmt.Sprintf("is larger than %d MB", maxBytes>>20), "export only the timeline of this film", nil)
	}
	top, err := parse(text)
	if err != nil {
		return refuse("is not an OpenTimelineIO file", "export the timeline as OpenTimelineIO (.otio) again", err)
	}
	r := reader{notes: map[string]bool{}, in: &Incoming{}}
	line, err := r.timeline(top)
	if err != nil {
		return refuse("holds no timeline", "export a whole timeline, not a part of one", err)
	}
	if sent, ok := ours[ourFilm](line); ok {
		r.in.sent, r.in.Pins = &sent, sent.Pins
	}
	own := r.rate(line)
	switch {
	case !rate.Known() && !own.Known():
		return refuse("does not say its frame rate", "give the film's frame rate", nil)
	case !rate.Known():
		rate = own
	case own.Known() && own != rate:
		r.note("it counts at %s frames per second; its cuts were laid on the nearest frame at %s", own, rate)
	}
	r.in.Name, r.in.Rate = line.text("name"), rate
	if start, ok := line.seconds("global_start_time"); ok {
		r.in.Start = rate.NearestFrame(film.SongTime(start))
	}
	if err := r.tracks(line.object("tracks")); err != nil {
		return refuse("is nested too deeply or holds too many clips", "flatten the timeline there and export it again", err)
	}
	return r.in, nil
}

// parse returns the dictionary that a file is.
func parse(text []byte) (object, error) {
	d := json.NewDecoder(bytes.NewReader(plainJSON(text)))
	d.UseNumber()
	var top object
	if err := d.Decode(&top); err != nil {
		return nil, err
	}
	if _, err := d.Token(); !errors.Is(err, io.EOF) {
		return nil, errors.New("something follows after its end")
	}
	return top, nil
}

// reader gathers what a file holds.
type reader struct {
	in    *Incoming
	notes map[string]bool // that are told already
	items int
}

// note tells once, and not too often, what was not understood.
func (r *reader) note(format string, args ...any) {
	text := fmt.Sprintf(format, args...)
	if r.notes[text] || len(r.notes) > maxNotes {
		return
	}
	r.notes[text] = true
	if len(r.notes) > maxNotes {
		text = "and more of that kind"
	}
	r.in.Notes = append(r.in.Notes, text)
}

// timeline returns the timeline that a file is, or the first one in a
// collection.
func (r *reader) timeline(top object) (object, error) {
	switch kind, _ := top.schema(); kind {
	case "Timeline":
		if name, _ := top.object("tracks").schema(); name != "Stack" {
			return nil, errors.New("its timeline has no tracks")
		}
		return top, nil
	case "SerializableCollection":
		for _, child := range top.list("children") {
			if kind, _ := child.schema(); kind == "Timeline" {
				r.note("of the collection only the timeline %q was read", child.text("name"))
				return r.timeline(child)
			}
		}
		return nil, errors.New("its collection has none")
	case "":
		return nil, errors.New("it is JSON of another kind")
	default:
		return nil, fmt.Errorf("it begins with %q", top.text("OTIO_SCHEMA"))
	}
}

// rate returns in which rate the file counts: as we wrote it, as its time code
// does, or as its first picture does.
func (r *reader) rate(line object) film.Rate {
	if r.in.sent != nil && r.in.sent.Rate.Known() {
		return r.in.sent.Rate
	}
	if rate, ok := line.object("global_start_time").number("rate"); ok {
		return rateOf(rate)
	}
	for _, track := range line.object("tracks").list("children") {
		if track.text("kind") != "Video" {
			continue
		}
		for _, child := range track.list("children") {
			if rate, ok := child.object("source_range").object("duration").number("rate"); ok {
				return rateOf(rate)
			}
		}
	}
	return film.Rate{}
}

// tracks lays the tracks of a timeline flat.
func (r *reader) tracks(stack object) error {
	var pictures, sounds []content
	for _, track := range stack.list("children") {
		layer, err := r.item(track, 1)
		if err != nil {
			return err
		}
		kind, _ := track.schema()
		switch tells := track.text("kind"); {
		case kind != "Track" || tells == "Video":
			pictures = append(pictures, layer)
		case tells == "Audio":
			sounds = append(sounds, layer)
		default:
			r.note("the track %q is of the kind %q and was left out", track.text("name"), tells)
		}
	}
	picture := r.trimmed(stack, pile(pictures))
	r.in.Shots = picture.shots(r.in.Rate)
	if n := len(r.in.Shots); n > 0 {
		r.in.Frames = r.in.Shots[n-1].End
	}
	for _, s := range sounds {
		for _, shot := range r.trimmed(stack, s).shots(r.in.Rate) {
			if !shot.Hole {
				r.in.Sound = append(r.in.Sound, shot)
			}
		}
	}
	for _, m := range picture.spots {
		at := func(seconds float64) film.Frames { return r.in.Rate.NearestFrame(film.SongTime(seconds)) }
		r.in.Marks = append(r.in.Marks, Mark{at(m.from), at(m.to), m.name, m.comment})
	}
	return nil
}

// item returns what a child of a stack or track plays.
func (r *reader) item(o object, depth int) (content, error) {
	if r.items++; r.items > maxItems || depth > maxDepth {
		return content{}, fmt.Errorf("the limits are %d items and %d levels", maxItems, maxDepth)
	}
	name, version := o.schema()
	if latest, known := latestVersion[name]; known && version > latest {
		r.note("%s is newer than what is known here, and was read as well as it goes", o.text("OTIO_SCHEMA"))
	}
	var c content
	switch name {
	case "Clip":
		c = r.clip(o)
	case "Gap":
		c = r.gap(o)
	case "Stack", "Track":
		var layers []content
		for _, child := range o.list("children") {
			layer, err := r.item(child, depth+1)
			if err != nil {
				return content{}, err
			}
			layers = append(layers, layer)
		}
		if name == "Stack" {
			c = pile(layers)
		} else {
			for _, l := range layers {
				c.after(l)
			}
		}
		c = r.trimmed(o, c)
	case "Transition":
		r.note("the transition %q was read as a cut", o.text("name"))
	default:
		r.note("something of the kind %q was left out", o.text("OTIO_SCHEMA"))
		c = r.gap(o)
	}
	if o.off() {
		r.note("%q is switched off there", o.text("name"))
		c = hole(c.length)
	}
	return c, nil
}

// latestVersion is the newest version that is known of what tracks hold.
var latestVersion = map[string]int{"Clip": 2, "Gap": 1, "Stack": 1, "Track": 1, "Transition": 1}

func hole(length float64) content {
	var c content
	c.rest(length)
	return c
}

// gap returns nothing, for as long as the gap is.
func (r *reader) gap(o object) content {
	_, length, _ := o.span("source_range")
	c := hole(length)
	if len(c.stretches) > 0 {
		c.stretches[0].of.sent, _ = ours[ourShot](o)
	}
	return c
}

// clip returns the one stretch that a clip plays.
func (r *reader) clip(o object) content {
	of := &source{name: o.text("name")}
	media := r.media(o, of)
	start, length, ok := o.span("source_range")
	if whole, wholeLength, known := media.span("available_range"); known {
		of.mediaStart, of.mediaKnown = whole, true
		if !ok {
			start, length, ok = whole, wholeLength, o["source_range"] == nil
		}
	}
	if !ok {
		r.note("the clip %q does not say how long it is and was left out", of.name)
		return content{}
	}
	of.sent, _ = ours[ourShot](o)
	scale := r.scale(o)
	var c content
	c.add(stretch{from: 0, to: length, at: start, speed: scale, of: of})
	for _, m := range r.markers(o) {
		if from := (m.from - start) / scale; scale > 0 && from >= 0 && from < length {
			c.spots = append(c.spots, spot{from, (m.to - start) / scale, m.name, m.comment})
		}
	}
	return c
}

// media fills in what a clip shows and returns the reference to it.
func (r *reader) media(o object, of *source) object {
	media := o.object("media_reference")
	if all := o.object("media_references"); all != nil {
		key := o.text("active_media_reference_key")
		if key == "" {
			key = "DEFAULT_MEDIA"
		}
		media = all.object(key)
	}
	of.file = media.text("name")
	if of.file == "" {
		of.file = of.name
	}
	switch kind, _ := media.schema(); kind {
	case "ExternalReference":
		if target := media.text("target_url"); target != "" {
			of.file, of.linked = mediaPath(target), true
		}
	case "MissingReference", "":
	default:
		r.note("the clip %q shows media of the kind %q, which cannot be used", of.name, media.text("OTIO_SCHEMA"))
	}
	return media
}

// trimmed applies the range, the effects and the markers of a stack or track to
// what it holds.
func (r *reader) trimmed(o object, c content) content {
	scale := r.scale(o)
	if scale < 0 {
		r.note("%q runs backwards, which was left out", o.text("name"))
		scale = 1
	}
	c.spots = append(c.spots, r.markers(o)...)
	start, length, ok := o.span("source_range")
	switch {
	case !ok && scale == 1:
		return c
	case !ok: // an effect does not change how long an item is: [OTIO], item
		return c.window(0, c.length, scale)
	case start >= c.length || start+length*math.Max(scale, 0) <= 0 && start < 0:
		r.note("%q begins outside what it holds; it was read from its beginning", o.text("name"))
		start = 0
	}
	return c.window(start, length, scale)
}

// scale returns the speed that the effects of an item give it.
func (r *reader) scale(o object) float64 {
	scale := 1.0
	for _, e := range o.list("effects") {
		if e.off() {
			continue
		}
		switch kind, _ := e.schema(); kind {
		case "LinearTimeWarp":
			if k, ok := e.number("time_scalar"); ok && math.Abs(scale*k) <= fastest {
				scale *= k
			} else {
				r.note("%q has a speed that is no usable number, which was left out", o.text("name"))
			}
		case "FreezeFrame":
			scale = 0
		default:
			r.note("%q has an effect of the kind %q, which was left out", o.text("name"), e.text("OTIO_SCHEMA"))
		}
	}
	return scale
}

// markers returns the markers on an item, on the item's own clock.
func (r *reader) markers(o object) []spot {
	var all []spot
	for _, m := range o.list("markers") {
		key := "marked_range"
		if _, version := m.schema(); version == 1 {
			key = "range"
		}
		if start, length, ok := m.span(key); ok {
			all = append(all, spot{start, start + length, m.text("name"), m.text("comment")})
		} else {
			r.note("the marker %q does not say where it is", m.text("name"))
		}
	}
	return all
}
