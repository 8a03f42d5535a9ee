package workbench

import (
	"encoding/base64"
	"errors"
	"fmt"
	"net/http"
	"slices"
	"time"

	"takeweave/internal/coverage"
	"takeweave/internal/daylog"
	"takeweave/internal/job"
)

// What goes over the wire between the program and the phones. A phone replays the
// events itself, so that it goes on without the program.
//
//	GET  /state    DayState
//	POST /events   DayEvents -> DayTaken: any number of times, in any order
//	POST /photo    DayPhoto -> DayTaken
//	GET  /live     events "rev": there is news

// DayState is all that a phone shows.
type DayState struct {
	Rev       int64          `json:"rev"`
	Film      string         `json:"film"` // its sign: a page that was kept for another film is loaded anew
	Events    []daylog.Event `json:"events"`
	Lines     []DayLine      `json:"lines"`
	Setups    []DaySetup     `json:"setups"`
	Asks      []DayAsk       `json:"asks"` // the most worth per minute first
	Stop      string         `json:"stop"` // what the film would be if filming stopped now
	Outlook   string         `json:"outlook,omitempty"`
	Judged    *DayJudged     `json:"judged,omitempty"` // the last pass of which it is known where it is usable
	Battery   string         `json:"battery,omitempty"`
	Files     []string       `json:"files"` // what the log does not know of the camera files, in words
	Strikes   []DayStrike    `json:"strikes"`
	PutBack   []string       `json:"put_back"` // what the plan says is put back
	Plan      daylog.Plan    `json:"plan"`
	FullVoice int            `json:"full_voice"` // passes that a voice gives in a day
}

// DayJudged is in how many lines of the song a pass is usable.
type DayJudged struct {
	Pass string `json:"pass"`
	Good int    `json:"good"`
	Of   int    `json:"of"`
}

// DayLine is a line of the song.
type DayLine struct {
	Name    string `json:"name"`
	Section string `json:"section"`
	State   string `json:"state"` // of the ledger: "owed", "one", "enough", "not planned"
	MustSee bool   `json:"must_see,omitempty"`
}

// DaySetup is a setup.
type DaySetup struct {
	Name string `json:"name"`
	Lens string `json:"lens,omitempty"`
}

// DayAsk is something to ask the musician for.
type DayAsk struct {
	Say   string `json:"say"`
	Why   string `json:"why"`
	Setup string `json:"setup"`
	Lines string `json:"lines,omitempty"` // to loop: the address as a log entry has it
}

// DayStrike is the answer to "may I strike this?".
type DayStrike struct {
	Kind string `json:"kind"`
	Name string `json:"name"`
	May  string `json:"may"`
	Say  string `json:"say"`
	// Look are the entries whose focus and playback are to be looked at first.
	Look []string `json:"look,omitempty"`
}

// DayEvents are events of the log as a phone sends them.
type DayEvents struct {
	Film   string         `json:"film"` // for which they were logged
	Events []daylog.Event `json:"events"`
}

// DayTaken says that something is kept.
type DayTaken struct {
	Added int `json:"added"` // events that were new
}

// DayPhoto is a photo that an event names.
type DayPhoto struct {
	Name string `json:"name"`
	JPEG string `json:"jpeg"` // base64
}

// dayEvents answers POST /events.
func (v *Server) dayEvents(r *http.Request) (any, error) {
	var sent DayEvents
	if err := read(r, &sent); err != nil {
		return nil, err
	}
	if sign, err := v.filmSign(r.Context()); err != nil || sent.Film != sign {
		return nil, errors.Join(err, usage("these events are of another film"))
	}
	added, err := v.base.AddToDay(r.Context(), sent.Events)
	if err != nil {
		return nil, err
	}
	if added > 0 {
		v.live.changed()
	}
	return DayTaken{Added: added}, nil
}

// dayPhoto answers POST /photo.
func (v *Server) dayPhoto(r *http.Request) (any, error) {
	var sent DayPhoto
	if err := read(r, &sent); err != nil {
		return nil, err
	}
	jpeg, err := base64.StdEncoding.DecodeString(sent.JPEG)
	if err != nil {
		return nil, usage("the photo is not whole")
	}
	return DayTaken{}, v.base.KeepPhoto(sent.Name, jpeg)
}

