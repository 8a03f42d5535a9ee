package songmap

import (
	"bytes"
	"encoding/json"
	"fmt"
	"maps"
	"reflect"
	"slices"
	"strings"

	"takeweave/internal/film"
)

// Edit is one correction of the map by the person. As JSON it is an object with
// its kind and the fields of that kind, {"kind": "move-beat", "index": 11,
// "at": 6.04}. docs/song-editing.md lists them all.
type Edit struct {
	Change
}

// Change is one of the kinds of edit below. Places in Song.Beats, Lines,
// Sections, MustSee and Rests count from 0, as in JSON; the words of Apply count
// from 1, as people do.
type Change interface {
	// apply changes d and returns what it did in words.
	apply(d *draft) (words string, err error)
}

// MoveBeat moves a beat between its neighbours.
type MoveBeat struct {
	Index int           `json:"index"`
	At    film.SongTime `json:"at"`
}

// AddBeat adds a beat.
type AddBeat struct {
	At film.SongTime `json:"at"`
}

// DropBeat removes a beat.
type DropBeat struct {
	Index int `json:"index"`
}

// Tap replaces the beats of the stretch along which the person tapped.
type Tap struct {
	Times []film.SongTime `json:"times"` // at least 4, in any order
	// LateMS is how late the taps are known to be: the hand and the loudspeaker.
	// When absent it is estimated against Onsets, or against the present beats
	// where the taps keep to them.
	LateMS *float64 `json:"late_ms,omitempty"`
	// Onsets are attacks heard in the record, in any order.
	Onsets []film.SongTime `json:"onsets,omitempty"`
}

// HalfTempo keeps every other beat, of the whole song when Span is nil.
type HalfTempo struct {
	Span *film.SongSpan `json:"span,omitempty"`
}

// DoubleTempo puts a beat between every two, of the whole song when Span is nil.
type DoubleTempo struct {
	Span *film.SongSpan `json:"span,omitempty"`
}

// ShiftDownbeat makes the bars begin By beats later, from a beat on when From is
// given.
type ShiftDownbeat struct {
	By   int  `json:"by"`             // negative is earlier
	From *int `json:"from,omitempty"` // place of a beat
}

// BeatsPerBar counts the song in bars of so many beats.
type BeatsPerBar struct {
	Beats int `json:"beats"` // 2..16
}

// SplitLine ends a line at the beat nearest to At and begins another there.
type SplitLine struct {
	Line int           `json:"line"`
	At   film.SongTime `json:"at"`
}

// JoinLine joins a line with the next.
type JoinLine struct {
	Line int `json:"line"`
}

// MoveLine moves the edges of a line to the beats nearest to From and To; its
// neighbours give way.
type MoveLine struct {
	Line int            `json:"line"`
	From *film.SongTime `json:"from,omitempty"`
	To   *film.SongTime `json:"to,omitempty"`
}

// NameSection gives a section a name that no other has.
type NameSection struct {
	Section int    `json:"section"`
	Name    string `json:"name"`
}

// SectionStart begins a section with a line. Letter says which part it repeats;
// a part of its own when empty.
type SectionStart struct {
	Line   int    `json:"line"`
	Letter string `json:"letter,omitempty"`
}

// SectionDrop joins a section to the one before it.
type SectionDrop struct {
	Section int `json:"section"`
}

// Pace sets the wanted length of shots in a section; 0 leaves it to the film.
type Pace struct {
	Section int     `json:"section"`
	Seconds float64 `json:"seconds"`
}

// Lyrics lays the whole text on the lines of the song.
type Lyrics struct {
	Text string `json:"text"`
}

// LineText sets the text of one line; "" removes it.
type LineText struct {
	Line int    `json:"line"`
	Text string `json:"text"`
}

// Words sets when each word of a line is sung; without Words they are spread
// over the line by their syllables and marked as estimates.
type Words struct {
	Line  int         `json:"line"`
	Words []film.Word `json:"words,omitempty"`
}

// MustSee marks a stretch in which something must be seen, or changes the mark
// at Index. The stretch is Where, said as film.Song.SpanOf takes it, or Span.
type MustSee struct {
	Index  *int           `json:"index,omitempty"`
	Where  string         `json:"where,omitempty"`
	Span   *film.SongSpan `json:"span,omitempty"`
	Shows  film.Shows     `json:"shows"` // "hands", "lips" or "both"
	Before film.Frames    `json:"frames_before,omitempty"`
	After  film.Frames    `json:"frames_after,omitempty"`
	Text   string         `json:"text,omitempty"`
	// Matches is how many usable passes are wanted of it; 0 leaves it to the plan.
	Matches int `json:"matches,omitempty"`
}

// DropMustSee removes a mark.
type DropMustSee struct {
	Index int `json:"index"`
}

