package crop

import (
	"math"

	"takeweave/internal/film"
)

// leftFrom is the share of the subject outside the crop from which it counts as
// having left. Our own; no measurement set it.
const leftFrom = 0.1

// Left is how much of the subject a crop does not show over a span.
type Left struct {
	Seconds float64 // of film in which more than a tenth of the subject is outside
	Share   float64 // of the subject outside, mean over the time in which it is known, 0..1
	Known   float64 // seconds of film in which it is known where the subject is
}

// Table knows how much of the subject leaves a path over any span of it. It is
// read-only once made, so it may be shared.
type Table struct {
	stretch Stretch
	known   []float64 // known[i] is over frames [0, i), in frames
	left    []float64
	outside []float64
}

// NewTable prepares the answers for one path, in time O(f·log s) for f frames
// and s sightings. With the path of a whole pass, any shot's own path does about
// as well or better: the shot may start where it stands best.
func NewTable(p Path, seen []Sighting) *Table {
	tr := newTrack(seen)
	n := int(p.Stretch.Frames)
	t := &Table{p.Stretch, make([]float64, n+1), make([]float64, n+1), make([]float64, n+1)}
	for i := range n {
		t.known[i+1], t.left[i+1], t.outside[i+1] = t.known[i], t.left[i], t.outside[i]
		if b, ok := tr.at(p.Stretch.passTime(film.Frames(i))); ok {
			o := p.Window.outside(b, p.At(film.Frames(i)))
			t.known[i+1]++
			t.outside[i+1] += o
			if o > leftFrom {
				t.left[i+1]++
			}
		}
	}
	return t
}

// outside returns the share of the box's area that the crop does not show.
func (w Window) outside(b Box, r Rect) float64 {
	shown := func(at, size, from, length float64) float64 {
		return clamp((math.Min(at+size, from+length)-math.Max(at, from))/size, 0, 1)
	}
	pw, ph := float64(w.PictureW), float64(w.PictureH)
	return 1 - shown(b.X*pw, b.W*pw, r.X, float64(r.W))*shown(b.Y*ph, b.H*ph, r.Y, float64(r.H))
}

// Leaves returns how much of the subject is outside the crop over the part of
// the pass from one place to another, in constant time. Each frame counts for as
// much as the span holds of it; outside the path nothing is known.
func (t *Table) Leaves(from, to film.PassTime) Left {
	a, b := t.frame(from), t.frame(to)
	if !(b > a) {
		return Left{}
	}
	dt := t.stretch.Rate.FrameSeconds()
	known := upTo(t.known, b) - upTo(t.known, a)
	left := Left{Seconds: dt * (upTo(t.left, b) - upTo(t.left, a)), Known: dt * known}
	if known > 0 {
		left.Share = clamp((upTo(t.outside, b)-upTo(t.outside, a))/known, 0, 1)
	}
	return left
}

// frame returns a place in the pass in frames of the path, within it.
func (t *Table) frame(at film.PassTime) float64 {
	seconds := float64(at-t.stretch.From) / t.stretch.Speed
	return clamp(seconds*t.stretch.Rate.PerSecond(), 0, float64(t.stretch.Frames))
}

// upTo returns a running sum at a part of a frame.
func upTo(sum []float64, at float64) float64 {
	i := int(at)
	if i >= len(sum)-1 {
		return sum[len(sum)-1]
	}
	return sum[i] + (at-float64(i))*(sum[i+1]-sum[i])
}
