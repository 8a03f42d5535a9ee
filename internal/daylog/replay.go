package daylog

import (
	"cmp"
	"maps"
	"slices"
)

// State is the day as the events tell it.
type State struct {
	Entries []Entry `json:"entries"`           // in order
	Removed []Entry `json:"removed,omitempty"` // taken out by the person, in order
	Running string  `json:"running,omitempty"` // ID of the entry that rolls now
	Next    int     `json:"next"`              // the number of the next pass
	Setup   string  `json:"setup"`             // now
	Voice   Voice   `json:"voice,omitempty"`   // now

	Lamps   []LampState   `json:"lamps,omitempty"` // by name
	Struck  []Struck      `json:"struck,omitempty"`
	PutBack []PutBackItem `json:"put_back,omitempty"`

	CardFreeGB float64 `json:"card_free_gb,omitempty"` // when the card now in the camera went in
	CardAtMS   int64   `json:"card_at_ms,omitempty"`   // 0 when no card was told
}

// LampState is how a lamp was last left.
type LampState struct {
	Name string `json:"name"`
	On   bool   `json:"on"`
}

// PutBackItem is something that has to be put back before leaving.
type PutBackItem struct {
	ID    string `json:"id"` // of the event that told it
	Text  string `json:"text"`
	Photo string `json:"photo,omitempty"`
	Done  bool   `json:"done,omitempty"`
}

// samePassMS is how near two phones begin one and the same pass: farther apart
// than two people tap on one call, nearer than any two passes follow. Common
// practice; the phones' clocks agree to about a second.
const samePassMS = 15_000

// Replay returns the state of the day after the events, in whatever order and
// however often they arrived. When an entry's begin is undone the entry is gone,
// with all that was said of it, until a redo.
func Replay(events []Event) State {
	all := ordered(events)
	d := day{
		entries: map[string]*Entry{}, phones: map[string]string{}, created: map[string]int64{},
		same: map[string]string{}, removed: map[string]bool{}, gone: map[string]bool{}, lamps: map[string]bool{},
	}
	off := undone(all)
	for _, e := range all {
		if off[e.ID] && (e.Kind == Begin || e.Kind == Add) {
			d.gone[e.Entry] = true
		}
	}
	for _, e := range all {
		if !off[e.ID] {
			d.take(e)
		}
	}
	return d.state()
}

// day is a state in the making.
type day struct {
	entries map[string]*Entry
	phones  map[string]string // entry: the phone that began it
	created map[string]int64  // entry: time of the first event about it
	same    map[string]string // entry: the one that another phone began for the same pass
	removed map[string]bool
	gone    map[string]bool // entries whose beginning is undone
	moves   []Event
	lamps   map[string]bool
	out     State
}

// take applies one event.
func (d *day) take(e Event) {
	switch e.Kind {
	case Undo, Redo:
	case Lamp:
		d.lamps[e.Text] = e.On
	case Strike:
		if e.Struck != nil {
			d.out.Struck = append(d.out.Struck, *e.Struck)
		}
	case PutBack:
		d.out.PutBack = append(d.out.PutBack, PutBackItem{ID: e.ID, Text: e.Text, Photo: e.Photo})
	case BackDone:
		for i := range d.out.PutBack {
			if d.out.PutBack[i].ID == e.Of {
				d.out.PutBack[i].Done = true
			}
		}
	case Card:
		d.out.CardFreeGB, d.out.CardAtMS = e.FreeGB, e.At
	default:
		d.takeOfEntry(e)
	}
}

// takeOfEntry applies an event about an entry. Its begin may still be on its
// way: then the entry exists without it.
func (d *day) takeOfEntry(e Event) {
	if e.Entry == "" {
		switch e.Kind {
		case SetSetup:
			d.out.Setup = e.Setup
		case SetVoice:
			d.out.Voice = e.Voice
		}
		return
	}
	if d.gone[e.Entry] {
		return
	}
	if e.Kind == Begin {
		d.begin(e)
		return
	}
	entry := d.entry(e)
	switch e.Kind {
	case End:
		entry.CutMS = e.At
		entry.Verdict = e.Verdict
	case Judge:
		entry.Verdict = e.Verdict
	case Flag:
		entry.FlagsMS = append(entry.FlagsMS, e.At)
	case Note:
		entry.Notes = append(entry.Notes, e.Text)
	case Play:
		entry.Lines = e.Lines
	case Number:
		entry.Number = e.Number
	case Retime:
		entry.RollingMS, entry.CutMS = cmp.Or(e.RollingMS, entry.RollingMS), cmp.Or(e.CutMS, entry.CutMS)
	case SetSetup:
		entry.Setup = e.Setup
	case SetVoice:
		entry.Voice = e.Voice
	case Add:
		d.add(entry, e)
	case Move:
		d.moves = append(d.moves, e)
	case Remove:
		d.removed[entry.ID] = true
	}
}

