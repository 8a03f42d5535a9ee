package picture

import (
	"fmt"
	"math"

	"takeweave/internal/film"
)

// momentSeconds is about how long a moment is: a whole number of frames.
const momentSeconds = 0.2

// Meter measures a stream of grey pictures. It keeps some 4 kB for each second
// of the pass and is for one goroutine at a time.
type Meter struct {
	width, height int
	rate          film.Rate
	stride        int // frames to a moment
	frames        int
	energies      *energies
	moments       []moment
	shifts        *shifts
	banding       *banding
}

// moment is what one picture of every moment shows, by cells of the [grid].
type moment struct {
	fine, coarse [cells]float32 // energies, see energies
	clipped      [cells]float32 // share of pixels
	crushed      float64        // share of all pixels
	middle       float64        // median level
	step         float64        // stops brighter than the moment before
	level        [cells]float32
}

// New returns a meter of pictures of width x height pixels that come rate times a
// second. 320 pixels for the longer side at 5 pictures a second do for all but
// flicker, which needs every picture of the clip.
func New(width, height int, rate film.Rate) (*Meter, error) {
	if min(width, height) < leastSide {
		return nil, fmt.Errorf("picture: %d x %d pixels are too few to measure", width, height)
	}
	if !rate.Known() {
		return nil, fmt.Errorf("picture: the rate of the pictures is not known")
	}
	return &Meter{
		width: width, height: height, rate: rate,
		stride:   max(1, int(math.Round(momentSeconds*rate.PerSecond()))),
		energies: newEnergies(width, height),
		shifts:   newShifts(width, height),
		banding:  newBanding(height, rate.PerSecond()),
	}, nil
}

// leastSide is the fewest pixels that leave every cell of the grid some.
const leastSide = 48

// Add takes the next picture: rows of width bytes from the top left, 0 black to
// 255 white whatever the clip's own range. It reads pix only during the call,
// and panics if pix is shorter than a picture.
func (m *Meter) Add(pix []byte) {
	pix = pix[:m.width*m.height]
	m.shifts.add(pix)
	m.banding.add(pix, m.width)
	if m.frames%m.stride == 0 {
		now := moment{}
		m.energies.measure(&now, pix)
		exposure(&now, pix, m.width, m.height)
		if n := len(m.moments); n > 0 {
			now.step = stepStops(&m.moments[n-1].level, &now.level)
		}
		m.moments = append(m.moments, now)
	}
	m.frames++
}

// grid divides a picture into cells, columns x rows of them.
const (
	columns = 8
	rows    = 6
	cells   = columns * rows
)

// column returns which column of cells the pixel x of a row of width is in, and
// the same for rows.
func column(x, width int) int { return x * columns / width }
func row(y, height int) int   { return y * rows / height }
