package picture

import (
	"math"
	"sort"

	"takeweave/internal/film"
)

// Reading is what a meter saw of a pass.
type Reading struct {
	Start       film.PassTime `json:"start_s"` // of the first picture
	StepSeconds float64       `json:"step_s"`  // from moment to moment
	// Best is the sharpness that a tenth of the moments reach. 0: never known. The
	// best of a setup is the largest of its passes'.
	Best    float64   `json:"best_sharpness"`
	Moments []Moment  `json:"moments"`
	Flicker []Flicker `json:"flicker"` // for 50 and 60 Hz
}

// Moment is the picture at Start + i·StepSeconds.
type Moment struct {
	// Sharpness compares only with the same pass and other passes of its setup. 0:
	// not known, because there is nothing to see.
	Sharpness float64 `json:"sharpness"`
	// Clipped is the share of pixels without detail in the highlights, of the
	// subject where it is seen, else of the middle of the picture; Crushed that in
	// the shadows, of the whole picture.
	Clipped float64 `json:"clipped"`
	Crushed float64 `json:"crushed"`
	// Middle is the median level, 0..255; Step by how many stops the light of the
	// picture rose since the moment before.
	Middle float64 `json:"middle"`
	Step   float64 `json:"step_stops"`
	// Move is how fast the camera is led, Shake how far it shakes (root mean
	// square), in shares of the longer side, a second and as such. Both are 0 where
	// MoveKnown is false.
	Move      float64 `json:"move"`
	Shake     float64 `json:"shake"`
	MoveKnown bool    `json:"move_known"`
}

// How the parts of a reading are put together; the numbers are our own.
const (
	heldSeconds = 1.2 // for which a subject speaks before and after it is seen
	mostlySeen  = 0.5 // share of the moments from which the subject is what counts
)

// Result returns the reading of the pictures so far. start is the time of the
// first; subject, which may be empty, is where the subject was seen, by rising
// time.
func (m *Meter) Result(start film.PassTime, subject []Seen) Reading {
	r := Reading{Start: start, StepSeconds: float64(m.stride) / m.rate.PerSecond(), Flicker: m.banding.result()}
	moves := movements(m.shifts.found, m.rate.PerSecond())
	areas := m.areas(&r, subject)
	for i := range m.moments {
		in := &m.moments[i]
		move := moves[i*m.stride]
		r.Moments = append(r.Moments, Moment{
			Clipped: areas[i].mean(&in.clipped), Crushed: in.crushed,
			Middle: in.middle, Step: in.step,
			Move: move.move, Shake: move.shake, MoveKnown: move.known,
		})
	}
	r.sharpen(m.moments, areas)
	return r
}

// At returns the time of moment i.
func (r *Reading) At(i int) film.PassTime {
	return r.Start + film.PassTime(float64(i)*r.StepSeconds)
}

// area is the cells that count, by their weight.
type area [cells]float64

// areas returns what counts at each moment: the subject, if it is seen most of
// the time, so that what is compared stays the same; else the middle of the
// picture. Where the subject is not seen then, no cell counts.
func (m *Meter) areas(r *Reading, subject []Seen) []area {
	out, seen := make([]area, len(m.moments)), 0
	for i := range out {
		if box, ok := boxAt(subject, r.At(i)); ok {
			out[i] = areaOf(box)
			seen++
		}
	}
	if float64(seen) < mostlySeen*float64(len(out)) {
		for i := range out {
			out[i] = areaOf(Box{0.25, 1.0 / 6, 0.5, 2.0 / 3})
		}
	}
	return out
}

// areaOf returns by how much of itself each cell lies in a box.
func areaOf(b Box) area {
	var a area
	for i := range a {
		left, top := float64(i%columns)/columns, float64(i/columns)/rows
		w := math.Min(b.X+b.W, left+1.0/columns) - math.Max(b.X, left)
		h := math.Min(b.Y+b.H, top+1.0/rows) - math.Max(b.Y, top)
		a[i] = math.Max(0, w) * math.Max(0, h) * cells
	}
	return a
}

// boxAt returns the subject's box that is nearest in time, if one is near.
func boxAt(subject []Seen, at film.PassTime) (Box, bool) {
	i := sort.Search(len(subject), func(i int) bool { return subject[i].At >= at })
	best, found := math.Inf(1), Box{}
	for _, k := range []int{i - 1, i} {
		if k >= 0 && k < len(subject) {
			if d := math.Abs(float64(subject[k].At - at)); d < best {
				best, found = d, subject[k].Box
			}
		}
	}
	return found, best <= heldSeconds
}

func (a *area) mean(v *[cells]float32) float64 {
	sum, total := 0.0, 0.0
	for i, w := range a {
		sum += w * float64(v[i])
		total += w
	}
	if total == 0 {
		return 0
	}
	return sum / total
}