// dayState answers GET /state.
func (v *Server) dayState(r *http.Request) (any, error) {
	ctx, w := v.known(r)
	rev, _ := v.live.now()
	d, err := w.Day(ctx)
	if err != nil {
		return nil, err
	}
	sign, err := v.filmSign(ctx)
	if err != nil {
		return nil, err
	}
	s := DayState{
		Rev: rev, Film: sign, Events: d.Events, Stop: d.Stop.Say, Judged: lastJudged(d),
		Lines: []DayLine{}, Setups: []DaySetup{}, Asks: []DayAsk{}, PutBack: orEmpty(d.PutBack), Files: filesOf(d), Strikes: strikesOf(d),
		Plan: d.Figures, FullVoice: int(d.Times.FullVoice),
	}
	if d.Outlook != nil {
		s.Outlook = d.Outlook.Say
	}
	if d.Battery > 0 {
		used := d.Log.FiguresAt(d.Figures, time.Now().UnixMilli()).MinutesUsed / 60
		s.Battery = fmt.Sprintf("The batteries last %.1f h; filming began %.1f h ago.", d.Battery, used)
	}
	for i, bar := range d.Ledger.Bars {
		section := ""
		if k := d.Song.Lines[i].Section; k >= 0 && k < len(d.Song.Sections) {
			section = d.Song.Sections[k].Name
		}
		s.Lines = append(s.Lines, DayLine{Name: d.Song.LineName(i), Section: section, State: string(bar.State), MustSee: bar.MustSee})
	}
	for i := range d.Setups {
		s.Setups = append(s.Setups, DaySetup{Name: d.Setups[i].Name, Lens: d.Setups[i].Rig.Lens})
	}
	for _, a := range d.Advice {
		s.Asks = append(s.Asks, askOf(d, a))
	}
	return s, nil
}

// askOf is an advice in a phone's words.
func askOf(d *job.Day, a coverage.Advice) DayAsk {
	ask := DayAsk{Say: a.Say, Why: a.Why, Setup: a.Setup}
	if n := len(a.Lines); n > 0 {
		ask.Lines = d.Song.LineName(a.Lines[0])
		if n > 1 {
			ask.Lines += "-" + d.Song.LineName(a.Lines[n-1])
		}
	}
	return ask
}

// strikesOf answers for everything that may be struck: the lamps that burn, the
// setups, the musician.
func strikesOf(d *job.Day) []DayStrike {
	var things []coverage.Thing
	for _, l := range d.Log.Lamps {
		if l.On {
			things = append(things, coverage.Thing{Kind: coverage.ALamp, Name: l.Name})
		}
	}
	for i := range d.Setups {
		things = append(things, coverage.Thing{Kind: coverage.ASetup, Name: d.Setups[i].Name})
	}
	things = append(things, coverage.Thing{Kind: coverage.TheMusician})
	var all []DayStrike
	for _, t := range things {
		answer := d.MayStrike(t)
		s := DayStrike{Kind: string(t.Kind), Name: t.Name, May: string(answer.May), Say: answer.Say}
		for i := range d.Log.Entries {
			if e := &d.Log.Entries[i]; slices.Contains(answer.Unchecked, e.Say()) {
				s.Look = append(s.Look, e.ID)
			}
		}
		all = append(all, s)
	}
	return all
}

// filesOf says which camera files are not in the log, and of which it is not sure.
func filesOf(d *job.Day) []string {
	words := []string{}
	for _, file := range d.Tying.Unlogged {
		words = append(words, file+" is not in the log. If it is a pass, add it.")
	}
	for _, q := range d.Tying.Questions {
		words = append(words, q.Text)
	}
	return words
}

// lastJudged tells of the pass that was judged last, nil when none is.
func lastJudged(d *job.Day) *DayJudged {
	if d.Newest < 0 {
		return nil
	}
	p := &d.Passes[d.Newest]
	j := &DayJudged{Pass: p.Name}
	for n := range d.Ledger.Rows {
		if d.Ledger.Rows[n].Kind == coverage.ALine && n < len(p.Usable) {
			j.Of++
			if p.Usable[n] {
				j.Good++
			}
		}
	}
	return j
}
