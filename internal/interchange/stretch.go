package interchange

import (
	"math"

	"takeweave/internal/film"
)

// source is what a clip or a gap of the file shows.
type source struct {
	hole       bool
	name       string
	file       string
	linked     bool
	mediaStart float64 // seconds on the media's own clock
	mediaKnown bool    // the file says where the media begins
	sent       ourShot // what we wrote about it, if we did
}

// stretch is a part of a source on the clock of whatever holds it, in seconds.
type stretch struct {
	from, to float64
	at       float64 // source time shown at from
	speed    float64
	of       *source
}

// part returns what of the stretch lies in [from, to), which is within it.
func (s stretch) part(from, to float64) stretch {
	return stretch{from, to, s.at + (from-s.from)*s.speed, s.speed, s.of}
}

// spot is a marker on the clock of whatever holds it, in seconds.
type spot struct {
	from, to      float64
	name, comment string
}

// content is what an item of the file plays: stretches that cover [0, length)
// once, in order, and the markers on it.
type content struct {
	length    float64
	stretches []stretch
	spots     []spot
}

// add appends a stretch, joined to the last one where that simply goes on.
func (c *content) add(s stretch) {
	if s.to <= s.from {
		return
	}
	c.length = s.to
	if n := len(c.stretches); n > 0 && c.stretches[n-1].of == s.of {
		c.stretches[n-1].to = s.to
		return
	}
	c.stretches = append(c.stretches, s)
}

// rest fills up to length with nothing.
func (c *content) rest(length float64) {
	c.add(stretch{from: c.length, to: length, of: &source{hole: true}})
}

// after lays another content behind this one.
func (c *content) after(next content) {
	start := c.length
	for _, s := range next.stretches {
		s.from, s.to = start+s.from, start+s.to
		c.add(s)
	}
	for _, m := range next.spots {
		c.spots = append(c.spots, spot{start + m.from, start + m.to, m.name, m.comment})
	}
}

// window returns what shows when [start, start+length·scale) of the content is
// played in length seconds. Scale 0 holds the picture at start.
func (c content) window(start, length, scale float64) content {
	var w content
	for _, s := range c.stretches {
		from, to := (s.from-start)/scale, (s.to-start)/scale
		if scale == 0 {
			from, to = 0, 0
			if s.from <= start && start < s.to {
				to = length
			}
		}
		from, to = math.Max(from, w.length), math.Min(to, length)
		if to <= from {
			continue
		}
		w.rest(from)
		w.add(stretch{from, to, s.at + (start+from*scale-s.from)*s.speed, s.speed * scale, s.of})
	}
	w.rest(length)
	for _, m := range c.spots {
		if from := (m.from - start) / scale; scale > 0 && from >= 0 && from < length {
			w.spots = append(w.spots, spot{from, (m.to - start) / scale, m.name, m.comment})
		}
	}
	return w
}

// over lays top over bottom: where top is empty, bottom shows.
func over(bottom, top content) content {
	c := content{spots: append(bottom.spots[:len(bottom.spots):len(bottom.spots)], top.spots...)}
	length := math.Max(bottom.length, top.length)
	bottom.rest(length)
	top.rest(length)
	for b, t := 0, 0; b < len(bottom.stretches) && t < len(top.stretches); {
		below, above := bottom.stretches[b], top.stretches[t]
		end := math.Min(below.to, above.to)
		if shown := above; !shown.of.hole {
			c.add(shown.part(c.length, end))
		} else {
			c.add(below.part(c.length, end))
		}
		if below.to <= end {
			b++
		}
		if above.to <= end {
			t++
		}
	}
	return c
}

// pile lays many contents over each other, the last on top, half by half, so
// that a hostile pile costs no more than n·log n.
func pile(layers []content) content {
	switch n := len(layers); n {
	case 0:
		return content{}
	case 1:
		return layers[0]
	default:
		return over(pile(layers[:n/2]), pile(layers[n/2:]))
	}
}

// shots returns the stretches in film frames; what is shorter than half a frame
// may vanish.
func (c content) shots(r film.Rate) []Shot {
	var all []Shot
	for _, s := range c.stretches {
		first, end := r.NearestFrame(film.SongTime(s.from)), r.NearestFrame(film.SongTime(s.to))
		if end <= first {
			continue
		}
		// The source time belongs to the start of the frame, not to a cut between frames.
		at := s.at + (float64(r.FrameStart(first))-s.from)*s.speed
		shot := Shot{
			First: first, End: end, Hole: s.of.hole, Name: s.of.name, File: s.of.file, Linked: s.of.linked,
			SourceStart: film.PassTime(at), MediaStart: film.PassTime(s.of.mediaStart), MediaKnown: s.of.mediaKnown, Speed: s.speed,
		}
		shot.compareWith(s.of.sent)
		all = append(all, shot)
	}
	return all
}
