package job

import (
	"context"
	"math"
	"sync"

	"takeweave/internal/crop"
	"takeweave/internal/cut"
	"takeweave/internal/film"
	"takeweave/internal/fingerprint"
)

// Cut finds the best sequence of shots of an order, around the pins. What o
// leaves at 0 is as the kept wishes say.
func (w *Work) Cut(ctx context.Context, order string, o cut.Options) (film.Cut, error) {
	p, err := w.cutting(ctx, order, o)
	if err != nil {
		return film.Cut{}, err
	}
	pins, err := w.Pins(ctx)
	if err != nil {
		return film.Cut{}, err
	}
	return result(works(ctx), w, stepCut, order, fingerprint.Of(p.key, pins), func() (film.Cut, error) {
		stage := w.Progress.Stage(stepCut, 1, "cut")
		defer stage.End()
		c, err := p.solve(ctx, pins)
		if err == nil {
			stage.Add(1)
		}
		return c, err
	})
}

// cutting is the cut of one order made ready: what does not depend on pins.
type cutting struct {
	order   Order
	format  Format
	song    film.Song
	passes  []Pass
	request cut.Request
	viewed  map[int64]Viewed
	mu      *sync.Mutex // of the board: one caller at a time
	board   *cut.Board  // nil until first asked
	key     string
}

// shown returns the cut of an order with the song and the passes that it shows.
func (w *Work) shown(ctx context.Context, order string, o cut.Options) (c film.Cut, song film.Song, passes []Pass, err error) {
	if c, err = w.Cut(ctx, order, o); err != nil {
		return c, song, nil, err
	}
	if song, err = w.Song(ctx); err != nil {
		return c, song, nil, err
	}
	passes, err = w.Agree(ctx)
	return c, song, passes, err
}

// cutting makes the cut of an order ready, and keeps it for the next question.
func (w *Work) cutting(ctx context.Context, orderID string, o cut.Options) (*cutting, error) {
	order, err := w.order(ctx, orderID)
	if err != nil {
		return nil, err
	}
	song, err := w.Song(ctx)
	if err != nil {
		return nil, err
	}
	passes, err := w.Agree(ctx)
	if err != nil {
		return nil, err
	}
	format, err := w.FormatOf(ctx, order, passes)
	if err != nil {
		return nil, err
	}
	span, err := extract(&song, order)
	if err != nil {
		return nil, err
	}
	if o, err = w.orWished(ctx, o); err != nil {
		return nil, err
	}
	p := &cutting{mu: &w.cutMu, order: order, format: format, song: song, passes: passes}
	viewed, err := w.viewedOf(ctx, passes)
	if err != nil {
		return nil, err
	}
	candidates, err := candidatesOf(passes, viewed, order, format)
	if err != nil {
		return nil, err
	}
	p.viewed = viewed
	if len(candidates) == 0 {
		return nil, &film.Error{Code: film.CodeNoCoverage, Path: w.Store.Dir, Msg: "has no pass that lines up with the record, so there is nothing to cut", Hint: "takeweave lineup " + w.Store.Dir + " says why each clip was refused"}
	}
	p.song.Music.To = lastPlayed(p.song, candidates)
	p.request = cut.Request{Song: &p.song, Rate: format.Rate, Shape: format.Shape, Span: span, Candidates: candidates, Options: o}
	type source struct {
		Name  string
		Clip  film.Clip
		Setup film.Setup
		LU    film.LineUp
		A     []film.Agreement
	}
	sources := make([]source, len(passes))
	for i, q := range passes {
		sources[i] = source{q.Name, q.Clip, q.Setup, q.LineUp, q.Agreement}
	}
	known := map[int64]bool{} // what was seen of a clip depends on the clip alone
	for id := range viewed {
		known[id] = true
	}
	p.key = fingerprint.Of(stepCut, cutVersion, p.song, format, span, o, sources, known, pictureVersion)
	w.memoryMu.Lock()
	defer w.memoryMu.Unlock()
	if kept := w.cuttings[orderID]; kept != nil && kept.key == p.key {
		return kept, nil
	}
	w.cuttings[orderID] = p
	return p, nil
}

