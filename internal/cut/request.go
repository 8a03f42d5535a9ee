package cut

import (
	"fmt"

	"takeweave/internal/film"
)

// Candidate is one unbroken stretch of one lined-up pass. Map has at least two
// knots. Everything is only read.
type Candidate struct {
	Pass      string    // name of the pass; candidates of one pass share it
	Clip      film.Clip // what was filmed of it, on the clock of Map
	Setup     film.Setup
	Segment   int           // index in the line-up of the pass
	Map       *film.Segment // pass time to song time
	Agreement *film.Agreement
	Semitones int // the key of the pass minus that of the record
}

// Options are the person's wishes; the zero value has the defaults.
type Options struct {
	MinShot          float64 // seconds; 0 is 1.0
	MaxShot          float64 // seconds; 0 is 9; stretched up to twice where every change is worse
	WantShot         float64 // seconds; 0 is 4
	MaxSpeed         float64 // greatest |speed - 1|; 0 is native only
	AnticipateFrames int     // a cut comes so many frames before its beat; 0 is 1, negative is none
}

// Defaults. Source: common practice; the lengths lie inside what is usual for
// songs of middle tempo (shots of 1.5 to 8 s on average, none under 0.8 s
// unmarked), and one frame of anticipation gives the eye time to arrive.
const (
	defaultMinShot    = 1.0
	defaultMaxShot    = 9.0
	defaultWantShot   = 4.0
	defaultAnticipate = 1
)

// Request is all that a cut depends on.
type Request struct {
	Song       *film.Song
	Rate       film.Rate // of the film
	Shape      film.Shape
	Candidates []Candidate
	Options    Options
}

func (o Options) withDefaults() Options {
	if o.MinShot == 0 {
		o.MinShot = defaultMinShot
	}
	if o.MaxShot == 0 {
		o.MaxShot = defaultMaxShot
	}
	if o.WantShot == 0 {
		o.WantShot = defaultWantShot
	}
	switch {
	case o.AnticipateFrames == 0:
		o.AnticipateFrames = defaultAnticipate
	case o.AnticipateFrames < 0:
		o.AnticipateFrames = 0
	}
	return o
}

// maxSlots bounds the counts of broken rules (see cost): two hours of beats at
// 120 a minute.
const maxSlots = 1 << 14

func (r Request) check(o Options) error {
	switch {
	case !r.Rate.Known():
		return &film.Error{Code: film.CodeUsage, Msg: "the film has no frame rate", Hint: "give a frame rate, for example 25"}
	case r.Song.Duration <= 0:
		return &film.Error{Code: film.CodeNeedsStep, Msg: "the record has no length", Hint: "measure the record first"}
	case !(o.MinShot > 0 && o.MinShot <= o.WantShot && o.WantShot <= o.MaxShot):
		return &film.Error{
			Code: film.CodeUsage,
			Msg:  fmt.Sprintf("shot lengths must rise: shortest %g s, wanted %g s, longest %g s", o.MinShot, o.WantShot, o.MaxShot),
			Hint: "give a wanted length between the shortest and the longest",
		}
	case o.MaxSpeed < 0 || o.MaxSpeed >= 0.5:
		return &film.Error{Code: film.CodeUsage, Msg: fmt.Sprintf("a speed change of %g is out of range", o.MaxSpeed), Hint: "give 0 to 0.04"}
	case len(r.Candidates) == 0:
		return errNoCoverage
	}
	return nil
}

var errNoCoverage = &film.Error{
	Code: film.CodeNoCoverage, Msg: "no pass lines up with the record, so nothing can be cut",
	Hint: "look at why the passes were refused, and film or add a pass of this song",
}
