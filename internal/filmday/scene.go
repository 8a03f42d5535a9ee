package filmday

import (
	"math"
	"math/rand/v2"
	"slices"

	"takeweave/internal/film"
)

// Scene is what happened in the room, before anything heard it.
type Scene struct {
	dry     []float32
	truth   Truth // on the scene's own clock
	seconds float64
}

// Seconds returns how long the scene lasts.
func (c *Scene) Seconds() float64 { return c.seconds }

// Perform plays a plan of the recorded song.
func (rec *Record) Perform(r *rand.Rand, p Plan) *Scene {
	s := rec.Song
	c := &Scene{truth: Truth{Status: film.Aligned, Plan: p, Semitones: p.Semitones, Cents: p.Cents, Playback: p.Playback != nil, Meant: rec.Meant}}
	for part := range parts {
		c.truth.counts[part] = part.Filmed() && !(part.Sings() && p.NoVoice) && !(!part.Sings() && p.NoHands)
	}
	who := &player{Habits: p.Habits, r: r}
	var spoken []utter
	now := 0.0
	pause := func(seconds float64) {
		talked := now + 0.2 + p.Talk*(seconds-0.5)
		if seconds > 1 {
			spoken = append(spoken, talk(r, now+0.2, talked)...)
			if !p.NoHands {
				to := math.Min(now+seconds-0.4, talked+p.Noodle*seconds)
				c.truth.Heard = append(c.truth.Heard, s.noodle(r, talked, to)...)
			}
		}
		now += seconds
	}
	pause(p.Before)
	speaker := math.NaN()
	for _, run := range p.Runs {
		pause(run.Pause)
		from, to := s.start(run.From), s.start(run.To)
		var beat pulse
		if p.Playback != nil {
			speaker = now
			beat = rec.beat.shifted(now)
		} else {
			beat = who.beat(s, from, to, now)
		}
		piece := -1
		if !run.Vamp {
			piece = len(c.truth.Pieces)
			c.truth.Pieces = append(c.truth.Pieces, rec.piece(run, beat, p))
		}
		for _, n := range who.play(s, rec.plannedIn(r, run, p), beat) {
			if c.truth.counts[n.Part] {
				if p.Playback != nil {
					n.At += p.Playback.Lag
				}
				n.Piece = piece
				c.truth.Heard = append(c.truth.Heard, n)
			}
		}
		now = beat.at(to)
	}
	pause(p.After)
	c.seconds = now
	c.sound(r, p, rec.cents+p.Cents, spoken)
	if p.Playback != nil {
		c.loudspeaker(rec.Sound.Samples, speaker, p.Playback.SpeakerDB)
		if p.NoHands && p.NoVoice {
			c.mimed(rec.Meant, speaker)
		}
	}
	slices.SortStableFunc(c.truth.Heard, func(a, b Sounded) int { return int(math.Copysign(1, a.At-b.At)) })
	return c
}

// mimed says that what is heard are the notes of the loudspeaker.
func (c *Scene) mimed(meant []Sounded, start float64) {
	for _, n := range meant {
		n.At, n.Piece = n.At+start, 0
		c.truth.Heard = append(c.truth.Heard, n)
		c.truth.counts[n.Part] = true
	}
}

// plannedIn returns what is to be played in a run.
func (rec *Record) plannedIn(r *rand.Rand, run Run, p Plan) (out []planned) {
	s := rec.Song
	if run.Vamp {
		f := newFigure(r, s.Style, s.Meter, s.BPM)
		for bar := run.From; bar < run.To; bar++ {
			out = append(out, added(s.accompany(r, bar, f))...)
		}
		return out
	}
	for bar := run.From; bar < run.To; {
		to := bar + 1
		for !p.differsAt(bar, to) && to < run.To {
			to++
		}
		x := p.stretchAt(bar)
		out = append(out, s.otherwise(r, x, bar, to)...)
		bar = to
	}
	slices.SortStableFunc(out, func(a, b planned) int {
		if a.At != b.At {
			return int(math.Copysign(1, a.At-b.At))
		}
		return int(a.Part) - int(b.Part)
	})
	return out
}

// stretchAt returns how a bar is played.
func (p Plan) stretchAt(bar int) Stretch {
	for _, x := range p.Otherwise {
		if bar >= x.From && bar < x.To {
			return x
		}
	}
	return Stretch{Playing: AsWritten}
}

func (p Plan) differsAt(a, b int) bool { return p.stretchAt(a) != p.stretchAt(b) }

// piece returns what is true of a run: a knot a quarter, on the song's clock and
// the scene's, late where the playing is.
func (rec *Record) piece(run Run, beat pulse, p Plan) Piece {
	s := rec.Song
	var out Piece
	for q := s.start(run.From); q <= s.start(run.To); q++ {
		at := beat.at(q)
		if bar := int(q) / s.Meter.Quarters; bar < run.To {
			at += p.stretchAt(bar).Late
		}
		out.Segment.Knots = append(out.Segment.Knots, film.Knot{Pass: film.PassTime(at), Song: film.SongTime(rec.beat.at(q))})
	}
	for bar := run.From; bar < run.To; {
		to := bar + 1
		for !p.differsAt(bar, to) && to < run.To {
			to++
		}
		x := p.stretchAt(bar)
		out.Played = append(out.Played, Played{film.SongSpan{From: film.SongTime(rec.beat.at(s.start(bar))), To: film.SongTime(rec.beat.at(s.start(to)))}, x.Playing, 1000 * x.Late})
		bar = to
	}
	return out
}

// sound makes the scene's sound.
func (c *Scene) sound(r *rand.Rand, p Plan, cents float64, spoken []utter) {
	c.dry = make([]float32, int(c.seconds*Rate))
	newTimbre(r, cents).add(r, c.dry, c.truth.Heard, p.Semitones)
	v := newThroat(r)
	v.singOver(r, c.dry, c.truth.Heard, float64(p.Semitones)+cents/100, p.Balance)
	v.vibrato, v.scoop = 0, 0
	speech := make([]float32, len(c.dry))
	v.utter(r, speech, spoken, 1)
	mixIn(c.dry, speech, -6*r.Float64())
}

// loudspeaker adds the record as a small loudspeaker plays it.
func (c *Scene) loudspeaker(record []float32, start, db float64) {
	x := make([]float32, len(c.dry))
	if first := int(math.Round(start * Rate)); first < len(x) {
		copy(x[first:], record)
	}
	band{low: 140, high: 8000}.pass(x)
	mixIn(c.dry, x, db)
}
