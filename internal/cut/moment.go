package cut

import (
	"math"

	"takeweave/internal/film"
)

// kind is how well a candidate can show a moment; a lower one is better.
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
	logWant    float64       // of the wanted length of shots here
	longest    float64       // seconds, of shots that begin here
}

func (s slot) seconds() float64 { return s.shown.Len() }

// view is one candidate seen in one slot.
type view struct {
	kind       kind
	chance     float64 // mean agreement over the music in the slot; 1 when there is none
	doubt      float64 // of chance; 0 when there is no music
	mapErrorMS float64
	low, high  float64 // spread of pass - song
	wishes     int64   // what showing the slot costs by itself
}

// cutSlots divides the stretch at its points.
func (b *Board) cutSlots(points []point) []slot {
	music, sung := musicOf(b.song), sungOf(b.song)
	slots := make([]slot, len(points)-1)
	for k := range slots {
		sl := slot{first: points[k].frame, end: points[k+1].frame, section: -1}
		sl.shown = b.span(sl.first, sl.end)
		beat := film.SongSpan{From: points[k].at, To: points[k+1].at}
		if played := beat.Overlap(music); played > 0 && played >= min(film.AgreementStep, beat.Len()/2) {
			sl.music = film.SongSpan{From: max(beat.From, music.From), To: min(beat.To, music.To)}
		}
		middle := (beat.From + beat.To) / 2
		want := b.options.WantShot
		if !sung.Holds(middle) {
			want *= weights.stretched
		}
		for i, sec := range b.song.Sections {
			if sec.Span.Holds(middle) {
				sl.section = i
				if sec.PaceS > 0 {
					want = sec.PaceS
				}
			}
		}
		sl.logWant = math.Log(want)
		sl.longest = max(b.options.MaxShot, roomAbovePace*want)
		slots[k] = sl
	}
	return slots
}

// roomAbovePace lets single shots be so much longer than the wanted length
// before they count as too long.
const roomAbovePace = 1.5

// see judges one candidate in one slot, by itself.
func (b *Board) see(s *source, sl slot) view {
	if _, ok := s.lay(sl.shown); !ok {
		return view{kind: nothing}
	}
	v := view{kind: agrees, chance: 1, mapErrorMS: s.mapErrorMS(sl.shown)}
	v.low, v.high = s.table.Spread(sl.shown)
	if sl.music.Len() > 0 {
		v.chance = s.agreement.mean(sl.music)
		v.doubt = doubt(v.chance)
		switch {
		case v.chance < film.Agrees && s.Map.SongSpan().Overlap(sl.music) < sl.music.Len()/2:
			v.kind = beyond
		case v.chance < film.Agrees:
			v.kind = refused
		case s.Semitones != 0 && s.showsHands():
			v.kind = otherKey
		}
	}
	bill := b.slotBill(s, sl, v)
	v.wishes = bill.sum()
	return v
}

// slotBill is what it costs that s shows a slot, whatever the shot around it.
func (b *Board) slotBill(s *source, sl slot, v view) (c bill) {
	seconds := sl.seconds()
	c.add(forPurpose, seconds*b.purpose(s, sl))
	if sl.music.Len() <= 0 {
		c.add(forPurpose, seconds*weights.quiet*s.plain)
	} else {
		c.add(forAgreement, sl.music.Len()*weights.doubt*v.doubt)
		if v.kind >= refused {
			c.add(forAgreement, seconds*weights.bare*s.plain)
		}
	}
	if s.picture != nil {
		c.add(forPicture, seconds*weights.picture*(1-s.picture.mean(sl.shown)))
	}
	if s.framing != nil {
		c.add(forFraming, seconds*weights.framing*(1-s.framing.mean(sl.shown)))
	}
	c.add(forMustSee, weights.mustSee*b.unseen(s, sl))
	through := float64((sl.shown.From+sl.shown.To)/2-b.from) / float64(b.to-b.from)
	c.add(forSpread, seconds*weights.spread*s.standing*max(0, min(1, 1-through)))
	return c
}

// purpose is what a second costs by where the setup is meant to be used.
func (b *Board) purpose(s *source, sl slot) float64 {
	if len(s.Setup.Serves) == 0 {
		return weights.anywhere
	}
	if b.serves(s, sl.section) {
		return 0
	}
	return weights.elsewhere
}

func (b *Board) serves(s *source, section int) bool {
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

// unseen returns how many seconds of a slot hold something that must be seen
// and that s does not surely show; twice for two things.
func (b *Board) unseen(s *source, sl slot) (seconds float64) {
	for _, m := range b.song.MustSee {
		if !s.surelyShows(m.Shows) {
			seconds += sl.shown.Overlap(b.wanted(m))
		}
	}
	return seconds
}

// wanted is the stretch of a must-see with the frames wanted before and after.
func (b *Board) wanted(m film.MustSee) film.SongSpan {
	frame := b.rate.FrameSeconds()
	return film.SongSpan{
		From: m.Span.From - film.SongTime(float64(m.Before)*frame),
		To:   m.Span.To + film.SongTime(float64(m.After)*frame),
	}
}
