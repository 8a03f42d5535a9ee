package interchange

import (
	"fmt"
	"math"
	"slices"

	"takeweave/internal/film"
)

// Kind says in what a shot that came home differs from the present cut.
type Kind string

// The kinds of difference.
const (
	Trimmed Kind = "trimmed" // part of the shot shows nothing now
	Swapped Kind = "swapped" // another pass shows here
	Slipped Kind = "slipped" // the same clip at another moment
	Retimed Kind = "retimed" // the same clip at another speed
	Moved   Kind = "moved"   // the cut between two shots lies elsewhere
	Missing Kind = "missing" // nothing shows where the shot was
	Unknown Kind = "unknown" // a file that is none of our clips
	Outside Kind = "outside" // before or after the song
)

// Present is the cut as it is here, to compare with.
type Present struct {
	Cut    film.Cut
	Clips  []film.Clip // all that are known, not only those in the cut
	Song   film.Song   // for the addresses in sentences
	Record string      // absolute path of the record
}

// Difference is one thing that was changed elsewhere. Its span is in frames of
// the film, where frame 0 begins with the record.
type Difference struct {
	Kind       Kind
	First, End film.Frames
	// What shows in the span now; of Missing and Trimmed, what is gone in part.
	Clip        int64  // 0 when it is none of ours
	File        string // of the clip, or as the file from elsewhere names it
	Pass        string // of the clip in the present cut; "" when it is not in it
	SourceStart film.PassTime
	Speed       float64
	SlipMS      float64     // of Slipped: how much later (+) in the clip than before
	Cut         film.Frames // of Moved: where the cut lies now
	Say         string      // one sentence
}

// Differences compares what came home with the present cut and tells, in order
// of film frames, what was changed. The file must have been read at the rate of
// the cut, else it is an error.
//
// Places count from the record: when the file has it on a sound track, its
// first sample is frame 0, wherever it lies there. A source start that only was
// rounded to a whole frame, as programs that know no fractions of a frame do,
// is no slip.
func Differences(now Present, in *Incoming) ([]Difference, error) {
	if in.Rate != now.Cut.Rate {
		return nil, &film.Error{
			Code: film.CodeFailed, Msg: fmt.Sprintf("the changed cut was read at %s frames per second and the film has %s", in.Rate, now.Cut.Rate),
			Hint: "read the file again at the film's rate",
		}
	}
	c := comparison{now: now, kept: make([]bool, len(now.Cut.Shots))}
	c.bringHome(in)
	c.match()
	for j := range c.home {
		c.tellShot(j)
	}
	c.tellGone()
	slices.SortStableFunc(c.told, func(a, b Difference) int { return int(a.First - b.First) })
	return c.told, nil
}

// homeShot is a shot of the file on the film's own frames and clips.
type homeShot struct {
	Shot
	clip *film.Clip // nil for a hole or an unknown file
	at   film.PassTime
	was  int // index of the present shot it continues, -1 for none
}

// sourceAt returns the clip's time at the start of frame f.
func (h *homeShot) sourceAt(f film.Frames, r film.Rate) film.PassTime {
	return h.at + film.PassTime(float64(r.FrameStart(f-h.First))*h.Speed)
}

// comparison gathers differences.
type comparison struct {
	now  Present
	home []homeShot // those that are not holes, within the film
	kept []bool     // present shots that some shot at home continues
	told []Difference
}

// bringHome lays the shots of the file on the film and finds their clips.
func (c *comparison) bringHome(in *Incoming) {
	shift := recordAt(in, c.now.Record)
	find := finder(c.now.Clips)
	for _, s := range in.Shots {
		if s.Hole {
			continue
		}
		h := homeShot{Shot: s, clip: find(s), was: -1, at: s.SourceStart}
		if h.clip != nil && s.MediaKnown {
			h.at += h.clip.PictureStart - s.MediaStart
		}
		h.First -= shift
		h.End -= shift
		first, end := max(h.First, 0), min(h.End, c.now.Cut.Frames)
		if first >= end {
			c.tell(Outside, &h, h.First, h.End, "%s lies outside the song", c.name(&h))
			continue
		}
		h.at = h.sourceAt(first, c.now.Cut.Rate)
		h.First, h.End = first, end
		c.home = append(c.home, h)
	}
}

