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
	Flashes int         `json:"flashes"`   // the most that begin within a second; 16 stands for more too
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
	sums     []int32   // work: cells that have just changed back, summed over all above and left
	starts   []int32   // work: of those of a field, by how many frames ago they first changed
	seen     []watched // by rule
}

// watched is how far a rule has got.
type watched struct {
	high, wide int // of a field, cells
	cells      []cell
	last       []int32 // by cell: the frame of its last change
	before     []int32 // and of the one before it, the opposite way
	fields     []field // by the place of their top left cell
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
	w.sums, w.starts = make([]int32, (g.cols+1)*(g.rows+1)), make([]int32, w.second)
	for _, r := range rules {
		s := watched{
			high: max(1, g.rows/r.part), wide: max(1, g.cols/r.part),
			cells: make([]cell, n), last: make([]int32, n), before: make([]int32, n), fields: make([]field, n),
		}
		for i := range n {
			s.last[i], s.before[i], s.fields[i].end = -w.second, -w.second, -1 // never
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
		if s.cells[i].next(r, r.value(l), l.red) {
			s.before[i], s.last[i] = s.last[i], w.frame
			changed = true
		}
	}
	if !changed {
		return // no field can end a flash
	}
	w.sum(s)
	enough := int32(MostArea*float64(s.high*s.wide)) + 1
	for row := range w.grid.rows - s.high + 1 {
		for col := range w.grid.cols - s.wide + 1 {
			if w.within(row, col, s) < enough {
				continue
			}
			f := &s.fields[row*w.grid.cols+col]
			began, cells := w.flash(row, col, s, f.end)
			if cells < enough {
				continue
			}
			f.add(began, w.frame)
			if n, first := f.since(began - w.second); n > MostFlashes {
				s.tell(r.kind, film.Frames(first), film.Frames(w.frame)+1, n, float64(cells)/float64(s.high*s.wide))
			}
		}
	}
}

// isBack reports whether a cell has changed just now, back from a change that is
// less than a second old.
func (w *Watcher) isBack(s *watched, i int) bool {
	return w.frame-s.last[i] < w.together && w.frame-s.before[i] < w.second
}

// sum writes to sums, over all cells above and left of each, how many are back.
func (w *Watcher) sum(s *watched) {
	cols := w.grid.cols
	for row := range w.grid.rows {
		var inRow int32
		for col := range cols {
			if w.isBack(s, row*cols+col) {
				inRow++
			}
			w.sums[(row+1)*(cols+1)+col+1] = w.sums[row*(cols+1)+col+1] + inRow
		}
	}
}

// within returns how many cells of the field at row and col are back.
func (w *Watcher) within(row, col int, s *watched) int32 {
	at := func(row, col int) int32 { return w.sums[row*(w.grid.cols+1)+col] }
	return at(row+s.high, col+s.wide) - at(row, col+s.wide) - at(row+s.high, col) + at(row, col)
}

// flash returns the most cells of the field at row and col that are back and had
// first changed together, after a frame, and when they did.
func (w *Watcher) flash(row, col int, s *watched, after int32) (began, cells int32) {
	clear(w.starts)
	for y := row; y < row+s.high; y++ {
		for i := y*w.grid.cols + col; i < y*w.grid.cols+col+s.wide; i++ {
			if w.isBack(s, i) && s.before[i] > after {
				w.starts[w.frame-s.before[i]]++
			}
		}
	}
	var window int32
	for ago, n := range w.starts {
		window += n
		if old := ago - int(w.together); old >= 0 {
			window -= w.starts[old]
		}
		if window > cells {
			began, cells = w.frame-int32(ago), window
		}
	}
	return began, cells
}

// tell adds to the findings, or to the last one when it goes on.
func (s *watched) tell(kind Kind, first, end film.Frames, flashes int, area float64) {
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
