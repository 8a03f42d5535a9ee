package job

import (
	"context"
	"fmt"
	"slices"
	"sort"
	"strings"

	"golang.org/x/sync/errgroup"

	"takeweave/internal/agree"
	"takeweave/internal/crop"
	"takeweave/internal/film"
	"takeweave/internal/fingerprint"
	"takeweave/internal/songmap"
)

// Song returns the map of the record: as the person edited it, else as measured.
func (w *Work) Song(ctx context.Context) (film.Song, error) {
	edited, err := w.editedSong(ctx)
	if err != nil || edited != nil {
		return orZero(edited), err
	}
	return w.measuredSong(ctx)
}

func orZero(s *film.Song) film.Song {
	if s == nil {
		return film.Song{}
	}
	return *s
}

// measuredSong maps the record: beats, bars, lines, sections.
func (w *Work) measuredSong(ctx context.Context) (film.Song, error) {
	recordPath, sum, err := w.record(ctx)
	if err != nil {
		return film.Song{}, err
	}
	return result(ctx, w, stepSong, "", fingerprint.Of(stepSong, songVersion, sum), func() (film.Song, error) {
		stage := w.Progress.Stage("song", 100, "%")
		defer stage.End()
		info, err := w.info(ctx, recordPath)
		if err != nil {
			return film.Song{}, err
		}
		part := stage.Part(100)
		s, _, err := w.sound(ctx, recordPath, sum, info.Duration, func(d float64) { part(d / 4) })
		if err != nil {
			return film.Song{}, err
		}
		defer s.Close()
		return songmap.Map(ctx, s, func(d float64) { part(0.25 + 0.75*d) })
	})
}

// eachPass works on all passes side by side, with one progress stage measured
// in minutes of footage.
func (w *Work) eachPass(ctx context.Context, step string, passes []Pass, do func(ctx context.Context, p *Pass, progress func(float64)) error) error {
	var minutes float64
	for _, p := range passes {
		minutes += p.Clip.Duration / 60
	}
	stage := w.Progress.Stage(step, minutes, "min of footage")
	defer stage.End()
	g, gctx := errgroup.WithContext(ctx)
	g.SetLimit(sideBySide())
	for i := range passes {
		g.Go(func() error {
			p := &passes[i]
			part := stage.Part(p.Clip.Duration / 60)
			stage.Note(p.Name)
			if err := do(gctx, p, part); err != nil {
				return fmt.Errorf("%s of %s: %w", step, p.Name, err)
			}
			part(1)
			return nil
		})
	}
	return g.Wait()
}

// Agree judges every moment of every aligned pass, once in the life of w.
func (w *Work) Agree(ctx context.Context) ([]Pass, error) {
	if w.judged != nil {
		return w.judged, nil
	}
	linedUp, err := w.LineUp(ctx)
	if err != nil {
		return nil, err
	}
	passes := slices.Clone(linedUp)
	err = w.eachPass(ctx, stepAgree, passes, func(ctx context.Context, p *Pass, progress func(float64)) error {
		a, err := w.agree(ctx, p, progress)
		p.Agreement = a
		return unlessNotYet(err)
	})
	if err != nil {
		return nil, err
	}
	if !peeks(ctx) {
		w.judged = passes
	}
	return passes, nil
}

func (w *Work) agree(ctx context.Context, p *Pass, progress func(float64)) ([]film.Agreement, error) {
	if !p.Filmed() {
		return nil, nil
	}
	recordPath, sum, err := w.record(ctx)
	if err != nil {
		return nil, err
	}
	key := fingerprint.Of(stepAgree, agreeVersion, sum, p.digest(), p.LineUp, p.Setup.SyncTolerance())
	return result(ctx, w, stepAgree, p.subject(), key, func() ([]film.Agreement, error) {
		info, err := w.info(ctx, recordPath)
		if err != nil {
			return nil, err
		}
		record, err := w.recordOnce(ctx, recordPath, sum, info.Duration)
		if err != nil {
			return nil, err
		}
		pass, _, err := w.hear(ctx, p, func(d float64) { progress(d / 2) })
		if err != nil {
			return nil, err
		}
		return agree.Judge(ctx, record, pass, p.LineUp, p.Setup, func(d float64) { progress(0.5 + d/2) })
	})
}

// Format is the size and rate of a film.
type Format struct {
	Rate   film.Rate  `json:"rate"`
	Width  int        `json:"width"`
	Height int        `json:"height"`
	Shape  film.Shape `json:"shape"`
}

// SetFormat keeps the size and rate that the person chose; "" leaves them to
// the clips.
func (w *Work) SetFormat(ctx context.Context, rate, size string) error {
	if rate != "" {
		r, err := film.ParseRate(rate)
		if err != nil {
			return &film.Error{Code: film.CodeUsage, Msg: err.Error(), Hint: "give frames per second, for example 25 or 23.976 or 30000/1001"}
		}
		if err := w.Store.Set(ctx, settingRate, r.String()); err != nil {
			return err
		}
	}
	if size != "" {
		if _, _, err := parseSize(size); err != nil {
			return err
		}
		return w.Store.Set(ctx, settingSize, size)
	}
	return nil
}

