package film

import (
	"fmt"
	"sort"
)

// Beat is one beat of the record.
type Beat struct {
	At    SongTime `json:"at"`
	InBar int      `json:"in_bar"` // 0 is the downbeat
}

// Bar is one bar: its beats are Beats[FirstBeat:FirstBeat+Count].
type Bar struct {
	Span      SongSpan `json:"span"`
	FirstBeat int      `json:"first_beat"`
	Count     int      `json:"count"`
}

// Section is a part of the form. Parts that repeat share a Letter; Name is the
// letter with its occurrence ("A2") until the person gives it a name.
type Section struct {
	Name   string   `json:"name"`
	Letter string   `json:"letter"`
	Span   SongSpan `json:"span"`
	// PaceS is the wanted length of shots here in seconds: 6 is calm, 3 is
	// restless; 0 leaves it to the film.
	PaceS float64 `json:"pace_s,omitempty"`
}

// Line is a phrase of the song, the unit of coverage.
type Line struct {
	Section int      `json:"section"` // index into Song.Sections
	Number  int      `json:"number"`  // 1-based within its section
	Span    SongSpan `json:"span"`
	Text    string   `json:"text,omitempty"`
	Words   []Word   `json:"words,omitempty"` // in order; empty when not known
}

// Song is the map of the record.
type Song struct {
	Duration    SongTime  `json:"duration"`      // of the record, seconds
	Music       SongSpan  `json:"music"`         // first to last sound that is not silence
	TempoBPM    float64   `json:"tempo_bpm"`     // median over the music; 0 when not found
	BeatsPerBar int       `json:"beats_per_bar"` // 3 or 4 (or as edited)
	TuningCents float64   `json:"tuning_cents"`  // against A4 = 440 Hz
	Sureness    float64   `json:"sureness"`      // 0..1, how regular and strong the pulse is
	Beats       []Beat    `json:"beats"`
	Bars        []Bar     `json:"bars"`
	Lines       []Line    `json:"lines"`
	Sections    []Section `json:"sections"`
	Rests       []Rest    `json:"rests,omitempty"`    // in order; marked by the person or measured
	MustSee     []MustSee `json:"must_see,omitempty"` // in any order
}

// LineAt returns the index of the line that holds t, or -1.
func (s *Song) LineAt(t SongTime) int {
	i := sort.Search(len(s.Lines), func(i int) bool { return s.Lines[i].Span.To > t })
	if i < len(s.Lines) && s.Lines[i].Span.Holds(t) {
		return i
	}
	return -1
}

// Address returns the song address of t, said aloud: "A2.3/4" is section A2,
// line 3, beat 4. Before the first line and after the last it returns "intro"
// and "end".
func (s *Song) Address(t SongTime) string {
	i := s.LineAt(t)
	if i < 0 {
		if len(s.Lines) > 0 && t >= s.Lines[len(s.Lines)-1].Span.To {
			return "end"
		}
		return "intro"
	}
	beat := 1
	for n, at := range s.beatsIn(s.Lines[i].Span) {
		if at <= t+sameBeat {
			beat = n + 1
		}
	}
	return fmt.Sprintf("%s/%d", s.LineName(i), beat)
}

// LineName returns the address of line i, "A2.3".
func (s *Song) LineName(i int) string {
	l := s.Lines[i]
	name := "?"
	if l.Section >= 0 && l.Section < len(s.Sections) {
		name = s.Sections[l.Section].Name
	}
	return fmt.Sprintf("%s.%d", name, l.Number)
}
