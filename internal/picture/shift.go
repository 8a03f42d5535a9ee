package picture

import (
	"math"
	"slices"
)

// shift is by how much the picture moved since the picture before, in shares of
// its longer side; not known where there is too little to go by.
type shift struct {
	x, y  float64
	known bool
}

// shifts measures how the camera moves: how far each of some overlapping tiles
// moved, and of these the median, so that somebody who moves in front of a still
// background does not count.
type shifts struct {
	width, height int // of the pictures
	by            int // pixels each way that make one of the reduced picture
	small         []float64
	w, h          int // of the reduced picture
	tiles         []*tile
	seen          bool // one picture at least
	found         []shift
}

// Sizes in pixels of the reduced picture.
const (
	reducedSide = 160 // about, for the longer side
	tileLong    = 64  // tiles lie along the longer side
	tileShort   = 48
)

// When a shift is known. The highest peak between 1000 pairs of tiles of noise was
// 0.21 and between 360 pairs of tiles of different made scenes 0.24; between tiles
// of one scene with noise of 3 levels it was 0.62 and more.
const (
	leastPeak    = 0.25
	leastTexture = 4   // variance of a tile's levels
	leastTiles   = 0.5 // share of the tiles that tell
	agreement    = 1.0 // pixels from the median, for half of them
)

func newShifts(width, height int) *shifts {
	by := max(1, int(math.Round(float64(max(width, height))/reducedSide)))
	s := &shifts{width: width, height: height, by: by, w: width / by, h: height / by}
	s.small = make([]float64, s.w*s.h)
	tw, th := tileLong, tileShort
	if height > width {
		tw, th = th, tw
	}
	tw, th = min(tw, s.w), min(th, s.h)
	for _, y := range places(s.h, th) {
		for _, x := range places(s.w, tw) {
			s.tiles = append(s.tiles, newTile(x, y, tw, th))
		}
	}
	return s
}

// places returns where pieces of a length begin that cover a whole evenly.
func places(whole, piece int) []int {
	n := ceilDiv(whole, piece)
	out := make([]int, n)
	for i := range out {
		out[i] = (whole - piece) * i / max(1, n-1)
	}
	return out
}

func (s *shifts) add(pix []byte) {
	s.reduce(pix)
	var x, y []float64
	for _, t := range s.tiles {
		dx, dy, known := t.moved(s.small, s.w)
		if known {
			x, y = append(x, dx), append(y, dy)
		}
	}
	if s.seen {
		s.found = append(s.found, s.together(x, y))
	}
	s.seen = true
}

// together returns the median of the tiles' shifts, in pixels of the reduced
// picture, when enough of them tell much the same.
func (s *shifts) together(x, y []float64) shift {
	if float64(len(x)) < leastTiles*float64(len(s.tiles)) {
		return shift{}
	}
	mx, my := median(x), median(y)
	near := 0
	for i := range x {
		if math.Hypot(x[i]-mx, y[i]-my) <= agreement {
			near++
		}
	}
	if 2*near < len(x) {
		return shift{}
	}
	side := float64(max(s.w, s.h))
	return shift{mx / side, my / side, true}
}

func (s *shifts) reduce(pix []byte) {
	clear(s.small)
	for y := range s.h * s.by {
		out, in := s.small[y/s.by*s.w:][:s.w], pix[y*s.width:]
		for x := range out {
			sum := 0
			for _, v := range in[x*s.by : (x+1)*s.by] {
				sum += int(v)
			}
			out[x] += float64(sum)
		}
	}
	scale := 1 / float64(s.by*s.by)
	for i := range s.small {
		s.small[i] *= scale
	}
}

func median(v []float64) float64 {
	s := slices.Sorted(slices.Values(v))
	n := len(s)
	return (s[(n-1)/2] + s[n/2]) / 2
}