func parseSize(s string) (width, height int, err error) {
	if n, _ := fmt.Sscanf(strings.ToLower(s), "%dx%d", &width, &height); n != 2 || width < 16 || height < 16 || width > 8192 || height > 8192 {
		return 0, 0, &film.Error{Code: film.CodeUsage, Msg: fmt.Sprintf("%q is not a picture size", s), Hint: "give width and height in pixels, for example 1920x1080"}
	}
	return width &^ 1, height &^ 1, nil
}

// Format returns the film's size and rate: the person's choice, else what fits
// most of the aligned footage.
func (w *Work) Format(ctx context.Context, passes []Pass) (Format, error) {
	var f Format
	rates, sizes := map[film.Rate]float64{}, map[[2]int]float64{}
	for _, p := range passes {
		if p.Filmed() {
			rates[usualRate(p.Clip.Rate)] += p.LineUp.Covered
			sizes[[2]int{p.Clip.Width &^ 1, p.Clip.Height &^ 1}] += p.LineUp.Covered
		}
	}
	f.Rate = most(rates, func(a, b film.Rate) bool { return a.PerSecond() < b.PerSecond() })
	size := most(sizes, func(a, b [2]int) bool { return a[0]*a[1] > b[0]*b[1] })
	f.Width, f.Height = size[0], size[1]
	rate, err := w.Store.Setting(ctx, settingRate)
	if err != nil {
		return f, err
	}
	if rate != "" {
		if f.Rate, err = film.ParseRate(rate); err != nil {
			return f, err
		}
	}
	chosen, err := w.Store.Setting(ctx, settingSize)
	if err != nil {
		return f, err
	}
	if chosen != "" {
		if f.Width, f.Height, err = parseSize(chosen); err != nil {
			return f, err
		}
	}
	f.Shape = shapeOf(f.Width, f.Height)
	return f, nil
}

// FormatOf returns the size and rate of an ordered film.
func (w *Work) FormatOf(ctx context.Context, o Order, passes []Pass) (Format, error) {
	f, err := w.Format(ctx, passes)
	if err != nil || o.Shape == "" {
		return f, err
	}
	f.Shape = o.Shape
	f.Width, f.Height, err = crop.Output(o.Shape, max(f.Width, f.Height), min(f.Width, f.Height))
	return f, err
}

// most returns the key with the most weight; ties go to the one that before
// puts first.
func most[K comparable](weight map[K]float64, before func(a, b K) bool) K {
	var keys []K
	for k := range weight {
		keys = append(keys, k)
	}
	sort.Slice(keys, func(i, j int) bool {
		if weight[keys[i]] != weight[keys[j]] {
			return weight[keys[i]] > weight[keys[j]]
		}
		return before(keys[i], keys[j])
	})
	var none K
	if len(keys) == 0 {
		return none
	}
	return keys[0]
}

// filmRates are the rates films are handed over in. Source: SMPTE ST 12-1 and
// its multiples.
var filmRates = []film.Rate{{Num: 24000, Den: 1001}, {Num: 24, Den: 1}, {Num: 25, Den: 1}, {Num: 30000, Den: 1001}, {Num: 30, Den: 1}, {Num: 48, Den: 1}, {Num: 50, Den: 1}, {Num: 60000, Den: 1001}, {Num: 60, Den: 1}}

// usualRate returns the usual film rate nearest to a clip's.
func usualRate(r film.Rate) film.Rate {
	best := film.Rate{Num: 25, Den: 1}
	if !r.Known() {
		return best
	}
	distance := func(a film.Rate) float64 {
		d := a.PerSecond()/r.PerSecond() - 1
		return max(d, -d)
	}
	for _, c := range filmRates {
		if distance(c) < distance(best)-1e-9 {
			best = c
		}
	}
	return best
}

// shapeOf names a frame shape: a usual one within 1.5 %, else the ratio.
func shapeOf(width, height int) film.Shape {
	usual := []struct {
		name  film.Shape
		ratio float64
	}{{"16:9", 16.0 / 9}, {"2.39:1", 2.39}, {"9:16", 9.0 / 16}, {"4:5", 0.8}, {"1:1", 1}, {"4:3", 4.0 / 3}, {"3:2", 1.5}, {"3:4", 0.75}}
	r := float64(width) / float64(max(height, 1))
	for _, u := range usual {
		if d := r/u.ratio - 1; d < 0.015 && d > -0.015 {
			return u.name
		}
	}
	return film.Shape(fmt.Sprintf("%.2f:1", r))
}