// Rest marks a place between notes or words; a mark that is there already is
// changed.
type Rest struct {
	At     film.SongTime `json:"at"`
	Breath bool          `json:"breath,omitempty"`
}

// DropRest removes a rest.
type DropRest struct {
	Index int `json:"index"`
}

// kinds names every kind of edit, in the order of the documentation.
var kinds = []struct {
	name   string
	change Change
}{
	{"move-beat", MoveBeat{}},
	{"add-beat", AddBeat{}},
	{"drop-beat", DropBeat{}},
	{"tap", Tap{}},
	{"half-tempo", HalfTempo{}},
	{"double-tempo", DoubleTempo{}},
	{"shift-downbeat", ShiftDownbeat{}},
	{"beats-per-bar", BeatsPerBar{}},
	{"split-line", SplitLine{}},
	{"join-line", JoinLine{}},
	{"move-line", MoveLine{}},
	{"name-section", NameSection{}},
	{"section-start", SectionStart{}},
	{"section-drop", SectionDrop{}},
	{"pace", Pace{}},
	{"lyrics", Lyrics{}},
	{"line-text", LineText{}},
	{"words", Words{}},
	{"must-see", MustSee{}},
	{"drop-must-see", DropMustSee{}},
	{"rest", Rest{}},
	{"drop-rest", DropRest{}},
}

// Kind returns the name of e's kind, "" when it has none.
func (e Edit) Kind() string {
	for _, k := range kinds {
		if reflect.TypeOf(k.change) == reflect.TypeOf(e.Change) {
			return k.name
		}
	}
	return ""
}

// UnmarshalJSON reads an edit. It returns a *film.Error with CodeUsage for an
// unknown kind, an unknown or missing field, or a field of another type.
func (e *Edit) UnmarshalJSON(b []byte) error {
	var given map[string]json.RawMessage
	if err := json.Unmarshal(b, &given); err != nil || given == nil {
		return badEdit("an edit is an object with a kind", "send {\"kind\": …} and the fields of that kind")
	}
	var name string
	if err := json.Unmarshal(given["kind"], &name); err != nil {
		return badEdit("an edit has no kind", "give one of "+kindNames())
	}
	delete(given, "kind")
	for _, k := range kinds {
		if k.name != name {
			continue
		}
		into := reflect.New(reflect.TypeOf(k.change))
		if err := readFields(name, given, into.Elem()); err != nil {
			return err
		}
		e.Change = into.Elem().Interface().(Change)
		return nil
	}
	return badEdit(fmt.Sprintf("%q is no kind of edit", name), "give one of "+kindNames())
}

// MarshalJSON writes what UnmarshalJSON reads.
func (e Edit) MarshalJSON() ([]byte, error) {
	if e.Change == nil {
		return nil, badEdit("an edit has no kind", "give one of "+kindNames())
	}
	fields, err := json.Marshal(e.Change)
	if err != nil {
		return nil, err
	}
	head := fmt.Appendf(nil, `{"kind":%q`, e.Kind())
	if len(fields) > len("{}") {
		head = append(head, ',')
	}
	return append(head, fields[1:]...), nil
}

// readFields fills the struct into from what is given: all its fields but the
// optional ones, and no others.
func readFields(kind string, given map[string]json.RawMessage, into reflect.Value) error {
	fields := map[string]reflect.Value{}
	var takes, missing []string
	for i := range into.NumField() {
		name, option, _ := strings.Cut(into.Type().Field(i).Tag.Get("json"), ",")
		fields[name] = into.Field(i)
		takes = append(takes, name)
		if raw, ok := given[name]; option == "" && (!ok || string(raw) == "null") {
			missing = append(missing, name)
		}
	}
	for _, name := range slices.Sorted(maps.Keys(given)) {
		field, ok := fields[name]
		if !ok {
			return badEdit(fmt.Sprintf("%s takes no %q", kind, name), "it takes "+strings.Join(takes, ", "))
		}
		d := json.NewDecoder(bytes.NewReader(given[name]))
		d.DisallowUnknownFields()
		if err := d.Decode(field.Addr().Interface()); err != nil {
			return badEdit(fmt.Sprintf("%q of %s cannot be %s", name, kind, given[name]), "give what the table of edits names")
		}
	}
	if len(missing) > 0 {
		return badEdit(fmt.Sprintf("%s lacks %q", kind, missing[0]), "it takes "+strings.Join(takes, ", "))
	}
	return nil
}

func kindNames() string {
	var names []string
	for _, k := range kinds {
		names = append(names, k.name)
	}
	return strings.Join(names, ", ")
}

func badEdit(msg, hint string) error {
	return &film.Error{Code: film.CodeUsage, Msg: msg, Hint: hint}
}