// recordAt returns the frame of the file at which the record's first sample
// lies; 0 when the record is not found on a sound track.
func recordAt(in *Incoming, record string) film.Frames {
	for _, alike := range []func(string) bool{
		func(f string) bool { return samePath(f, record) },
		func(f string) bool { return base(f) == base(record) },
	} {
		for _, s := range in.Sound {
			if record != "" && alike(s.File) {
				return s.First - in.Rate.NearestFrame(film.SongTime(s.SourceStart-s.MediaStart))
			}
		}
	}
	return 0
}

// match ties every shot at home to the present shot of the same clip with which
// it shares most frames.
func (c *comparison) match() {
	for j := range c.home {
		h := &c.home[j]
		most := film.Frames(0)
		for i := range c.now.Cut.Shots {
			p := &c.now.Cut.Shots[i]
			if shared := min(h.End, p.End) - max(h.First, p.First); h.clip != nil && p.File != "" && p.Clip == h.clip.ID && shared > most {
				most, h.was = shared, i
			}
		}
		if h.was >= 0 {
			c.kept[h.was] = true
		}
	}
}

// tellShot tells in what one shot at home differs.
func (c *comparison) tellShot(j int) {
	h := &c.home[j]
	if h.clip == nil {
		c.tell(Unknown, h, h.First, h.End, "%s at %s is none of the clips of this film", c.name(h), c.address(h.First))
		return
	}
	if h.was < 0 {
		c.tell(Swapped, h, h.First, h.End, "%s shows at %s instead of %s", c.name(h), c.address(h.First), c.shownAt(h.First))
		return
	}
	p := &c.now.Cut.Shots[h.was]
	if retimed(h, p) {
		c.tell(Retimed, h, h.First, h.End, "%s at %s runs at %.1f %% instead of %.1f %%", c.name(h), c.address(h.First), 100*h.Speed, 100*p.Speed)
	}
	if slip := c.slip(h, p); slip != 0 {
		way := "later"
		if slip < 0 {
			way = "earlier"
		}
		c.tell(Slipped, h, h.First, h.End, "%s at %s was slipped by %.0f ms, to a moment %s in the clip", c.name(h), c.address(h.First), math.Abs(1000*slip), way)
		c.told[len(c.told)-1].SlipMS = 1000 * slip
	}
	if h.First < p.First {
		c.tellEdge(j, j-1, h.First, p.First)
	}
	if h.End > p.End {
		c.tellEdge(j, j+1, p.End, h.End)
	}
}

// tellEdge tells of the part [first, end) by which shot j at home reaches beyond
// the present shot that it continues, towards its neighbour.
func (c *comparison) tellEdge(j, neighbour int, first, end film.Frames) {
	h := &c.home[j]
	step := neighbour - j
	if neighbour >= 0 && neighbour < len(c.home) {
		n := &c.home[neighbour]
		if touching := n.End == h.First || n.First == h.End; touching && n.was == h.was+step && !c.shows(h, &c.now.Cut.Shots[n.was]) {
			before, after, cut, way := h, n, end, "later"
			if step < 0 {
				before, after, cut, way = n, h, first, "earlier"
			}
			c.tell(Moved, h, first, end, "the cut from %s to %s moved %s %s, to %s", c.name(before), c.name(after), frames(end-first), way, c.address(cut))
			c.told[len(c.told)-1].Cut = cut
			return
		}
	}
	for i := range c.now.Cut.Shots {
		p := &c.now.Cut.Shots[i]
		if from, to := max(first, p.First), min(end, p.End); from < to && !c.shows(h, p) {
			c.tell(Swapped, h, from, to, "%s shows at %s instead of %s", c.name(h), c.address(from), c.shownAt(from))
		}
	}
}

// shows reports whether a present shot shows the same moments of the same clip
// as h.
func (c *comparison) shows(h *homeShot, p *film.Shot) bool {
	return p.File != "" && p.Clip == h.clip.ID && c.slip(h, p) == 0 && !retimed(h, p)
}

