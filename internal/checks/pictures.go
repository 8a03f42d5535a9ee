package checks

import (
	"fmt"
	"sort"

	"takeweave/internal/film"
	"takeweave/internal/flash"
)

// Picture is one small frame as it is in the file: Y', Cb and Cr of 8 bits,
// limited range, BT.709, three planes of the same size, row-major.
type Picture struct {
	Y, Cb, Cr []byte
}

// Pictures looks at every frame of a film.
type Pictures struct {
	rate          film.Rate
	width, height int
	starts        map[film.Frames]bool
	limits        Limits
	frames        film.Frames
	flash         *flash.Watcher
	before        []byte // Y' of the last frame
	rgb           []byte
	blocks        []int
	change, rest  []float32 // from the frame before, by frame; see changeFrom
	black         runs
	outside       runs
	clipped       runs
}

// NewPictures returns a watcher for pictures of width x height pixels, best 320 x
// 180, at rate. starts are the frames at which shots begin, without which a shot
// that stands still from cut to cut is taken for a freeze.
func NewPictures(rate film.Rate, width, height int, starts []film.Frames, l Limits) (*Pictures, error) {
	f, err := flash.NewWatcher(rate, width, height)
	if err != nil {
		return nil, err
	}
	p := &Pictures{
		rate: rate, width: width, height: height, starts: map[film.Frames]bool{0: true}, limits: l, flash: f,
		rgb: make([]byte, 3*width*height), blocks: make([]int, blockCols*blockRows),
	}
	for _, s := range starts {
		p.starts[s] = true
	}
	return p, nil
}

// Add takes the next frame. It panics when a plane has another size. The planes
// are only read, and not kept.
func (p *Pictures) Add(f Picture) {
	if n := p.width * p.height; len(f.Y) != n || len(f.Cb) != n || len(f.Cr) != n {
		panic("checks: a frame of another size")
	}
	l := measure(f, p.rgb)
	p.flash.Add(p.rgb)
	p.black.add(p.frames, l.bright <= blackShare, l.bright)
	p.outside.add(p.frames, l.outside > p.limits.OutsideShare, l.outside)
	p.clipped.add(p.frames, l.white > p.limits.ClippedShare, l.white)
	most, rest := p.changeFrom(f.Y)
	p.change, p.rest = append(p.change, most), append(p.rest, rest)
	p.before = append(p.before[:0], f.Y...)
	p.frames++
}

// Report returns what was found. wanted is how many frames the film should have.
func (p *Pictures) Report(wanted film.Frames) Report {
	r := Report{Checked: []Kind{Black, Frozen, Repeated, Levels, Clipped, Flashing, Length}}
	tell := func(k Kind, s stretch, number, limit float64, words string) {
		r.Findings = append(r.Findings, Finding{k, s.first, s.end, words, number, limit})
	}
	if p.frames != wanted {
		last := stretch{first: min(p.frames, wanted), end: max(p.frames, wanted)}
		tell(Length, last, float64(p.frames), float64(wanted), fmt.Sprintf("the film has %d frames instead of %d", p.frames, wanted))
	}
	for _, s := range p.black.all {
		tell(Black, s, float64(s.end-s.first), 0, count(s.end-s.first, "black frame"))
	}
	for _, s := range p.outside.all {
		tell(Levels, s, s.most, p.limits.OutsideShare, fmt.Sprintf("levels outside the tolerated range over %.1f %% of the picture", 100*s.most))
	}
	for _, s := range p.clipped.all {
		if float64(s.end-s.first)*p.rate.FrameSeconds() >= p.limits.ClippedS {
			tell(Clipped, s, s.most, p.limits.ClippedShare, fmt.Sprintf("flat white over %.0f %% of the picture", 100*s.most))
		}
	}
	for _, f := range p.flash.Findings() {
		r.Findings = append(r.Findings, Finding{
			Flashing, f.First, f.End,
			fmt.Sprintf("%s: %d flashes in a second over %.0f %% of the area that counts", f.Kind, f.Flashes, 100*f.Area), float64(f.Flashes), flash.MostFlashes,
		})
	}
	r.Findings = append(r.Findings, p.alike()...)
	return r
}

// count returns "1 black frame", "2 black frames".
func count(n film.Frames, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}

// stretch is a run of frames, with the most that was measured in it.
type stretch struct {
	first, end film.Frames
	most       float64
}

// runs collects stretches of frames that follow each other.
type runs struct{ all []stretch }

// hold reports whether a frame is in one of the stretches.
func (r *runs) hold(frame film.Frames) bool {
	i := sort.Search(len(r.all), func(i int) bool { return r.all[i].end > frame })
	return i < len(r.all) && r.all[i].first <= frame
}

func (r *runs) add(frame film.Frames, holds bool, value float64) {
	if !holds {
		return
	}
	if k := len(r.all) - 1; k >= 0 && r.all[k].end == frame {
		r.all[k].end, r.all[k].most = frame+1, max(r.all[k].most, value)
		return
	}
	r.all = append(r.all, stretch{frame, frame + 1, value})
}
