package crop

import (
	"math"
	"slices"
	"sort"

	"takeweave/internal/film"
)

// Box is where the subject is, in shares 0..1 of the picture's width and
// height, from its top left. For a person the top is the top of the head.
type Box struct {
	X float64 `json:"x"`
	Y float64 `json:"y"`
	W float64 `json:"width"`
	H float64 `json:"height"`
}

// Sighting is the subject seen at one moment of a pass.
type Sighting struct {
	At         film.PassTime `json:"at_s"`
	Box        Box           `json:"box"`
	Confidence float64       `json:"confidence"` // 0..1
}

// Limits of our own; no measurement set them, because no seen subjects were at
// hand when they were chosen.
const (
	surely = 0.5 // sightings of less confidence are not used
	// holdsSeconds is how long a sighting speaks for the time around it. Between
	// two that touch, the box is interpolated.
	holdsSeconds = 1.0
)

// track is the usable sightings of a pass in order of time.
type track []Sighting

// newTrack leaves out sightings that are unsure, empty, outside the picture, or
// not numbers, and clips the others to the picture. Of several at one time it
// keeps the surest.
func newTrack(seen []Sighting) track {
	var tr track
	for _, s := range seen {
		left, top := math.Max(0, s.Box.X), math.Max(0, s.Box.Y)
		right, bottom := math.Min(1, s.Box.X+s.Box.W), math.Min(1, s.Box.Y+s.Box.H)
		s.Box = Box{left, top, right - left, bottom - top}
		// What is no number fails every comparison.
		if s.Confidence >= surely && s.Box.W > 0 && s.Box.H > 0 && math.Abs(float64(s.At)) < math.Inf(1) {
			tr = append(tr, s)
		}
	}
	slices.SortStableFunc(tr, func(a, b Sighting) int {
		switch {
		case a.At < b.At:
			return -1
		case a.At > b.At:
			return 1
		case a.Confidence > b.Confidence:
			return -1
		case a.Confidence < b.Confidence:
			return 1
		}
		return 0
	})
	return slices.CompactFunc(tr, func(a, b Sighting) bool { return a.At == b.At })
}

// at returns where the subject is at t, and false where nobody knows.
func (tr track) at(t film.PassTime) (Box, bool) {
	i := sort.Search(len(tr), func(i int) bool { return tr[i].At > t })
	switch {
	case i > 0 && i < len(tr) && tr[i].At-tr[i-1].At <= 2*holdsSeconds:
		a, b := tr[i-1], tr[i]
		return a.Box.toward(b.Box, float64(t-a.At)/float64(b.At-a.At)), true
	case i > 0 && t-tr[i-1].At <= holdsSeconds:
		return tr[i-1].Box, true
	case i < len(tr) && tr[i].At-t <= holdsSeconds:
		return tr[i].Box, true
	}
	return Box{}, false
}

// toward returns the box a share of the way from b to o.
func (b Box) toward(o Box, share float64) Box {
	mix := func(p, q float64) float64 { return p + share*(q-p) }
	return Box{mix(b.X, o.X), mix(b.Y, o.Y), mix(b.W, o.W), mix(b.H, o.H)}
}