// retimed reports whether h runs at another speed than p, by more than 0.05 %:
// 20 ms in 40 s, longer than a shot lasts.
func retimed(h *homeShot, p *film.Shot) bool { return math.Abs(h.Speed-p.Speed) > 0.0005 }

// tellGone tells of the present shots that are gone, in part or whole, with
// nothing in their place.
func (c *comparison) tellGone() {
	for i := range c.now.Cut.Shots {
		p := &c.now.Cut.Shots[i]
		if p.File == "" {
			continue
		}
		empty := p.End - p.First
		rest := Difference{Clip: p.Clip, File: p.File, Pass: p.Pass, Speed: p.Speed, First: p.End, End: p.First}
		for j := range c.home {
			h := &c.home[j]
			empty -= max(0, min(h.End, p.End)-max(h.First, p.First))
			if h.was == i {
				if h.First < rest.First {
					rest.First, rest.SourceStart, rest.Speed = h.First, h.at, h.Speed
				}
				rest.End = max(rest.End, h.End)
			}
		}
		switch {
		case empty <= 0:
			continue
		case c.kept[i]:
			rest.Kind = Trimmed
			rest.Say = fmt.Sprintf("%q at %s lost %s, which show nothing now", p.File, c.address(p.First), frames(empty))
		default:
			rest.Kind, rest.First, rest.End, rest.SourceStart = Missing, p.First, p.End, p.SourceStart
			rest.Say = fmt.Sprintf("%q at %s is missing: %s of %s show nothing now", p.File, c.address(p.First), frames(empty), frames(p.End-p.First))
		}
		c.told = append(c.told, rest)
	}
}

// slip returns by how many seconds the clip is shown later than in the present
// shot; 0 when it is the same, or only rounded to a whole frame by a program
// that knows no fractions.
func (c *comparison) slip(h *homeShot, p *film.Shot) float64 {
	r := c.now.Cut.Rate
	f := max(h.First, p.First)
	slip := float64(h.sourceAt(f, r) - p.SourceStart - film.PassTime(float64(r.FrameStart(f-p.First))*p.Speed))
	if math.Abs(slip) <= 0.001 { // a millisecond: a tenth of what is heard or seen
		return 0
	}
	for _, grid := range []film.Rate{h.clip.Rate, r} {
		if !grid.Known() {
			continue
		}
		frame := grid.FrameSeconds()
		place := float64(h.SourceStart) / frame
		// Rounded down, or to the nearest.
		if math.Abs(place-math.Round(place)) < 0.001 && slip > -0.999*frame && slip <= 0.501*frame {
			return 0
		}
	}
	return slip
}

// tell adds a difference of what shows in [first, end).
func (c *comparison) tell(kind Kind, h *homeShot, first, end film.Frames, format string, args ...any) {
	d := Difference{Kind: kind, First: first, End: end, File: h.File, Speed: h.Speed, SourceStart: h.sourceAt(first, c.now.Cut.Rate), Say: fmt.Sprintf(format, args...)}
	if h.clip != nil {
		d.Clip, d.File = h.clip.ID, h.clip.File
		for _, p := range c.now.Cut.Shots {
			if p.File != "" && p.Clip == d.Clip {
				d.Pass = p.Pass
				break
			}
		}
	}
	c.told = append(c.told, d)
}

// name returns the quoted name of what a shot shows.
func (c *comparison) name(h *homeShot) string {
	if h.clip != nil {
		return fmt.Sprintf("%q", h.clip.File)
	}
	return fmt.Sprintf("%q", h.File)
}

// shownAt returns the quoted name of what the present cut shows at a frame.
func (c *comparison) shownAt(f film.Frames) string {
	for _, p := range c.now.Cut.Shots {
		if f >= p.First && f < p.End && p.File != "" {
			return fmt.Sprintf("%q", p.File)
		}
	}
	return "nothing"
}

// address returns a frame as a song address, or by number where the song has no
// lines.
func (c *comparison) address(f film.Frames) string {
	if len(c.now.Song.Lines) == 0 {
		return fmt.Sprintf("frame %d", f)
	}
	return c.now.Song.Address(c.now.Cut.At(f))
}

func frames(n film.Frames) string {
	if n == 1 {
		return "1 frame"
	}
	return fmt.Sprintf("%d frames", n)
}
