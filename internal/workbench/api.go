package workbench

import (
	"encoding/json"

	"takeweave/internal/film"
	"takeweave/internal/look"
)

// This file is the contract between the program and the page. All JSON; times in
// seconds, song time unless said otherwise. TypeScript types in ui/src/api are
// generated from it.
//
//	GET  /api/film                      Film
//	GET  /api/cut?of=ORDER              Cut
//	GET  /api/others?of=&from=&to=      Others: the best alternatives for a span
//	GET  /api/why?of=&pass=&at=         Why: why this pass is not shown there
//	GET  /api/look                      Looked: what the present look does
//	POST /api/table                     TableAsk -> numbers: a look as a table
//	GET  /api/instants?of=ORDER         Instants: the hardest ones for a look
//	POST /api/scopes                    job.ScopesAsk -> job.Scopes
//	POST /api/match                     job.MatchAsk -> look.Match
//	POST /api/lut                       LUTFile -> LUTTaken
//	GET  /api/plan                      Planned: the plan with all that follows from it
//	POST /api/plan                      plan.Plan -> Decided
//	POST /api/plan/told                 plan.Plan -> plan.Told: nothing is kept
//	POST /api/plan/to-record            nothing -> Decided: from typed lines to the record's
//	GET  /print/{page}                  a page of the plan for paper
//	POST /api/decide                    Decision -> Decided
//	POST /api/undo, /api/redo           nothing -> Decided
//	POST /api/work                      Start -> nothing: begins a piece of work
//	POST /api/stop                 nothing: stops the work that runs
//	GET  /api/live                      events: "rev" with a number, "work" with Work
//	GET  /media/record                  the record as it is
//	GET  /media/wave                    Wave: what to draw of the record
//	GET  /media/clip/{id}               a clip, or its small copy when there is one
//	GET  /media/ear/{pass}              the pass's own sound as WAV, on the pass's clock
//	GET  /media/still/{pass}?at=&w=     JPEG of a pass at a pass time
//	GET  /media/film/{order}            the finished film
//	GET  /media/look-sheet?of=ORDER     the hardest instants before and after, to send
//
// Every answer that fails has an HTTP status of 400 or more and the body Failure.

// Failure says what happened and what to do.
type Failure struct {
	Message string `json:"message"`
	Hint    string `json:"hint,omitempty"`
}

// Film is everything that the sheet shows but the cut.
type Film struct {
	Rev     int64        `json:"rev"` // rises with every decision and every result
	Name    string       `json:"name"`
	Record  string       `json:"record"` // file name
	Song    film.Song    `json:"song"`
	FPS     film.Rate    `json:"fps"`
	Orders  []Order      `json:"orders"` // the whole film first
	Setups  []film.Setup `json:"setups"`
	Passes  []Pass       `json:"passes"` // grouped by setup, in the order of the day
	Pins    []Pin        `json:"pins"`
	Done    []string     `json:"done"`   // decisions in words, the latest last: what undo takes back
	Undone  []string     `json:"undone"` // what redo brings back, the next first
	Wishes  Wishes       `json:"wishes"`
	Look    look.Look    `json:"look"`
	Trims   Trims        `json:"trims"`
	LUTs    []string     `json:"luts"` // files of the folder of looks
	Working *Work        `json:"working,omitempty"`
	Missing []string     `json:"missing,omitempty"` // steps that have no result yet: "song", "lineup", "agree"
}

// Trims are the corrections of the setups, by their names.
type Trims map[string]look.Trim

// Order is a film that is wanted.
type Order struct {
	ID     string        `json:"id"`
	Shape  film.Shape    `json:"shape"`
	Width  int           `json:"width"`
	Height int           `json:"height"`
	Span   film.SongSpan `json:"span"` // of the song; all of it for a whole film
	Part   string        `json:"part,omitempty"`
	Made   bool          `json:"made"` // the file is there and shows the present cut
}

// Wishes are the wishes for the whole film, seconds; 0 is the default.
type Wishes struct {
	Shortest float64 `json:"shortest_s"`
	Longest  float64 `json:"longest_s"`
	Wanted   float64 `json:"wanted_s"`
	Speed    float64 `json:"speed"` // greatest |speed-1|
}

// Pass is a pass with its ribbon.
type Pass struct {
	Name      string      `json:"name"`
	Setup     string      `json:"setup"`
	Status    film.Status `json:"status"`
	Reason    string      `json:"reason"`
	Playback  bool        `json:"playback"`
	Semitones int         `json:"semitones"`
	Width     int         `json:"width"`
	Height    int         `json:"height"`
	FPS       film.Rate   `json:"fps"`
	Files     []File      `json:"files"`
	// Ribbons has one for each unbroken stretch of song that the pass plays.
	Ribbons []Ribbon `json:"ribbons"`
}

// File is a camera file of a pass.
type File struct {
	Clip    int64         `json:"clip"`
	At      film.PassTime `json:"at_s"`      // pass time of the file's own 0
	Seconds float64       `json:"seconds"`   // of picture
	Small   string        `json:"small"`     // "none": the browser plays the original; "wanted", "making", "ready"
	Type    string        `json:"mime_type"` // of what /media/clip/{id} gives
}

