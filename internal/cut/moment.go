package cut

import (
	"math"

	"takeweave/internal/film"
)

// kind is how well a candidate can show a moment; a lower one is always taken.
type kind uint8

const (
	agrees   kind = iota // it agrees, or nothing is played
	otherKey             // it agrees, but hands are seen fingering another key
	refused              // it is lined up here and does not agree
	beyond               // it is not lined up here: the picture just goes on
	nothing              // no picture
)

// slot is the stretch between two cut points.
type slot struct {
	first, end film.Frames
	shown      film.SongSpan // what the frames cover
	music      film.SongSpan // what is played in its beat; empty when that is next to nothing
	section    int           // index into Song.Sections, or -1
}

func (s slot) seconds() float64 { return s.shown.Len() }

// view is one candidate seen in one slot.
type view struct {
	kind       kind
	chance     float64 // mean agreement over the music in the slot; 1 when there is none
	mapErrorMS float64
	wishes     int64 // what each second costs by itself
}

// board is the problem laid out: sources down, slots across.
type board struct {
	song    *film.Song
	rate    film.Rate
	options Options
	sources []*source
	points  []point
	slots   []slot
	views   [][]view // [source][slot]
	best    []kind   // of each slot
}

func newBoard(r Request, o Options) *board {
	b := &board{song: r.Song, rate: r.Rate, options: o, sources: newSources(r)}
	end := r.Rate.FramesToHold(r.Song.Duration)
	b.points = cutPoints(r.Song, r.Rate, end, o.AnticipateFrames)
	for frames := b.edges(); len(frames) > 0; frames = b.edges() {
		b.points = splitAt(b.points, frames, r.Rate, o.AnticipateFrames)
	}
	b.slots = b.cutSlots(b.points)
	b.views = make([][]view, len(b.sources))
	b.best = make([]kind, len(b.slots))
	for k := range b.best {
		b.best[k] = nothing
	}
	for p, s := range b.sources {
		b.views[p] = make([]view, len(b.slots))
		for k, sl := range b.slots {
			b.views[p][k] = b.see(s, sl)
			b.best[k] = min(b.best[k], b.views[p][k].kind)
		}
	}
	return b
}

func (b *board) cutSlots(points []point) []slot {
	music := musicOf(b.song)
	slots := make([]slot, len(points)-1)
	for k := range slots {
		sl := slot{first: points[k].frame, end: points[k+1].frame, section: -1}
		sl.shown = film.SongSpan{From: b.rate.FrameStart(sl.first), To: b.rate.FrameStart(sl.end)}
		beat := film.SongSpan{From: points[k].at, To: points[k+1].at}
		if played := beat.Overlap(music); played > 0 && played >= math.Min(film.AgreementStep, beat.Len()/2) {
			sl.music = film.SongSpan{From: max(beat.From, music.From), To: min(beat.To, music.To)}
		}
		middle := (beat.From + beat.To) / 2
		for i, sec := range b.song.Sections {
			if sec.Span.Holds(middle) {
				sl.section = i
			}
		}
		slots[k] = sl
	}
	return slots
}

// edges returns frames at which to divide slots that no candidate shows whole:
// for each candidate, where its first picture in the slot begins and how long
// one shot can stay from there. None are left once every slot either is shown
// whole by somebody or has no picture at all, so that holes are exact to the
// frame.
func (b *board) edges() []film.Frames {
	var frames []film.Frames
	for _, sl := range b.cutSlots(b.points) {
		whole := false
		for _, s := range b.sources {
			whole = whole || b.lies(s, sl.first, sl.end)
		}
		if whole {
			continue
		}
		for _, s := range b.sources {
			from := sl.first
			for from < sl.end && !b.lies(s, from, from+1) {
				from++
			}
			to := from
			for to < sl.end && b.lies(s, from, to+1) {
				to++
			}
			for _, f := range []film.Frames{from, to} {
				if f > sl.first && f < sl.end {
					frames = append(frames, f)
				}
			}
		}
	}
	return frames
}

// lies reports whether s has the picture for one shot over frames [first, end).
func (b *board) lies(s *source, first, end film.Frames) bool {
	_, ok := s.lay(b.rate, first, end, b.options.MaxSpeed)
	return ok
}

// see judges one candidate in one slot, by itself.
func (b *board) see(s *source, sl slot) view {
	if !b.lies(s, sl.first, sl.end) {
		return view{kind: nothing}
	}
	v := view{kind: agrees, chance: 1, mapErrorMS: s.mapErrorMS(sl.shown)}
	units := b.purpose(s, sl)
	if sl.music.Len() <= 0 {
		v.wishes = wish(sl.seconds() * (units + weights.quiet*s.plain))
		return v
	}
	v.chance = s.chance(sl.music)
	switch hands := s.Setup.Shows != film.ShowsLips && s.Setup.Shows != film.ShowsNeither; {
	case v.chance < film.Agrees && s.Map.SongSpan().Overlap(sl.music) < sl.music.Len()/2:
		v.kind = beyond
	case v.chance < film.Agrees:
		v.kind = refused
	case s.Semitones != 0 && hands:
		v.kind = otherKey
	}
	if v.kind >= refused {
		units += weights.bare * s.plain
	}
	v.wishes = wish(sl.seconds()*units + sl.music.Len()*weights.doubt*surprise(v.chance))
	return v
}

// purpose is what a second costs by where the setup is meant to be used.
func (b *board) purpose(s *source, sl slot) float64 {
	if len(s.Setup.Serves) == 0 {
		return weights.anywhere
	}
	if b.serves(s, sl.section) {
		return 0
	}
	return weights.elsewhere
}

func (b *board) serves(s *source, section int) bool {
	if section < 0 {
		return false
	}
	sec := b.song.Sections[section]
	for _, name := range s.Setup.Serves {
		if name == sec.Name || name == sec.Letter {
			return true
		}
	}
	return false
}
