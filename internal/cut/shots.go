package cut

import (
	"fmt"
	"math"
	"strings"

	"takeweave/internal/film"
)

// shots turns the steps of a solution into what the film shows, each shot with
// its reasons in plain words.
func (b *board) shots(steps []step) []film.Shot {
	var out []film.Shot
	for n, s := range steps {
		first, end := b.points[s.i].frame, b.points[s.j].frame
		if s.p == hole {
			if n > 0 && steps[n-1].p == hole {
				out[len(out)-1].End = end
				continue
			}
			out = append(out, film.Shot{First: first, End: end, Speed: 1, Why: "nothing was filmed for this moment"})
			continue
		}
		src := b.sources[s.p]
		l, _ := src.lay(b.rate, first, end, b.options.MaxSpeed)
		shot := film.Shot{
			First: first, End: end,
			Pass: src.Pass, Clip: src.Clip.ID, File: src.Clip.File, Setup: src.Setup.Name, Segment: src.Segment,
			SourceStart: l.start, Speed: l.speed, HoldErrorMS: l.worst() * 1000,
		}
		shot.Agreement, shot.Worst, shot.MapErrorMS = b.judge(s)
		previous := hole
		if n > 0 {
			previous = steps[n-1].p
		}
		shot.Why = b.explain(s, previous, l, shot.Worst)
		out = append(out, shot)
	}
	return out
}

// judge returns the agreement of a shot, that of its weakest slot, and the
// worst map error. The agreement is the mean over the music in the shot; but
// that over its slots that do not agree alone, where it has any, so that such
// a shot is never called good. Where nothing is played both are 1.
func (b *board) judge(s step) (mean, weakest, mapErrorMS float64) {
	var all, bad, allSeconds, badSeconds float64
	weakest = 1
	for k := s.i; k < s.j; k++ {
		v := b.views[s.p][k]
		mapErrorMS = math.Max(mapErrorMS, v.mapErrorMS)
		seconds := b.slots[k].music.Len()
		if seconds <= 0 {
			continue
		}
		weakest = math.Min(weakest, v.chance)
		all += seconds * v.chance
		allSeconds += seconds
		if v.kind >= refused {
			bad += seconds * v.chance
			badSeconds += seconds
		}
	}
	switch {
	case badSeconds > 0:
		mean = bad / badSeconds
	case allSeconds > 0:
		mean = all / allSeconds
	default:
		mean = 1
	}
	return mean, weakest, mapErrorMS
}

// explain says why a shot is what it is.
func (b *board) explain(s step, previous int, l laid, weakest float64) string {
	src := b.sources[s.p]
	var parts []string
	say := func(format string, a ...any) { parts = append(parts, fmt.Sprintf(format, a...)) }

	switch bad, music := b.badSlots(s); {
	case len(bad) > 0:
		where := "here"
		if len(bad) < music {
			where = "at " + b.spoken(bad[0])
		}
		say("nothing agrees %s: %s; least bad is %s (%.2f)", where, b.trouble(s.p, bad), src.Pass, weakest)
	case music == 0 && b.slots[s.i].shown.From < musicOf(b.song).From:
		say("before the music")
	case music == 0:
		say("after the music")
	default:
		say("agrees %.2f at its weakest beat", weakest)
	}
	for k := s.i; k < s.j; k++ {
		if b.views[s.p][k].kind == otherKey {
			say("played %+d semitones from the record, so the fingering differs", src.Semitones)
			break
		}
	}
	switch {
	case l.beyond > 0.0005: // shown in whole milliseconds
		say("nothing holds here: parts by %.0f ms", l.worst()*1000)
	case l.strain(src.tolerance) > 1.0005:
		say("holds but for the clip's whole frames: parts by %.0f ms in %.1f s", l.worst()*1000, b.seconds(s.i, s.j))
	default:
		say("holds within %.0f ms for %.1f s", l.worst()*1000, b.seconds(s.i, s.j))
	}
	switch {
	case l.speed > 1:
		say("runs %.1f %% fast", 100*(l.speed-1))
	case l.speed < 1:
		say("runs %.1f %% slow", 100*(1-l.speed))
	}
	if missing := b.options.MinShot - b.rate.FrameSeconds() - b.seconds(s.i, s.j); missing > 0 {
		say("shorter than %g s, for lack of anything that serves longer", b.options.MinShot)
	}
	if b.serves(src, b.slots[s.i].section) {
		say("meant for %s", b.song.Sections[b.slots[s.i].section].Name)
	}
	if previous != hole {
		before := b.sources[previous]
		switch {
		case before.pass == src.pass:
			say("the same pass hops, for lack of another")
		case before.setup == src.setup:
			say("the same setup again, for lack of another")
		case before.Setup.Name != "":
			say("follows the %s", before.Setup.Name)
		}
	}
	return strings.Join(parts, "; ")
}

// spoken says where a slot is: by its song address, or in seconds when the song
// has no lines yet.
func (b *board) spoken(k int) string {
	from := b.slots[k].shown.From
	if len(b.song.Lines) == 0 {
		return fmt.Sprintf("%.1f s", float64(from))
	}
	return b.song.Address((from + b.slots[k].shown.To) / 2)
}

// badSlots lists the slots of a shot that do not agree, and counts those with music.
func (b *board) badSlots(s step) (bad []int, music int) {
	for k := s.i; k < s.j; k++ {
		if b.slots[k].music.Len() > 0 {
			music++
		}
		if b.views[s.p][k].kind >= refused {
			bad = append(bad, k)
		}
	}
	return bad, music
}

// trouble says what is wrong in the given slots: once when every pass there has
// the same trouble, else for the chosen source.
func (b *board) trouble(p int, slots []int) string {
	reason := func(q int) film.Why {
		var count [film.WhyNotCovered + 1]int
		for _, k := range slots {
			if b.views[q][k].kind != nothing {
				count[b.sources[q].reason(b.slots[k].music)]++
			}
		}
		best := film.WhyAgrees
		for w, n := range count {
			if n > count[best] {
				best = film.Why(w)
			}
		}
		return best
	}
	mine := reason(p)
	passes, shared := 0, true
	for q := range b.sources {
		if r := reason(q); r != film.WhyAgrees { // else it has no picture here
			passes++
			shared = shared && r == mine
		}
	}
	if shared && passes > 1 {
		return inWords(mine) + " in every pass"
	}
	return inWords(mine)
}

func inWords(w film.Why) string {
	switch w {
	case film.WhyLate:
		return "late"
	case film.WhyEarly:
		return "early"
	case film.WhyOtherNotes:
		return "other notes"
	case film.WhyExtra:
		return "extra attacks"
	case film.WhyMissing:
		return "missing attacks"
	case film.WhyNotPlaying:
		return "nothing is played"
	case film.WhyOtherKey:
		return "another key"
	case film.WhyNotCovered:
		return "not lined up"
	}
	return "too little to hear"
}
