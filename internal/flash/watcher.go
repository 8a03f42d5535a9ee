package flash

import (
	"fmt"
	"math"

	"takeweave/internal/film"
)

// Kind is the rule that was broken.
type Kind string

// The rules.
const (
	GeneralBT1702 Kind = "BT.1702 general flash"
	GeneralWCAG   Kind = "WCAG 2.3.1 general flash"
	RedWCAG       Kind = "WCAG 2.3.1 red flash"
)

// Limits. Source: [BT1702] and [WCAG22].
const (
	MostFlashes = 3    // within a second
	MostArea    = 0.25 // of the screen or field
)

// togetherSeconds is within what time cells change together: the edge of a flash
// reaches bright and dark parts of a scene a frame or two apart. It is longer for
// what does not flash but move. No measurement set it.
const togetherSeconds = 0.08

// Finding is a stretch of flashing beyond the limits.
type Finding struct {
	Kind    Kind        `json:"kind"`
	First   film.Frames `json:"first_frame"`
	End     film.Frames `json:"end_frame"` // exclusive
	Flashes float64     `json:"flashes"`   // the most in a second, a half for a change without its opposite; 8 stands for more too
	Area    float64     `json:"area"`      // the largest share of the screen or field
}

// Watcher looks at the frames of one film.
type Watcher struct {
	grid     grid
	bytes    int   // of a frame
	second   int32 // in frames
	together int32
	frame    int32
	lights   []light
	sums     [2][]int32 // work: cells that have gone down and up, summed over all above and left
	seen     []watched  // by rule
}

// watched is how far a rule has got.
type watched struct {
	high, wide int // of a field, cells
	cells      []cell
	last       [2][]int32 // by cell: the frame of its last change down and up
	fields     []field    // by the place of their top left cell
	found      []Finding
}

// NewWatcher returns a watcher for RGB pictures of width x height pixels at
// rate. 320 x 180 is enough; the smallest is 80 x 40.
func NewWatcher(rate film.Rate, width, height int) (*Watcher, error) {
	if !rate.Known() || width < 80 || height < 40 {
		return nil, fmt.Errorf("flash: %d x %d pixels at %s frames a second are not watched", width, height, rate)
	}
	g := newGrid(width, height)
	n := g.cols * g.rows
	w := &Watcher{
		grid: g, bytes: 3 * width * height, second: int32(math.Round(rate.PerSecond())),
		together: max(1, int32(math.Round(rate.PerSecond()*togetherSeconds))), lights: make([]light, n),
	}
	for i := range w.sums {
		w.sums[i] = make([]int32, (g.cols+1)*(g.rows+1))
	}
	for _, r := range rules {
		s := watched{high: max(1, g.rows/r.part), wide: max(1, g.cols/r.part), cells: make([]cell, n), fields: make([]field, n)}
		for way := range s.last {
			s.last[way] = make([]int32, n)
			for i := range s.last[way] {
				s.last[way][i] = -w.together // never
			}
		}
		w.seen = append(w.seen, s)
	}
	return w, nil
}

// Add takes the next frame: 8 bit full-range R'G'B', interleaved, row-major. It
// panics when there are not width x height pixels. rgb is only read.
func (w *Watcher) Add(rgb []byte) {
	if len(rgb) != w.bytes {
		panic("flash: a frame of another size")
	}
	w.grid.read(w.lights, rgb)
	for i := range rules {
		w.apply(&rules[i], &w.seen[i])
	}
	w.frame++
}

func (w *Watcher) apply(r *rule, s *watched) {
	changed := false
	for i, l := range w.lights {
		if went := s.cells[i].next(r, r.value(l), l.red); went != 0 {
			s.last[(went+1)/2][i] = w.frame
			changed = true
		}
	}
	if !changed {
		return // no field can change
	}
	for way := range w.sums {
		w.sum(w.sums[way], s.last[way])
	}
	area := float64(s.high * s.wide)
	for row := range w.grid.rows - s.high + 1 {
		for col := range w.grid.cols - s.wide + 1 {
			f := &s.fields[row*w.grid.cols+col]
			down, up := w.within(0, row, col, s)/area, w.within(1, row, col, s)/area
			if !f.next(up, down, w.frame) {
				continue
			}
			if n, first := f.within(w.frame - w.second); n > 2*MostFlashes {
				s.tell(r.kind, film.Frames(first), film.Frames(w.frame)+1, float64(n)/2, max(up, down))
			}
		}
	}
}

// sum writes to sums, over all cells above and left of each, how many last
// changed just now.
func (w *Watcher) sum(sums, last []int32) {
	cols := w.grid.cols
	for row := range w.grid.rows {
		var inRow int32
		for col := range cols {
			if w.frame-last[row*cols+col] < w.together {
				inRow++
			}
			sums[(row+1)*(cols+1)+col+1] = sums[row*(cols+1)+col+1] + inRow
		}
	}
}

// within returns how many cells of the field at row and col have gone a way.
func (w *Watcher) within(way, row, col int, s *watched) float64 {
	at := func(row, col int) int32 { return w.sums[way][row*(w.grid.cols+1)+col] }
	return float64(at(row+s.high, col+s.wide) - at(row, col+s.wide) - at(row+s.high, col) + at(row, col))
}

// tell adds to the findings, or to the last one when it goes on.
func (s *watched) tell(kind Kind, first, end film.Frames, flashes, area float64) {
	if k := len(s.found) - 1; k >= 0 && first <= s.found[k].End {
		f := &s.found[k]
		f.First, f.End = min(f.First, first), max(f.End, end)
		f.Flashes, f.Area = max(f.Flashes, flashes), max(f.Area, area)
		return
	}
	s.found = append(s.found, Finding{kind, first, end, flashes, area})
}

// Findings returns what was found so far, rule by rule, in order of frames.
func (w *Watcher) Findings() []Finding {
	var out []Finding
	for _, s := range w.seen {
		out = append(out, s.found...)
	}
	return out
}
