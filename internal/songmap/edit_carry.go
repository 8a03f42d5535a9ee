package songmap

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"takeweave/internal/film"
)

// leastShared is how much of the shorter of two stretches must lie in the other
// for what belongs to one to go to the other. Our own: less than half, since a
// line may have become two.
const leastShared = 0.4

// CarryOver returns to, the map of another version of the record, with what the
// person gave to from: the text of lines and their words, names and pace of
// sections, must-see spans and rests. at gives the time in the new record of one
// in the old, false where the new has no such place; it should rise. words says
// what was carried, and names everything that was not.
//
// Beats, bars and the edges of lines and sections are those of to. Neither song is
// altered. What Check asks of to holds of the result as well.
func CarryOver(from, to film.Song, at func(film.SongTime) (film.SongTime, bool)) (carried film.Song, words []string) {
	c := &carrying{draft: draftOf(to), old: from, at: at}
	c.lines()
	c.sections()
	c.marks()
	c.rebuild()
	if len(c.said)+len(c.also) == 0 {
		return c.Song, []string{"there was nothing to carry over"}
	}
	return c.Song, append(c.said, c.also...)
}

// carrying is a song while things are carried over to it.
type carrying struct {
	*draft
	old  film.Song
	at   func(film.SongTime) (film.SongTime, bool)
	said []string
}

// say tells how many of some things were carried and which were not.
func (c *carrying) say(what string, done int, lost []string) {
	if done > 0 {
		c.said = append(c.said, fmt.Sprintf("%s: %d carried over", what, done))
	}
	if len(lost) > 0 {
		c.said = append(c.said, fmt.Sprintf("%s: %d not carried over, %s", what, len(lost), strings.Join(lost, ", ")))
	}
}

// stretch returns where the new record has what it has of an old span.
func (c *carrying) stretch(old film.SongSpan) (span film.SongSpan, ok bool) {
	const parts = 32
	for k := range parts + 1 {
		t, there := c.at(old.From + (old.To-old.From)*film.SongTime(k)/parts)
		switch {
		case !there:
		case !ok:
			span, ok = film.SongSpan{From: t, To: t}, true
		default:
			span.To = t
		}
	}
	return span, ok && span.To > span.From
}

// counterpart returns which of the new spans shares most with an old one.
func (c *carrying) counterpart(old film.SongSpan, spans []film.SongSpan) (i int, ok bool) {
	now, there := c.stretch(old)
	if !there {
		return 0, false
	}
	for k, s := range spans {
		if now.Overlap(s) > now.Overlap(spans[i]) {
			i = k
		}
	}
	return i, now.Overlap(spans[i]) >= leastShared*math.Min(now.Len(), spans[i].Len())
}

func (c *carrying) lines() {
	var spans []film.SongSpan
	for i := range c.Lines {
		spans = append(spans, c.Lines[i].Span)
	}
	fresh := map[int]bool{}
	done := 0
	var lost []string
	for i, l := range c.old.Lines {
		if l.Text == "" {
			continue
		}
		k, ok := c.counterpart(l.Span, spans)
		if !ok {
			lost = append(lost, fmt.Sprintf("%s “%s”", c.old.LineName(i), l.Text))
			continue
		}
		if !fresh[k] {
			c.Lines[k].Text, c.Lines[k].Words = "", nil
			fresh[k] = true
		}
		c.joinTexts(k, film.Line{Span: c.Lines[k].Span, Text: l.Text, Words: c.words(l, k)})
		done++
	}
	c.say("lines of text", done, lost)
}

// words returns the words of an old line at their new times; estimates over new
// line k when some have none.
func (c *carrying) words(old film.Line, k int) []film.Word {
	var out []film.Word
	for i, w := range old.Words {
		from, ok1 := c.at(w.Span.From)
		to, ok2 := c.at(w.Span.To)
		if !ok1 || !ok2 || !(to > from) || i > 0 && from < out[i-1].Span.To {
			c.also = append(c.also, "the times of the words of "+c.LineName(k)+" are estimates")
			return spread(old.Text, c.Lines[k].Span)
		}
		w.Span = film.SongSpan{From: from, To: to}
		out = append(out, w)
	}
	return out
}

func (c *carrying) sections() {
	var spans []film.SongSpan
	for _, s := range c.Sections {
		spans = append(spans, s.Span)
	}
	names, paces := 0, 0
	var lostNames, lostPaces []string
	named, paced := map[int]bool{}, map[int]bool{}
	for _, s := range c.old.Sections {
		k, ok := c.counterpart(s.Span, spans)
		if !isDraftName(s) && (!ok || c.Sections[k].Name != s.Name) {
			taken := slices.ContainsFunc(c.Sections, func(o film.Section) bool { return strings.EqualFold(o.Name, s.Name) })
			if ok && !taken && !named[k] {
				c.said = append(c.said, c.Sections[k].Name+" is now called "+s.Name)
				c.Sections[k].Name, named[k] = s.Name, true
				names++
			} else {
				lostNames = append(lostNames, s.Name)
			}
		}
		if s.PaceS > 0 {
			if ok && !paced[k] {
				c.Sections[k].PaceS, paced[k] = s.PaceS, true
				paces++
			} else {
				lostPaces = append(lostPaces, fmt.Sprintf("%g s in %s", s.PaceS, s.Name))
			}
		}
	}
	c.say("names of sections", names, lostNames)
	c.say("paces of sections", paces, lostPaces)
}

// isDraftName reports whether a section has the name that it got from Map.
func isDraftName(s film.Section) bool {
	number, ok := strings.CutPrefix(s.Name, s.Letter)
	return ok && number != "" && strings.Trim(number, "0123456789") == ""
}

func (c *carrying) marks() {
	old := &draft{Song: c.old}
	done := 0
	var lost []string
	for _, m := range c.old.MustSee {
		from, ok1 := c.at(m.Span.From)
		to, ok2 := c.at(m.Span.To)
		from, to = max(from, 0), min(to, c.Duration)
		if !ok1 || !ok2 || !(to > from) {
			lost = append(lost, old.sayMustSee(m))
			continue
		}
		was := m.Span.Len()
		m.Span = film.SongSpan{From: from, To: to}
		// A record that goes on elsewhere in between has another stretch there.
		if math.Abs(m.Span.Len()-was) > 0.5*was {
			lost = append(lost, old.sayMustSee(m))
			continue
		}
		c.MustSee = append(c.MustSee, m)
		done++
	}
	c.say("must-see spans", done, lost)

	done, lost = 0, nil
	for _, r := range c.old.Rests {
		at, ok := c.at(r.At)
		if !ok || at < 0 || at > c.Duration {
			lost = append(lost, c.old.Address(r.At))
			continue
		}
		r.At = at
		same := slices.IndexFunc(c.Rests, func(o film.Rest) bool { return math.Abs(float64(o.At-at)) < sameRest })
		if same >= 0 {
			c.Rests[same].Breath = c.Rests[same].Breath || r.Breath
		} else {
			c.putRest(r)
		}
		done++
	}
	c.say("rests", done, lost)
}