// Ribbon is one unbroken stretch of a pass, cell by cell along the beats of the
// song.
type Ribbon struct {
	Segment int            `json:"segment"`
	First   int            `json:"first"` // index of the beat at which cell 0 begins; -1 is before the first
	Cells   []Cell         `json:"cells"` // each from its beat to the next
	Span    film.SongSpan  `json:"span"`
	Knots   [][2]float64   `json:"knots"` // [song, pass], straight between them
	Lays    map[int]Laying `json:"lays"`  // by line: the one slip that a shot of that line would have
}

// Cell is one beat of a ribbon.
type Cell struct {
	State string  `json:"state"`             // "holds", "doubtful", "refused"
	Hold  float64 `json:"hold_s"`            // how long a shot that begins here may stay
	Score int     `json:"score"`             // chance that it agrees, 0..100
	Why   string  `json:"why,omitempty"`     // in words, unless it holds
	Late  float64 `json:"late_ms,omitempty"` // how much later (+) the playing is
}

// Laying is how a pass lies under a line: song time t shows pass time
// t + Slip.
type Laying struct {
	Slip    float64 `json:"slip_s"`
	WorstMS float64 `json:"worst_ms"` // how far picture and record part at worst
	Fits    bool    `json:"fits"`     // within what the setup tolerates
}

// Cut is a cut as the sheet shows it.
type Cut struct {
	Order     string   `json:"order"`
	Cut       film.Cut `json:"cut"`
	States    []string `json:"states"`    // of each shot: "holds", "doubtful", "refused", "hole", "quiet"
	Pinned    [][]int  `json:"pinned"`    // of each shot: the places in Film.Pins of the pins that touch it
	Differs   []bool   `json:"differs"`   // of each shot: it is not what the whole film shows there
	MeanShot  float64  `json:"mean_shot"` // seconds
	Agreeing  float64  `json:"agreeing"`  // share of the music
	NotAgrees int      `json:"not_agreeing"`
}

// Pin is a pin in words.
type Pin struct {
	film.Pin
	Words string `json:"words"`
}

// Others are alternatives for a span, the best first.
type Others struct {
	Others []Other `json:"others"`
}

// Other is one alternative.
type Other struct {
	Shots []film.Shot `json:"shots"` // within the span
	Cost  string      `json:"cost"`  // in words, with a number
	Words []string    `json:"words"` // what it changes elsewhere
	Pass  string      `json:"pass"`  // the pass that shows most of the span
	Pins  []film.Pin  `json:"pins"`  // what to pin to have it
}

// Why is one sentence with a number.
type Why struct {
	Words       string `json:"words"`
	Overrulable bool   `json:"overrulable"` // it was refused; a pin may overrule that
}

// Decision is one thing decided.
type Decision struct {
	Do string `json:"do"` // "pin", "unpin", "wishes", "setup", "song", "order", "drop-order", "look", "trim"

	Pin    *film.Pin       `json:"pin,omitempty"`    // do pin: its ID is given by the program
	Pins   []film.Pin      `json:"pins,omitempty"`   // do pin: several at once
	Unpins []int64         `json:"unpins,omitempty"` // do pin: taken away in the same decision
	ID     int64           `json:"id,omitempty"`     // do unpin
	Wishes *Wishes         `json:"wishes,omitempty"` // do wishes
	Setup  *film.Setup     `json:"setup,omitempty"`  // do setup: with the name it has
	Rename string          `json:"rename,omitempty"` // do setup: its new name
	Edit   json.RawMessage `json:"edit,omitempty"`   // do song: see songmap.Edit
	Order  *Order          `json:"order,omitempty"`  // do order: shape, and part with seconds
	Drop   string          `json:"drop,omitempty"`   // do drop-order
	Most   float64         `json:"most_s,omitempty"` // do order: at most so many seconds
	Look   *look.Look      `json:"look,omitempty"`   // do look
	Trim   *look.Trim      `json:"trim,omitempty"`   // do trim
	Of     string          `json:"of,omitempty"`     // do trim: the setup
}

// Decided says what came of a decision.
type Decided struct {
	Rev     int64    `json:"rev"`
	Words   string   `json:"words"`   // the decision
	Changes []string `json:"changes"` // what else changed in the cut, in words
}

// Start asks for a piece of work.
type Start struct {
	Do    string `json:"do"`              // "lineup": take in the clips, line up, judge; "small": small copies; "films": render all orders
	Clips string `json:"clips,omitempty"` // do lineup: another folder of clips
}

// Work is the work that runs.
type Work struct {
	Do        string  `json:"do"`
	Stage     string  `json:"stage"`
	Done      float64 `json:"done"`
	Total     float64 `json:"total"`
	Unit      string  `json:"unit"`
	Remaining float64 `json:"remaining_s"` // negative while unknown
	Note      string  `json:"note,omitempty"`
	Ended     bool    `json:"ended"`
	Failed    string  `json:"failed,omitempty"` // why it ended early
}

// Wave is what to draw of the record: for each step the lowest and the highest
// sample, -128..127.
type Wave struct {
	Step  float64 `json:"step_s"`
	Peaks []int8  `json:"peaks"` // low, high, low, high …
}
