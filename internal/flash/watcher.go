package flash

import (
	"fmt"
	"math"
	"slices"

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

// togetherSeconds is how long a cell that flashes too often still adds to the
// area of others: flashes at the limit come a third of a second apart, uneven
// ones a little more. No measurement set it.
const togetherSeconds = 0.5

// Finding is a stretch of flashing beyond the limits.
type Finding struct {
	Kind    Kind        `json:"kind"`
	First   film.Frames `json:"first_frame"`
	End     film.Frames `json:"end_frame"` // exclusive
	Flashes float64     `json:"flashes"`   // the most in a second, halves for a change without its opposite; 8 stands for more too
	Area    float64     `json:"area"`      // the largest share of the screen or field
}

// Watcher looks at the frames of one film.
type Watcher struct {
	grid   grid
	second int32 // in frames
	hold   int32
	frame  int32
	bytes  int
	lights []light
	sums   []int32
	firsts []int32 // work of usual
	lasts  []int32
	seen   []watched // by rule
}

// watched is how far a rule has got.
type watched struct {
	cells []cell
	last  []int32 // by cell: the frame of its last change that was one too many
	from  []int32 // and where the second of it began to change
	found []Finding
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
		grid: g, second: int32(math.Round(rate.PerSecond())), hold: int32(rate.PerSecond() * togetherSeconds), bytes: 3 * width * height,
		lights: make([]light, n), sums: make([]int32, (g.cols+1)*(g.rows+1)),
	}
	for range rules {
		last := make([]int32, n)
		for i := range last {
			last[i] = math.MinInt32 / 2
		}
		w.seen = append(w.seen, watched{cells: make([]cell, n), last: last, from: make([]int32, n)})
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
	most := 0
	for i, l := range w.lights {
		if !s.cells[i].next(r, r.value(l), l.red, w.frame) {
			continue
		}
		if n, from := s.cells[i].within(w.frame - w.second); n > 2*MostFlashes {
			s.last[i], s.from[i] = w.frame, from
			most = max(most, n)
		}
	}
	if most == 0 {
		return
	}
	area := w.area(s, r.field)
	if area <= MostArea {
		return
	}
	first, end := w.usual(s)
	if k := len(s.found) - 1; k >= 0 && first <= s.found[k].End {
		f := &s.found[k]
		f.End, f.Flashes, f.Area = max(f.End, end), max(f.Flashes, float64(most)/2), max(f.Area, area)
		return
	}
	s.found = append(s.found, Finding{r.kind, first, end, float64(most) / 2, area})
}

// flashes reports whether a cell flashes too often now.
func (w *Watcher) flashes(s *watched, cell int) bool { return w.frame-s.last[cell] <= w.hold }

// usual returns from where to where most of the cells that flash do: a few of
// them may move besides.
func (w *Watcher) usual(s *watched) (first, end film.Frames) {
	w.firsts, w.lasts = w.firsts[:0], w.lasts[:0]
	for i := range s.cells {
		if w.flashes(s, i) {
			w.firsts, w.lasts = append(w.firsts, s.from[i]), append(w.lasts, s.last[i])
		}
	}
	slices.Sort(w.firsts)
	slices.Sort(w.lasts)
	middle := len(w.firsts) / 2
	return film.Frames(w.firsts[middle]), film.Frames(w.lasts[middle]) + 1
}

// area returns the largest share of a field that flashes too often now.
func (w *Watcher) area(s *watched, field int) float64 {
	cols, rows := w.grid.cols, w.grid.rows
	at := func(row, col int) *int32 { return &w.sums[row*(cols+1)+col] }
	for row := range rows {
		for col := range cols {
			var flashes int32
			if w.flashes(s, row*cols+col) {
				flashes = 1
			}
			*at(row+1, col+1) = flashes + *at(row, col+1) + *at(row+1, col) - *at(row, col)
		}
	}
	high, wide := max(1, rows/field), max(1, cols/field)
	var most int32
	for row := range rows - high + 1 {
		for col := range cols - wide + 1 {
			most = max(most, *at(row+high, col+wide)-*at(row, col+wide)-*at(row+high, col)+*at(row, col))
		}
	}
	return float64(most) / float64(high*wide)
}

// Findings returns what was found so far, rule by rule, in order of frames.
func (w *Watcher) Findings() []Finding {
	var out []Finding
	for _, s := range w.seen {
		out = append(out, s.found...)
	}
	return out
}
