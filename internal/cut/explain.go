package cut

import (
	"fmt"
	"strings"

	"takeweave/internal/film"
)

// explain says why a shot is what it is.
func (b *solution) explain(s step, previous int, l laid, weakest float64) string {
	src := b.sources[s.p]
	var parts []string
	say := func(format string, a ...any) { parts = append(parts, fmt.Sprintf(format, a...)) }

	switch bad, music := b.badSlots(s); {
	case len(bad) > 0:
		where := "here"
		if len(bad) < music {
			where = "at " + b.spoken(bad[0])
		}
		if b.anotherAgrees(bad) {
			say("does not agree %s: %s (%.2f)", where, src.reason(b.slots[bad[0]].music), weakest)
		} else {
			say("nothing agrees %s: %s; least bad is %s (%.2f)", where, b.trouble(s.p, bad), src.Pass, weakest)
		}
	case music == 0 && b.slots[s.i].shown.From < musicOf(b.song).From:
		say("before the music")
	case music == 0:
		say("after the music")
	default:
		say("agrees %.2f at its weakest beat", weakest)
	}
	for k := s.i; k < s.j; k++ {
		if b.overruled(s.p, k) {
			say("you overruled: %s", src.reason(b.slots[k].music))
			break
		}
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
	switch seconds := b.seconds(s.i, s.j); {
	case b.missing(seconds) > 0:
		say("shorter than %g s, for lack of anything that serves longer", b.options.MinShot)
	case seconds < markedShot:
		say("short, to stay true to the record")
	}
	if l.handles > 0.0005 {
		say("%.2f s of handles are missing", l.handles)
	}
	if b.serves(src, b.slots[s.i].section) {
		say("meant for %s", b.song.Sections[b.slots[s.i].section].Name)
	}
	for _, pin := range b.pins {
		if pin.shows() && pin.first < b.points[s.j].frame && b.points[s.i].frame < pin.end {
			say("%s", pin.Say())
		}
	}
	if previous != b.hole() {
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
func (b *layout) spoken(k int) string {
	from := b.slots[k].shown.From
	if len(b.song.Lines) == 0 {
		return fmt.Sprintf("%.1f s", float64(from))
	}
	return b.song.Address((from + b.slots[k].shown.To) / 2)
}

// badSlots lists the slots of a shot that do not agree, and counts those with music.
func (b *layout) badSlots(s step) (bad []int, music int) {
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

// anotherAgrees reports whether some source agrees in all of the given slots.
func (b *layout) anotherAgrees(slots []int) bool {
	for p := range b.sources {
		all := true
		for _, k := range slots {
			all = all && b.views[p][k].kind < refused
		}
		if all {
			return true
		}
	}
	return false
}

// trouble says what is wrong in the given slots: once when every pass there has
// the same trouble, else for the chosen source.
func (b *layout) trouble(p int, slots []int) string {
	reason := func(q int) film.Why {
		var count [film.WhySpeakerOnly + 1]int
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
		return mine.String() + " in every pass"
	}
	return mine.String()
}
