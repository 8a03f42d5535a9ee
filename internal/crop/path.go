package crop

import (
	"math"
	"slices"
	"sort"

	"takeweave/internal/film"
)

// The limits of a path's movement.
const (
	// pace is the most the window moves, in shares of the frame's width per
	// second (of its height, where that is less, for moves up and down).
	pace = 0.1
	// easeSeconds is how long the window takes from standing to full pace. So
	// it never speeds up by more than twice pace/easeSeconds, in a turn from full
	// pace to full pace. Our own, no measurement set it.
	easeSeconds = 1.0
	// easedOff is how far easing may bring a path off its band, a share of the
	// frame: see eased.
	easedOff = pace * easeSeconds / 4
	// worthSeconds is the price of travel: leaving the band by a pixel for this
	// long costs as much as going a pixel. So the window does not follow what is
	// over within twice that, because it could not go and return in that time
	// without being seen to; a musician sways with a beat or a bar. Our own.
	worthSeconds = 1.0
	// cutCosts is how much more it costs when a pixel of the subject is cut than
	// when the subject only stands badly: what is cut for longer than
	// 2·worthSeconds/(1+cutCosts) is followed. Our own.
	cutCosts = 4
	// movingCosts is the price of moving at all in a shot, in frames times seconds
	// outside the band: what it saves must be worth more, or the window stands in
	// the best place. So it does not drift by a little after a slow sway. Our own.
	movingCosts = 0.08
	// momentSeconds is how far apart the places are between which the path goes
	// straight before it is eased.
	momentSeconds = 0.1
	// pull is the cost of a pixel from the best place against a pixel outside
	// the band: it decides between places that are as good otherwise.
	pull = 0.01
)

// Stretch is the part of a pass that a path goes with: film frames from a place
// on the clip's own clock, at a speed (1 is native). For a whole pass From is its
// picture's start.
type Stretch struct {
	From   film.PassTime `json:"from_s"`
	Speed  float64       `json:"speed"`
	Frames film.Frames   `json:"frames"`
	Rate   film.Rate     `json:"fps"`
}

// passTime returns the place in the pass that a frame shows.
func (s Stretch) passTime(frame film.Frames) film.PassTime {
	return s.From + film.PassTime(s.Speed)*film.PassTime(s.Rate.FrameStart(frame))
}

// Key is the top left corner of the window at a moment of a path.
type Key struct {
	Seconds float64 `json:"t_s"` // since the first frame, as the film runs
	X       float64 `json:"x"`   // pixels of the picture
	Y       float64 `json:"y"`
}

// Path is how a window moves during a stretch: straight from key to key. The
// first key is at frame 0, the last at the last frame; a path that stands has one.
type Path struct {
	Window  Window  `json:"window"`
	Stretch Stretch `json:"stretch"`
	Keys    []Key   `json:"keys"`
}

// Follow returns the path of a window through one shot. It follows the subject
// as far as it has been seen in that stretch; while it is not seen the window has
// no reason to move. When it is never seen, the window stands on the point given.
//
// A path never leaves the picture, moves at most a tenth of the frame per second
// of film and turns by at most 0.2 of the frame per second in a second (see
// pace and easeSeconds). It stands through the shot, at even pixels, when one
// place keeps the subject well in the frame all along; else its places are parts
// of pixels. The stretch has a known rate and a speed above 0. Cost: some
// milliseconds for a shot, some tens for a whole song.
func Follow(w Window, seen []Sighting, s Stretch, on Point) Path {
	tr := newTrack(seen)
	var across, down []band
	known := false
	for f := film.Frames(0); f < s.Frames+s.momentFrames()-1; f += s.momentFrames() {
		var x, y band
		if b, ok := tr.at(s.passTime(min(f, s.Frames-1))); ok {
			x, y, known = w.across(b), w.down(b), true
		}
		across, down = append(across, x), append(down, y)
	}
	if !known {
		r := w.Stand(on)
		return Path{w, s, []Key{{0, r.X, r.Y}}}
	}
	roomX, roomY := w.room()
	x := s.along(across, roomX, float64(w.W))
	y := s.along(down, roomY, float64(min(w.W, w.H)))
	return Path{w, s, s.keys(x, y)}
}

// along returns the eased place of the window for each frame, from the bands of
// each moment, in one direction in which it has a room and a size in pixels.
func (s Stretch) along(bands []band, room, size float64) []float64 {
	every := int(s.momentFrames())
	dt := float64(every) * s.Rate.FrameSeconds()
	// So weak that all of it together never pays for travel: see TestSteadyStands.
	weak := math.Min(pull, worthSeconds/(2*dt*float64(len(bands))))
	w := wish{outside: dt, cut: cutCosts * dt, pull: weak * dt, travel: worthSeconds, reach: pace * size * dt}
	moments := steady(bands, room, w)
	place := stand(bands, room, w)
	if w.standing(place, bands) <= w.total(moments, bands)+movingCosts*size {
		return slices.Repeat([]float64{place}, int(s.Frames))
	}
	x := make([]float64, s.Frames)
	for i := range x {
		a, b := moments[i/every], moments[min(i/every+1, len(moments)-1)]
		x[i] = a + float64(i%every)/float64(every)*(b-a)
	}
	return eased(x, s.easeFrames())
}

// momentFrames returns how many frames lie from moment to moment: at most
// momentSeconds, but at least one.
func (s Stretch) momentFrames() film.Frames {
	return max(1, film.Frames(momentSeconds*s.Rate.PerSecond()))
}

// easeFrames returns how many frames to either side easing takes in: all
// together at least easeSeconds.
func (s Stretch) easeFrames() int {
	return int(math.Ceil((easeSeconds*s.Rate.PerSecond() - 1) / 2))
}

// keys returns the places at which the path bends.
func (s Stretch) keys(x, y []float64) []Key {
	// Less than this from a straight line is rounding, pixels.
	const rounding = 1e-9
	var keys []Key
	straight := func(v []float64, i int) bool { return math.Abs(v[i+1]-2*v[i]+v[i-1]) < rounding }
	last := len(x) - 1
	for i := range x {
		if i == 0 || i == last || !straight(x, i) || !straight(y, i) {
			keys = append(keys, Key{float64(s.Rate.FrameStart(film.Frames(i))), x[i], y[i]})
		}
	}
	if len(keys) == 2 && keys[0].X == keys[1].X && keys[0].Y == keys[1].Y {
		keys = keys[:1]
	}
	return keys
}

// At returns the crop of a frame, counted from the first of the stretch. Before
// and after the stretch the window stands.
func (p Path) At(frame film.Frames) Rect {
	t := float64(p.Stretch.Rate.FrameStart(frame))
	i := sort.Search(len(p.Keys), func(i int) bool { return p.Keys[i].Seconds > t })
	switch {
	case i == 0:
		return p.rect(p.Keys[0].X, p.Keys[0].Y)
	case i == len(p.Keys):
		return p.rect(p.Keys[i-1].X, p.Keys[i-1].Y)
	}
	a, b := p.Keys[i-1], p.Keys[i]
	share := (t - a.Seconds) / (b.Seconds - a.Seconds)
	return p.rect(a.X+share*(b.X-a.X), a.Y+share*(b.Y-a.Y))
}

func (p Path) rect(x, y float64) Rect { return Rect{x, y, p.Window.W, p.Window.H} }

// Stands reports whether the window never moves.
func (p Path) Stands() bool { return len(p.Keys) == 1 }
