package picture

import (
	"cmp"
	"math"
	"slices"

	"takeweave/internal/film"
)

// Look is the faces found in one picture of a pass, none included.
type Look struct {
	At    film.PassTime `json:"at_s"`
	Faces []Face        `json:"faces"`
}

// Seen is where the subject is at a moment of a pass.
type Seen struct {
	At         film.PassTime `json:"at_s"`
	Face       Box           `json:"face"`
	Box        Box           `json:"box"`        // head and shoulders
	Confidence float64       `json:"confidence"` // 0..1
}

// How faces are followed through time. The numbers are our own; the clips with
// faces at hand (docs/picture.md) are too short to set them.
const (
	voteSeconds   = 2.2 // looks this near vote on a face, to either side
	leastVotes    = 2   // looks that must have seen a face, its own among them
	reach         = 1.0 // widths of the face that it may move from look to look, and a second
	smoothSeconds = 1.2 // over which boxes are averaged, to either side
)

// Head and shoulders around a face from brow to chin: the head is half as high
// again, shoulders are three faces wide. Usual proportions of figure drawing
// (common practice).
const (
	aboveFace = 0.6 // heights of the face above it
	belowFace = 1.2
	besides   = 1.0 // widths of the face to either side
)

// Subject follows the main face through a pass: of the faces that go on from
// look to look the one that is most in the picture, by size, confidence and
// time; another one only while the main one is not seen. Looks rise in time.
// Where no face is believed nothing is told: that means not known, never that
// nobody is there.
func Subject(looks []Look) []Seen {
	var out []Seen
	for _, tr := range mainTracks(tracks(looks)) {
		for i, s := range tr {
			votes := tr.near(s.At)
			if votes < leastVotes {
				continue
			}
			looked := 0
			for _, l := range looks {
				if math.Abs(float64(l.At-s.At)) <= voteSeconds {
					looked++
				}
			}
			seen := tr.smoothed(i)
			seen.Confidence *= math.Sqrt(float64(votes) / float64(looked))
			seen.Box = headAndShoulders(seen.Face)
			out = append(out, seen)
		}
	}
	slices.SortFunc(out, func(a, b Seen) int { return cmp.Compare(a.At, b.At) })
	return out
}

// track is one face as it goes on, by rising time.
type track []Seen

// tracks joins the faces of following looks that are the same one.
func tracks(looks []Look) []track {
	var all []track
	for _, l := range looks {
		taken := map[int]bool{}
		for _, f := range l.Faces {
			best, nearest := -1, math.Inf(1)
			for i, tr := range all {
				last := tr[len(tr)-1]
				if d := last.distance(l.At, f.Box); !taken[i] && last.At < l.At && d < nearest {
					best, nearest = i, d
				}
			}
			s := Seen{At: l.At, Face: f.Box, Confidence: f.Confidence}
			if best < 0 || nearest > 1 {
				best = len(all)
				all = append(all, nil)
			}
			all[best] = append(all[best], s)
			taken[best] = true
		}
	}
	return all
}

// distance returns how far a later face is from s, 1 being as far as the same
// face may go; a face is not the same after a long time, or at another size.
func (s Seen) distance(at film.PassTime, b Box) float64 {
	seconds := float64(at - s.At)
	size := math.Max(s.Face.H, b.H)
	if seconds > 2*voteSeconds || math.Min(s.Face.H, b.H) < size/2 {
		return math.Inf(1)
	}
	dx := (b.X + b.W/2 - s.Face.X - s.Face.W/2) / math.Max(s.Face.W, b.W)
	dy := (b.Y + b.H/2 - s.Face.Y - s.Face.H/2) / size
	return math.Hypot(dx, dy) / (reach * (1 + seconds))
}

// mainTracks returns the weightiest of the tracks that overlap in time.
func mainTracks(all []track) []track {
	slices.SortStableFunc(all, func(a, b track) int { return cmp.Compare(b.weight(), a.weight()) })
	var main []track
	for _, tr := range all {
		if !slices.ContainsFunc(main, tr.overlaps) {
			main = append(main, tr)
		}
	}
	return main
}

func (tr track) weight() float64 {
	sum := 0.0
	for _, s := range tr {
		sum += s.Confidence * s.Face.W * s.Face.H
	}
	return sum
}

func (tr track) overlaps(o track) bool {
	return tr[0].At <= o[len(o)-1].At && o[0].At <= tr[len(tr)-1].At
}

// near returns how many looks around a time saw the face.
func (tr track) near(at film.PassTime) int {
	n := 0
	for _, s := range tr {
		if math.Abs(float64(s.At-at)) <= voteSeconds {
			n++
		}
	}
	return n
}

// smoothed returns element i with its face and confidence averaged over those
// near in time, the nearest most.
func (tr track) smoothed(i int) Seen {
	out, total := Seen{At: tr[i].At}, 0.0
	for _, s := range tr {
		w := math.Max(0, 1-math.Abs(float64(s.At-out.At))/smoothSeconds)
		total += w
		out.Confidence += w * s.Confidence
		out.Face.X += w * s.Face.X
		out.Face.Y += w * s.Face.Y
		out.Face.W += w * s.Face.W
		out.Face.H += w * s.Face.H
	}
	f := &out.Face
	f.X, f.Y, f.W, f.H = f.X/total, f.Y/total, f.W/total, f.H/total
	out.Confidence /= total
	return out
}

func headAndShoulders(f Box) Box {
	return Box{
		f.X - besides*f.W, f.Y - aboveFace*f.H,
		(1 + 2*besides) * f.W, (1 + aboveFace + belowFace) * f.H,
	}.clipped()
}