// solve finds the cut around pins, with the crop of each shot.
func (p *cutting) solve(ctx context.Context, pins []film.Pin) (film.Cut, error) {
	p.mu.Lock()
	defer p.mu.Unlock()
	if err := p.ready(); err != nil {
		return film.Cut{}, err
	}
	c, err := p.board.Solve(ctx, pins)
	if err != nil {
		return c, err
	}
	if err := p.crop(&c); err != nil {
		return c, err
	}
	return inFiles(c, p.passes), nil
}

// ready prepares the board. The caller holds its lock.
func (p *cutting) ready() error {
	if p.board != nil {
		return nil
	}
	board, err := cut.Prepare(p.request)
	p.board = board
	return err
}

func candidatesOf(passes []Pass, viewed map[int64]Viewed, order Order, format Format) ([]cut.Candidate, error) {
	best := bestOfSetups(passes, viewed)
	var all []cut.Candidate
	for i := range passes {
		p := &passes[i]
		if !p.Filmed() || len(p.Agreement) != len(p.LineUp.Segments) {
			continue // not judged yet
		}
		seen := p.sightings(viewed)
		for s := range p.LineUp.Segments {
			g := &p.LineUp.Segments[s]
			c := cut.Candidate{
				Pass: p.Name, Clip: p.Clip, Setup: p.Setup, Segment: s, Map: g, Agreement: &p.Agreement[s], Semitones: p.LineUp.Semitones,
				Picture: p.pictureGrades(g, viewed, best[p.Setup.Name]),
			}
			if order.Shape != "" {
				var err error
				if c.Framing, err = p.framingGrades(g, seen, order.Shape, format.Rate); err != nil {
					return nil, err
				}
			}
			all = append(all, c)
		}
	}
	return all, nil
}

// crop says what part of the picture each shot of an ordered shape shows: it
// follows the subject where that was seen, else it stands in the middle. The film
// in the shape of the footage shows all, as far as that shape allows.
func (p *cutting) crop(c *film.Cut) error {
	if p.order.Shape == "" {
		return nil
	}
	byName := map[string]*Pass{}
	for i := range p.passes {
		byName[p.passes[i].Name] = &p.passes[i]
	}
	for i := range c.Shots {
		s := &c.Shots[i]
		if s.File == "" {
			continue
		}
		pass := byName[s.Pass]
		window, err := crop.Largest(pass.Clip.Width, pass.Clip.Height, p.order.Shape)
		if err != nil {
			return err
		}
		path := crop.Follow(window, pass.sightings(p.viewed), crop.Stretch{From: s.SourceStart, Speed: s.Speed, Frames: s.End - s.First, Rate: c.Rate}, crop.Centre)
		s.Crop = &film.Crop{PictureW: pass.Clip.Width, PictureH: pass.Clip.Height, W: window.W, H: window.H}
		for _, k := range path.Keys {
			frame := film.Frames(math.Round(k.Seconds * c.Rate.PerSecond()))
			if n := len(s.Crop.Keys); n > 0 && s.Crop.Keys[n-1].Frame >= frame {
				continue
			}
			s.Crop.Keys = append(s.Crop.Keys, film.CropKey{Frame: frame, X: k.X, Y: k.Y})
		}
	}
	return nil
}

// ringOut is the longest time after the last attack for which a last chord may
// ring. Common practice.
const ringOut = 4.0

// lastPlayed returns where the playing ends for the cut. A line-up ends with the
// last attack that it hears; where no pass goes on for the last seconds of the
// music, the record's last chord rings out and there is nothing to agree with.
func lastPlayed(song film.Song, candidates []cut.Candidate) film.SongTime {
	var last film.SongTime
	for _, c := range candidates {
		last = max(last, c.Map.SongSpan().To)
	}
	if last < song.Music.To && song.Music.To-last <= ringOut {
		return last
	}
	return song.Music.To
}
