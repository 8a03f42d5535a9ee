package workbench

import (
	"context"
	"errors"
	"mime"
	"net/http"
	"path/filepath"
	"slices"
	"strings"

	"takeweave/internal/cut"
	"takeweave/internal/film"
	"takeweave/internal/handover"
	"takeweave/internal/job"
)

// film answers GET /api/film.
func (v *Server) film(r *http.Request) (any, error) {
	ctx, w := v.known(r)
	rev, working := v.live.now()
	f := Film{Rev: rev, Name: filepath.Base(v.store.Dir), Working: working, Orders: []Order{}, Setups: []film.Setup{}, Passes: []Pass{}, Pins: []Pin{}, Done: []string{}, Undone: []string{}}
	record, err := w.RecordPath(ctx)
	if film.CodeOf(err) == film.CodeNeedsStep { // it is planned, and has no record yet
		f.Missing = []string{"song", "lineup", "agree"}
		err := v.decisions(ctx, w, &f)
		return f, err
	}
	if err != nil {
		return nil, err
	}
	f.Record = filepath.Base(record)
	if f.Song, err = w.Song(ctx); errors.Is(err, job.ErrNotYet) {
		f.Missing = append(f.Missing, "song")
	} else if err != nil {
		return nil, err
	}
	passes, err := v.passes(ctx, w, &f)
	if err != nil {
		return nil, err
	}
	if err := v.orders(ctx, w, &f, passes); err != nil {
		return nil, err
	}
	if err := v.decisions(ctx, w, &f); err != nil {
		return nil, err
	}
	if f.Look, f.Trims, err = w.Look(ctx); err != nil {
		return nil, err
	}
	f.LUTs, err = w.LUTs()
	return f, err
}

// passes fills in the passes and setups, and says what is missing.
func (v *Server) passes(ctx context.Context, w *job.Work, f *Film) ([]job.Pass, error) {
	passes, err := w.Agree(ctx)
	if film.CodeOf(err) == film.CodeNoClips {
		f.Missing = append(f.Missing, "lineup", "agree")
		return nil, nil
	}
	if err != nil {
		return nil, err
	}
	waits, unjudged := len(passes) == 0, false
	seen := map[string]bool{}
	for i := range passes {
		p := &passes[i]
		waits = waits || p.LineUp.Status == ""
		unjudged = unjudged || p.Filmed() && p.Agreement == nil
		if !seen[p.Setup.Name] && p.Setup.Name != "" {
			seen[p.Setup.Name] = true
			f.Setups = append(f.Setups, p.Setup)
		}
		f.Passes = append(f.Passes, v.passOf(ctx, w, p, &f.Song))
	}
	if waits {
		f.Missing = append(f.Missing, "lineup")
	}
	if waits || unjudged {
		f.Missing = append(f.Missing, "agree")
	}
	slices.SortStableFunc(f.Setups, func(a, b film.Setup) int { return strings.Compare(a.Name, b.Name) })
	slices.SortStableFunc(f.Passes, func(a, b Pass) int { return strings.Compare(a.Setup, b.Setup) })
	return passes, nil
}

func (v *Server) passOf(ctx context.Context, w *job.Work, p *job.Pass, song *film.Song) Pass {
	out := Pass{
		Name: p.Name, Setup: p.Setup.Name, Status: p.LineUp.Status, Reason: p.LineUp.Reason,
		Playback: p.LineUp.Playback, Semitones: p.LineUp.Semitones, Width: p.Clip.Width, Height: p.Clip.Height, FPS: p.Clip.Rate,
		Files: []File{}, Ribbons: []Ribbon{},
	}
	for _, f := range p.Files {
		kind := v.clips.of(ctx, w, f.Clip)
		out.Files = append(out.Files, File{Clip: f.Clip.ID, At: f.At, Seconds: float64(f.Clip.PictureEnd), Small: kind.small, Type: kind.mime})
	}
	if p.Filmed() {
		for i := range p.LineUp.Segments {
			var a *film.Agreement
			if i < len(p.Agreement) {
				a = &p.Agreement[i]
			}
			out.Ribbons = append(out.Ribbons, ribbonOf(i, &p.LineUp.Segments[i], a, p.Setup, song))
		}
	}
	return out
}

