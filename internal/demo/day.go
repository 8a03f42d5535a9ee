package demo

import (
	"encoding/json"
	"os"

	"takeweave/internal/film"
)

// Day is the exact truth of an invented film day.
type Day struct {
	Title   string  `json:"title"`
	Player  string  `json:"player"`
	Seed    uint64  `json:"seed"`
	Song    string  `json:"song"` // file, relative to the day's folder
	SongS   float64 `json:"song_s"`
	Lines   []Line  `json:"lines"`
	Plucks  []Pluck `json:"plucks"` // of the record, by time
	Setups  []Setup `json:"setups"`
	Passes  []Pass  `json:"passes"`
	TauMS   float64 `json:"spark_tau_ms"`   // a spark decays as exp(-dt/tau)
	SoundMS float64 `json:"sound_ms_per_m"` // how much later a metre further away hears
}

// Line is a line of the song as sung on the record.
type Line struct {
	Section string        `json:"section"`
	Text    string        `json:"text"`
	Span    film.SongSpan `json:"span"`
}

// Pluck is a pluck of the record.
type Pluck struct {
	SongS  film.SongTime `json:"song_s"`
	String int           `json:"string"` // 0 is the low E
	MIDI   int           `json:"midi"`
}

// Setup is a camera position of the day.
type Setup struct {
	film.Setup
	FocalMM  float64 `json:"focal_mm"`
	Stop     float64 `json:"stop"`
	FocusMM  float64 `json:"focus_mm"`  // to the player
	DistM    float64 `json:"sound_m"`   // from the guitar to the camera's microphone
	LateMS   float64 `json:"sound_ms"`  // so much later than the picture the camera hears
	DiscsPx  []Disc  `json:"discs_px"`  // blur discs of the lamps at the sizes drawn
	HasSpark bool    `json:"has_spark"` // the inlay is in the picture
}

// Disc is the blur disc of a lamp so far from the lens.
type Disc struct {
	AtMM float64 `json:"at_mm"`
	Px   float64 `json:"px"`
}

// Kind says what a pass is.
type Kind string

// The kinds of pass.
const (
	KindSafety     Kind = "safety"      // the whole song, as on the record
	KindTempo      Kind = "tempo"       // the whole song, slower and wandering
	KindFalseStart Kind = "false_start" // begins, stops, begins again
	KindSkip       Kind = "skip"        // a line is left out
	KindWrongChord Kind = "wrong_chord" // other chords in two places
	KindPicking    Kind = "picking"     // another picking in verse 2
	KindPlayback   Kind = "playback"    // mimed to the record
	KindMidStart   Kind = "mid_start"   // begins at the first chorus
	KindOtherSong  Kind = "other_song"  // not this song
	KindSilent     Kind = "silent"      // nothing to hear
)

// Pass is one clip of the day.
type Pass struct {
	File     string      `json:"file"` // relative to the day's folder, slashes
	Kind     Kind        `json:"kind"`
	Setup    string      `json:"setup"`
	Width    int         `json:"width"`
	Height   int         `json:"height"`
	Rate     film.Rate   `json:"fps"`
	Seconds  float64     `json:"seconds"`
	DriftPPM float64     `json:"drift_ppm"` // playback only: pass clock against record
	OffsetS  float64     `json:"offset_s"`  // playback only: pass time of song time 0
	Plucks   []PassPluck `json:"plucks"`    // by time
	Played   []Run       `json:"played"`    // which parts of the song are played, in order
	Faults   []Fault     `json:"faults"`    // where it is not as on the record
	Sparks   *Sparks     `json:"sparks"`    // nil when they are not in the picture
}

// PassPluck is a pluck as filmed. PassS is when it happens, which the picture
// shows; the clip's sound has it later by the setup's LateMS.
type PassPluck struct {
	PassS  film.PassTime  `json:"pass_s"`
	String int            `json:"string"`
	MIDI   int            `json:"midi"`
	SongS  *film.SongTime `json:"song_s"` // the record's pluck of the same string at the same place of the song; nil when there is none
	Same   bool           `json:"same"`   // and it is the same note
}

// Run is an unbroken stretch of the song as played: pass time against song
// time at every beat.
type Run struct {
	Knots []film.Knot `json:"knots"`
}

// Fault is a stretch of the song that a pass plays differently or not at all.
type Fault struct {
	Span film.SongSpan `json:"span"`
	What string        `json:"what"` // "missing", "other chord", "other picking"
}

// Sparks says where the inlay's places are in the clip's picture, in pixels
// from its upper left corner, when the picture is at rest, and how it moves.
type Sparks struct {
	Pearl  Spot              `json:"pearl"` // always at the light end of the law
	Jet    Spot              `json:"jet"`   // always at the dark end
	String [openStrings]Spot `json:"string"`
	Radius float64           `json:"radius_px"`
	SwayX  []Swing           `json:"sway_x"`
	SwayY  []Swing           `json:"sway_y"`
}

// Spot is a point in a picture, in pixels from the upper left corner.
type Spot struct {
	X float64 `json:"x"`
	Y float64 `json:"y"`
}

// setup returns the setup of a name.
func (d *Day) setup(name string) (Setup, bool) {
	for _, s := range d.Setups {
		if s.Name == name {
			return s, true
		}
	}
	return Setup{}, false
}

// ReadTruth reads the truth.json that Make wrote.
func ReadTruth(path string) (Day, error) {
	var d Day
	b, err := os.ReadFile(path)
	if err != nil {
		return d, &film.Error{Code: film.CodeNotFound, Path: path, Msg: "cannot be read", Hint: "make the day again", Err: err}
	}
	if err := json.Unmarshal(b, &d); err != nil {
		return d, &film.Error{Code: film.CodeUnreadable, Path: path, Msg: "is not the truth of a demo day", Hint: "make the day again", Err: err}
	}
	return d, nil
}
