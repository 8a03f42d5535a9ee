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
	Semitones int          // the key of the pass minus that of the record
	Picture   *film.Grades // how good the picture is beside the setup's best; nil when not measured
	Framing   *film.Grades // how much of the subject stays inside the film's shape; nil when not known
}

// Options are the person's wishes for the whole film; the zero value has the
// defaults.
type Options struct {
	MinShot          float64 // seconds; 0 is 0.6
	MaxShot          float64 // seconds; 0 is 9; stretched up to twice where every change is worse
	WantShot         float64 // seconds; 0 is 4; a section's PaceS goes before it
	MaxSpeed         float64 // greatest |speed - 1|, within what each setup allows; 0 is native only
	AnticipateFrames int     // a cut comes so many frames before its beat; 0 is 1, negative is none
	HandleFrames     int     // the clip has so many film frames more on either side of each shot
}

// Defaults. Source: common practice; the lengths lie inside what is usual for
// songs of middle tempo (shots of 1.5 to 8 s on average, none under 0.8 s
// unmarked), and one frame of anticipation gives the eye time to arrive. The
// shortest is about one beat: where the playing bends so much that nothing holds
// for two, shots of one beat stay in sync. Measured on the practice days: with
// 1.0 s, 0.95 of the moments were within 40 ms, with 0.6 s 0.97.
const (
	defaultMinShot    = 0.6
	defaultMaxShot    = 9.0
	defaultWantShot   = 4.0
	defaultAnticipate = 1
	markedShot        = 0.8 // seconds: a shorter shot says so
)

// Request is all that a cut depends on. The song carries the wishes that belong
// to it: pace of sections, what must be seen, words, rests.
type Request struct {
	Song       *film.Song
	Rate       film.Rate // of the film
	Shape      film.Shape
	Span       film.SongSpan // the stretch of the song to cut; empty is all of it
	Candidates []Candidate
	Pins       []film.Pin
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
	usage := func(hint, format string, a ...any) error {
		return &film.Error{Code: film.CodeUsage, Msg: fmt.Sprintf(format, a...), Hint: hint}
	}
	switch {
	case !r.Rate.Known():
		return usage("give a frame rate, for example 25", "the film has no frame rate")
	case r.Song.Duration <= 0:
		return &film.Error{Code: film.CodeNeedsStep, Msg: "the record has no length", Hint: "measure the record first"}
	case !(o.MinShot > 0 && o.MinShot <= o.WantShot && o.WantShot <= o.MaxShot):
		return usage("give a wanted length between the shortest and the longest",
			"shot lengths must rise: shortest %g s, wanted %g s, longest %g s", o.MinShot, o.WantShot, o.MaxShot)
	case o.MaxSpeed < 0 || o.MaxSpeed >= 0.5:
		return usage("give 0 to 0.04", "a speed change of %g is out of range", o.MaxSpeed)
	case o.HandleFrames < 0:
		return usage("give 0 or more frames", "handles of %d frames are out of range", o.HandleFrames)
	case r.Span.Len() < 0 || r.Span.Len() > 0 && (r.Span.From < 0 || r.Span.To > r.Song.Duration):
		return usage(fmt.Sprintf("give a stretch within 0 and %.2f s", float64(r.Song.Duration)),
			"the stretch from %.2f to %.2f s does not lie in the song", float64(r.Span.From), float64(r.Span.To))
	case len(r.Candidates) == 0:
		return errNoCoverage
	}
	for _, s := range r.Song.Sections {
		if s.PaceS != 0 && s.PaceS < o.MinShot {
			return usage("ask for a longer pace, or for a shorter shortest shot",
				"section %s asks for shots of %g s, and the shortest shot is %g s", s.Name, s.PaceS, o.MinShot)
		}
	}
	return nil
}

// stretch returns the part of the song that is cut.
func (r Request) stretch() film.SongSpan {
	if r.Span.Len() > 0 {
		return r.Span
	}
	return film.SongSpan{To: r.Song.Duration}
}

var errNoCoverage = &film.Error{
	Code: film.CodeNoCoverage, Msg: "no pass lines up with the record, so nothing can be cut",
	Hint: "look at why the passes were refused, and film or add a pass of this song",
}