// orders fills in the films that are wanted, and the rate.
func (v *Server) orders(ctx context.Context, w *job.Work, f *Film, passes []job.Pass) error {
	orders, err := w.Orders(ctx)
	if err != nil {
		return err
	}
	for _, o := range orders {
		format, err := w.FormatOf(ctx, o, passes)
		if err != nil {
			return err
		}
		span, err := w.SpanOf(ctx, o)
		if err != nil && !errors.Is(err, job.ErrNotYet) && film.CodeOf(err) != film.CodeUsage {
			return err
		}
		if span.Len() == 0 {
			span = film.SongSpan{To: f.Song.Duration}
		}
		f.FPS = format.Rate
		f.Orders = append(f.Orders, Order{ID: o.ID, Shape: format.Shape, Width: format.Width, Height: format.Height, Span: span, Part: o.Part, Made: w.Made(ctx, o)})
	}
	return nil
}

// decisions fills in what the person decided.
func (v *Server) decisions(ctx context.Context, w *job.Work, f *Film) error {
	pins, err := w.Pins(ctx)
	if err != nil {
		return err
	}
	for _, p := range pins {
		f.Pins = append(f.Pins, Pin{Pin: p, Words: p.Say()})
	}
	o, err := w.Wishes(ctx)
	if err != nil {
		return err
	}
	f.Wishes = Wishes{Shortest: o.MinShot, Longest: o.MaxShot, Wanted: o.WantShot, Speed: o.MaxSpeed}
	all, err := v.store.Decisions(ctx)
	if err != nil {
		return err
	}
	for _, d := range all {
		if d.Undone {
			f.Undone = append(f.Undone, d.Words)
		} else {
			f.Done = append(f.Done, d.Words)
		}
	}
	return nil
}

// cut answers GET /api/cut.
func (v *Server) cut(r *http.Request) (any, error) {
	ctx, w := v.known(r)
	of := orderOf(r)
	c, err := w.Cut(ctx, of, cut.Options{})
	if err != nil {
		return nil, err
	}
	song, err := w.Song(ctx)
	if err != nil {
		return nil, err
	}
	pins, err := w.Pins(ctx)
	if err != nil {
		return nil, err
	}
	whole := c
	if of != job.WholeFilm {
		if whole, err = w.Cut(ctx, job.WholeFilm, cut.Options{}); err != nil {
			return nil, err
		}
	}
	figures := handover.FiguresOf(c, song)
	out := Cut{Order: of, Cut: c, States: []string{}, Pinned: [][]int{}, Differs: []bool{}, MeanShot: figures.MeanShot, Agreeing: figures.Agreeing, NotAgrees: figures.NotAgreeing}
	for _, s := range c.Shots {
		span := film.SongSpan{From: c.At(s.First), To: c.At(s.End)}
		touch := []int{}
		for i, p := range pins {
			if p.Span.Overlap(span) > 0 || p.Span.Len() == 0 && span.Holds(p.Span.From) {
				touch = append(touch, i)
			}
		}
		out.Pinned = append(out.Pinned, touch)
		out.States = append(out.States, string(handover.StateOf(s, &song, &c)))
		out.Differs = append(out.Differs, differs(&whole, s, span))
	}
	return out, nil
}

// differs reports whether the whole film mostly shows another pass over a span.
func differs(whole *film.Cut, s film.Shot, span film.SongSpan) bool {
	same := 0.0
	for _, o := range whole.Shots {
		if o.Pass == s.Pass {
			same += film.SongSpan{From: whole.At(o.First), To: whole.At(o.End)}.Overlap(span)
		}
	}
	return same < span.Len()/2
}

// mimeOf guesses what a browser is told a file is.
func mimeOf(path string) string {
	switch strings.ToLower(filepath.Ext(path)) {
	case ".mp4", ".m4v", ".mov":
		return "video/mp4" // browsers take the MOV files that they can play under this name
	}
	if t := mime.TypeByExtension(filepath.Ext(path)); t != "" {
		return t
	}
	return "application/octet-stream"
}