// entry returns the entry that e is about, made anew if it is not known yet.
func (d *day) entry(e Event) *Entry {
	id := d.id(e.Entry)
	if d.entries[id] == nil {
		d.entries[id] = &Entry{ID: id, Setup: d.out.Setup, Voice: d.out.Voice}
		d.created[id] = e.At
	}
	return d.entries[id]
}

// id returns the entry that stands for one, itself but for a pass that two
// phones began.
func (d *day) id(entry string) string { return cmp.Or(d.same[entry], entry) }

// begin lets an entry roll, or finds that another phone has begun this pass.
func (d *day) begin(e Event) {
	if twin := d.begunElsewhere(e); twin != "" && d.entries[e.Entry] == nil {
		d.same[e.Entry] = twin
		entry := d.entries[twin]
		if entry.Origin == Heard && e.Origin == Tapped {
			entry.Origin, entry.RollingMS = Tapped, e.At
		}
		return
	}
	entry := d.entry(e)
	d.phones[entry.ID] = e.Phone
	entry.RollingMS = e.At
	entry.Number, entry.Origin = e.Number, e.Origin
	entry.Setup = cmp.Or(e.Setup, entry.Setup)
	entry.Voice = cmp.Or(e.Voice, entry.Voice)
	entry.Lines = cmp.Or(e.Lines, entry.Lines)
}

// begunElsewhere returns the entry that another phone began for the pass that e
// begins, "" when there is none.
func (d *day) begunElsewhere(e Event) string {
	for _, id := range slices.Sorted(maps.Keys(d.entries)) {
		o := d.entries[id]
		near := max(o.RollingMS-e.At, e.At-o.RollingMS) <= samePassMS
		if d.phones[id] != "" && d.phones[id] != e.Phone && near && (o.CutMS == 0 || o.CutMS > e.At) {
			return id
		}
	}
	return ""
}

// add fills in an entry that comes later.
func (d *day) add(entry *Entry, e Event) {
	entry.Number, entry.RollingMS, entry.CutMS = e.Number, e.RollingMS, e.CutMS
	entry.Verdict, entry.Lines, entry.Origin = e.Verdict, e.Lines, Later
	entry.Setup = cmp.Or(e.Setup, entry.Setup)
	entry.Voice = cmp.Or(e.Voice, entry.Voice)
	if e.Text != "" {
		entry.Notes = append(entry.Notes, e.Text)
	}
	if e.After != "" {
		d.moves = append(d.moves, e)
	}
}

// state puts everything in its order.
func (d *day) state() State {
	s := d.out
	s.Next = 1
	for _, id := range d.order() {
		e := *d.entries[id]
		slices.Sort(e.FlagsMS)
		s.Next = max(s.Next, e.Number+1)
		if d.removed[id] {
			s.Removed = append(s.Removed, e)
		} else {
			s.Entries = append(s.Entries, e)
		}
	}
	s.Running = running(s.Entries)
	for _, name := range slices.Sorted(maps.Keys(d.lamps)) {
		s.Lamps = append(s.Lamps, LampState{name, d.lamps[name]})
	}
	return s
}

// order returns the entries by the time that they rolled, else were cut, else
// were first spoken of, and then as the person moved them.
func (d *day) order() []string {
	at := func(id string) int64 {
		e := d.entries[id]
		return cmp.Or(e.RollingMS, e.CutMS, d.created[id])
	}
	ids := slices.SortedFunc(maps.Keys(d.entries), func(a, b string) int {
		return cmp.Or(cmp.Compare(at(a), at(b)), cmp.Compare(a, b))
	})
	for _, m := range d.moves {
		what, after := d.id(m.Entry), d.id(m.After)
		if what == after || (after != "" && d.entries[after] == nil) {
			continue
		}
		ids = slices.DeleteFunc(ids, func(id string) bool { return id == what })
		ids = slices.Insert(ids, slices.Index(ids, after)+1, what)
	}
	return ids
}

// running returns the entry that rolled last, if it is not cut yet: a pass that
// begins ends the one before it, tapped or not.
func running(entries []Entry) string {
	var newest *Entry
	for i := range entries {
		e := &entries[i]
		if e.Origin != Later && (newest == nil || max(e.RollingMS, e.CutMS) >= max(newest.RollingMS, newest.CutMS)) {
			newest = e
		}
	}
	if newest == nil || newest.CutMS != 0 || newest.RollingMS == 0 {
		return ""
	}
	return newest.ID
}
