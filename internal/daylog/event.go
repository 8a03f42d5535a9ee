package daylog

import (
	"cmp"
	"slices"
)

// Kind is what an event does.
type Kind string

// The kinds, each with the fields of Event that it reads besides the first five.
const (
	Begin    Kind = "begin"    // Entry rolls at At: Number, Setup, Voice (empty: those of now), Lines, Origin
	End      Kind = "end"      // Entry is cut at At: Verdict
	Judge    Kind = "judge"    // Entry gets another Verdict
	Flag     Kind = "flag"     // "there!" in Entry at At
	Note     Kind = "note"     // Entry gets the note Text
	Play     Kind = "play"     // Entry played Lines, "" the whole song
	Number   Kind = "number"   // Entry gets another Number
	Retime   Kind = "retime"   // Entry rolled and was cut at RollingMS and CutMS, where not 0
	SetSetup Kind = "setup"    // Entry was in Setup; without Entry: Setup from now on
	SetVoice Kind = "voice"    // the same for Voice
	Add      Kind = "add"      // Entry is added later: all its fields, its place After another if given
	Move     Kind = "move"     // Entry comes After another, "" first
	Remove   Kind = "remove"   // Entry is taken out
	Lamp     Kind = "lamp"     // the lamp Text is On or not
	Strike   Kind = "strike"   // Struck is struck
	PutBack  Kind = "put-back" // Text was moved or switched off: Photo
	BackDone Kind = "back"     // what the event Of was about is put back
	Card     Kind = "card"     // a card with FreeGB free goes into the camera
	Undo     Kind = "undo"     // the event Of counts as never sent
	Redo     Kind = "redo"     // the event Of counts again
)

// Event is one operation of the log, as a phone sends it.
type Event struct {
	ID    string `json:"id"`    // never used twice
	Phone string `json:"phone"` // who sends it
	Count int64  `json:"count"` // the phone's own counter: one more than the highest it has seen of any phone
	At    int64  `json:"at_ms"` // on the phone's clock, unix milliseconds
	Kind  Kind   `json:"kind"`

	Entry     string  `json:"entry,omitempty"` // ID of the entry that it is about
	Of        string  `json:"of,omitempty"`    // ID of another event
	After     string  `json:"after,omitempty"` // ID of another entry
	Number    int     `json:"number,omitempty"`
	Setup     string  `json:"setup,omitempty"`
	RollingMS int64   `json:"rolling_ms,omitempty"`
	CutMS     int64   `json:"cut_ms,omitempty"`
	Verdict   Verdict `json:"verdict,omitempty"`
	Lines     string  `json:"lines,omitempty"`
	Voice     Voice   `json:"voice,omitempty"`
	Origin    Origin  `json:"origin,omitempty"`
	Text      string  `json:"text,omitempty"`
	Photo     string  `json:"photo,omitempty"` // name of a photo
	On        bool    `json:"on,omitempty"`
	FreeGB    float64 `json:"free_gb,omitempty"`
	Struck    *Struck `json:"struck,omitempty"`
}

// Struck is something that was taken down, with what is needed to set it up
// again.
type Struck struct {
	What       string  `json:"what"` // lamp, setup, wardrobe, tuning
	Name       string  `json:"name"`
	Photo      string  `json:"photo,omitempty"`
	HeightCM   float64 `json:"height_cm,omitempty"`
	DistanceCM float64 `json:"distance_cm,omitempty"`
	Dial       string  `json:"dial,omitempty"` // the lamp's setting, as it says it
	Gel        string  `json:"gel,omitempty"`
}

// ordered returns each event once, in the order of the phones' counters, ties by
// ID.
func ordered(events []Event) []Event {
	out := slices.Clone(events)
	slices.SortStableFunc(out, func(a, b Event) int {
		return cmp.Or(cmp.Compare(a.Count, b.Count), cmp.Compare(a.ID, b.ID))
	})
	seen := map[string]bool{}
	return slices.DeleteFunc(out, func(e Event) bool {
		again := seen[e.ID]
		seen[e.ID] = true
		return again
	})
}

// undone returns which of the ordered events count as never sent: the last undo
// or redo of each decides.
func undone(events []Event) map[string]bool {
	out := map[string]bool{}
	for _, e := range events {
		if e.Kind == Undo || e.Kind == Redo {
			out[e.Of] = e.Kind == Undo
		}
	}
	return out
}

// NextUndo returns the event that the next undo of a phone takes back, and
// NextRedo the one that its next redo brings again; false when there is none. A
// new operation ends what can be redone.
func NextUndo(events []Event, phone string) (Event, bool) {
	done, _ := history(events, phone)
	return last(done)
}

// NextRedo: see NextUndo.
func NextRedo(events []Event, phone string) (Event, bool) {
	_, back := history(events, phone)
	return last(back)
}

// history returns what a phone did and what it took back, each with the last at
// the end.
func history(events []Event, phone string) (done, back []Event) {
	for _, e := range ordered(events) {
		isOf := func(o Event) bool { return o.ID == e.Of }
		switch {
		case e.Phone != phone:
		case e.Kind == Undo:
			if i := slices.IndexFunc(done, isOf); i >= 0 {
				back = append(back, done[i])
				done = slices.Delete(done, i, i+1)
			}
		case e.Kind == Redo:
			if i := slices.IndexFunc(back, isOf); i >= 0 {
				done = append(done, back[i])
				back = slices.Delete(back, i, i+1)
			}
		default:
			done, back = append(done, e), nil
		}
	}
	return done, back
}

func last(events []Event) (Event, bool) {
	if len(events) == 0 {
		return Event{}, false
	}
	return events[len(events)-1], true
}
