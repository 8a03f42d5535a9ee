package job

import (
	"context"
	"errors"
	"io"
	"maps"
	"math"
	"os"
	"path/filepath"
	"slices"

	"takeweave/internal/cut"
	"takeweave/internal/dsp"
	"takeweave/internal/film"
	"takeweave/internal/fingerprint"
	"takeweave/internal/look"
	"takeweave/internal/titles"
	"takeweave/internal/wav"
)

// What a page shows of a film, made when first asked for and kept in the cache.

// RecordPath returns where the record lies.
func (w *Work) RecordPath(ctx context.Context) (string, error) {
	path, _, err := w.record(ctx)
	return path, err
}

// SpanOf returns the stretch of song that an order is of, empty for all.
func (w *Work) SpanOf(ctx context.Context, o Order) (film.SongSpan, error) {
	if o.Part == "" {
		return film.SongSpan{}, nil
	}
	song, err := w.Song(ctx)
	if err != nil {
		return film.SongSpan{}, err
	}
	return extract(&song, o)
}

// FilmPath returns where the finished film of an order lies, whether it is made
// or not.
func (w *Work) FilmPath(ctx context.Context, order string) (string, error) {
	o, err := w.order(ctx, order)
	return w.filmPath(o), err
}

// Made reports whether the film of an order is there and shows the present cut.
func (w *Work) Made(ctx context.Context, o Order) bool {
	var h HandedOver
	stored, err := w.Store.Result(ctx, stepHandover, o.ID, &h)
	if err != nil || stored == "" || !stillThere(h.Film, h.Bytes) {
		return false
	}
	key, err := w.handoverKey(ctx, o, cut.Options{})
	return err == nil && key == stored
}

// passCalled finds a pass by its exact name.
func (w *Work) passCalled(ctx context.Context, name string) (*Pass, error) {
	passes, err := w.LineUp(ctx)
	if err != nil {
		return nil, err
	}
	for i := range passes {
		if passes[i].Name == name {
			return &passes[i], nil
		}
	}
	return nil, &film.Error{Code: film.CodeNotFound, Path: name, Msg: "is not the name of a pass of this film", Hint: "reload the page"}
}

// kept returns a file of the cache, made by write when it is not there.
func (w *Work) kept(folder, name string, write func(out io.Writer) error) (string, error) {
	path := filepath.Join(w.Store.Dir, "cache", folder, name)
	if _, err := os.Stat(path); err == nil {
		return path, nil
	}
	if err := os.MkdirAll(filepath.Dir(path), 0o777); err != nil {
		return "", err
	}
	return path, writeWhole(path, write)
}

// Ear returns a WAV file of a pass's own sound on the clock of the pass.
func (w *Work) Ear(ctx context.Context, name string) (string, error) {
	p, err := w.passCalled(Peek(ctx), name)
	if err != nil {
		return "", err
	}
	return w.kept("ear", fingerprint.Of("ear", p.digest())+".wav", func(out io.Writer) error {
		s, _, err := w.soundOf(ctx, p, func(float64) {})
		if err != nil {
			return err
		}
		all := make([]float32, s.Len())
		if err := errors.Join(s.Read(all, 0), s.Close()); err != nil {
			return err
		}
		levelOut(all)
		return wav.Write(out, dsp.AnalysisRate, all)
	})
}

// PassStill returns a JPEG of a pass at a moment of it, width pixels wide.
func (w *Work) PassStill(ctx context.Context, name string, at film.PassTime, width int) (string, error) {
	p, err := w.passCalled(Peek(ctx), name)
	if err != nil {
		return "", err
	}
	at = film.PassTime(math.Round(float64(at)*25) / 25) // so that neighbours share one
	f := p.Files[p.fileAt(at)]
	at = min(max(at-f.At, f.Clip.PictureStart), f.Clip.PictureEnd)
	source := f.Clip.Path
	if small := w.SmallPath(f.Clip); stillThere(small, -1) && width <= smallLong {
		source = small
	}
	return w.keptStill(ctx, fingerprint.Of("still", f.Clip.Digest, at, width), source, at, width)
}

// keptStill returns a JPEG of a moment of a file, kept under a name.
func (w *Work) keptStill(ctx context.Context, name, source string, at film.PassTime, width int) (string, error) {
	return w.kept("stills", name+".jpg", func(out io.Writer) error {
		picture, err := w.Engine.Still(ctx, source, at, width)
		if err != nil {
			return err
		}
		_, err = out.Write(picture)
		return err
	})
}

// waveStep is the step of the drawn wave in seconds.
const waveStep = 0.02

// Wave returns the lowest and highest sample of the record in each step of
// seconds, low and high in turn, -128..127.
func (w *Work) Wave(ctx context.Context) (step float64, peaks []int8, err error) {
	path, sum, err := w.record(ctx)
	if err != nil {
		return 0, nil, err
	}
	s, _, err := w.sound(ctx, path, sum, 0, func(float64) {})
	if err != nil {
		return 0, nil, err
	}
	defer s.Close()
	const n = int(waveStep * dsp.AnalysisRate)
	block := make([]float32, n)
	for at := 0; at < s.Len(); at += n {
		if err := s.Read(block, at); err != nil {
			return 0, nil, err
		}
		low, high := float32(0), float32(0)
		for _, v := range block {
			low, high = min(low, v), max(high, v)
		}
		peaks = append(peaks, int8(max(-128, math.Round(float64(low)*128))), int8(min(127, math.Round(float64(high)*127))))
	}
	return float64(n) / dsp.AnalysisRate, peaks, nil
}

// handoverKey is what a finished film depends on.
func (w *Work) handoverKey(ctx context.Context, order Order, o cut.Options) (string, error) {
	c, err := w.Cut(ctx, order.ID, o)
	if err != nil {
		return "", err
	}
	passes, err := w.Agree(ctx)
	if err != nil {
		return "", err
	}
	format, err := w.FormatOf(ctx, order, passes)
	if err != nil {
		return "", err
	}
	_, recordSum, err := w.record(ctx)
	if err != nil {
		return "", err
	}
	target, _, err := w.LoudnessTarget(ctx)
	if err != nil {
		return "", err
	}
	l, trims, err := w.Look(ctx)
	if err != nil {
		return "", err
	}
	looks := []string{w.lookKey(l, look.Trim{})}
	for _, name := range slices.Sorted(maps.Keys(trims)) {
		looks = append(looks, name, w.lookKey(l, trims[name]))
	}
	encoder, err := w.encoder(order, format)
	if err != nil {
		return "", err
	}
	encoder.Threads = 0      // it follows the free memory, not the film
	song, err := w.Song(ctx) // its lines are captions, its names are in the report
	if err != nil {
		return "", err
	}
	faces, err := w.facesOf(ctx, order, &c, passes) // captions keep clear of them
	if err != nil {
		return "", err
	}
	var facts titles.Facts
	if len(order.Letters) > 0 {
		if facts, err = w.Facts(ctx); err != nil {
			return "", err
		}
	}
	return fingerprint.Of(stepHandover, handoverVersion, c, format, recordSum, w.Engine.Kind(), w.Engine.Version(), encoder, passes, target, song, looks, order.Letters, facts, faces), nil
}
