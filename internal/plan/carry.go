package plan

import (
	"fmt"
	"math"
	"slices"

	"takeweave/internal/film"
)

// leastShared is how much of the shorter of two lines must be common for one to
// stand for the other; as in songmap.CarryOver.
const leastShared = 0.4

// Carry returns a plan that was made on one record for another: its song addresses
// are those of the other. at gives the time in the new record of one in the old,
// false where there is none. words says what became another address and what is
// nowhere in the new record. Addresses that were none stay as they are.
func Carry(p Plan, from, to *film.Song, at func(film.SongTime) (film.SongTime, bool)) (Plan, []string) {
	c := &carrying{from: from, to: to, at: at}
	p.Setups = slices.Clone(p.Setups)
	for i := range p.Setups {
		s := &p.Setups[i]
		s.Lines = c.addresses("setup "+s.Name, s.Lines)
		s.Serves = slices.DeleteFunc(c.addresses("setup "+s.Name, s.Serves), func(now string) bool {
			if c.isSection(now) {
				return false
			}
			s.Lines = append(s.Lines, now)
			return true
		})
		if now := c.addresses("the loop of "+s.Name, []string{s.Loop}); s.Loop != "" {
			s.Loop = ""
			if len(now) > 0 {
				s.Loop = now[0]
			}
		}
	}
	p.Song.VoiceFree = c.addresses("where nobody sings", p.Song.VoiceFree)
	var must []MustSee
	for _, m := range p.Song.MustSee {
		if now := c.addresses("must-see "+m.Text, []string{m.At}); len(now) > 0 {
			m.At = now[0]
			must = append(must, m)
		}
	}
	p.Song.MustSee = must
	return p, c.words
}

// isSection reports whether the new record has a section of a name or letter.
func (c *carrying) isSection(name string) bool {
	return slices.ContainsFunc(c.to.Sections, func(s film.Section) bool { return s.Name == name || s.Letter == name })
}

type carrying struct {
	from, to *film.Song
	at       func(film.SongTime) (film.SongTime, bool)
	words    []string
}

// addresses carries some addresses over; those that are nowhere are left out.
func (c *carrying) addresses(about string, all []string) []string {
	var out []string
	for _, old := range all {
		span, err := c.from.SpanOf(old)
		if err != nil {
			out = append(out, old)
			continue
		}
		now, ok := c.address(span)
		switch {
		case !ok:
			c.words = append(c.words, fmt.Sprintf("%s: %s is nowhere in the new record", about, old))
			continue
		case now != old:
			c.words = append(c.words, fmt.Sprintf("%s: %s is now %s", about, old, now))
		}
		out = append(out, now)
	}
	return out
}

// address names where the new record has a span of the old: by its section or
// lines when it was whole ones, else by its seconds.
func (c *carrying) address(old film.SongSpan) (string, bool) {
	const within = 0.02 // seconds: the end of a span belongs to what follows
	start, ok1 := c.at(old.From + within)
	end, ok2 := c.at(old.To - within)
	now := film.SongSpan{From: max(0, start-within), To: min(c.to.Duration, end+within)}
	if !ok1 || !ok2 || now.Len() <= 0 || math.Abs(now.Len()-old.Len()) > 0.5*old.Len()+2*within {
		return "", false
	}
	if slices.ContainsFunc(c.from.Sections, func(s film.Section) bool { return s.Span == old }) {
		for _, s := range c.to.Sections {
			if s.Span.Overlap(now) >= 0.8*math.Max(s.Span.Len(), now.Len()) {
				return s.Name, true
			}
		}
	}
	if wholeLines(c.from, old) {
		var names []string
		for i, l := range c.to.Lines {
			if l.Span.Overlap(now) >= leastShared*math.Min(l.Span.Len(), now.Len()) {
				names = append(names, c.to.LineName(i))
			}
		}
		switch len(names) {
		case 0:
			return "", false
		case 1:
			return names[0], true
		}
		return names[0] + "-" + names[len(names)-1], true
	}
	return fmt.Sprintf("%.2f-%.2f", float64(now.From), float64(now.To)), true
}

// wholeLines reports whether a span begins and ends with lines.
func wholeLines(s *film.Song, span film.SongSpan) bool {
	begins := slices.ContainsFunc(s.Lines, func(l film.Line) bool { return l.Span.From == span.From })
	ends := slices.ContainsFunc(s.Lines, func(l film.Line) bool { return l.Span.To == span.To })
	return begins && ends
}
