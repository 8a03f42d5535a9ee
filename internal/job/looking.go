package job

import (
	"context"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"time"

	"takeweave/internal/crop"
	"takeweave/internal/film"
	"takeweave/internal/fingerprint"
	"takeweave/internal/interchange"
	"takeweave/internal/look"
	"takeweave/internal/media"
)

// What a hand needs while it finds a look: looks are tried here without being
// decided.

// quickTable is the points a side of a table while a hand drags: a quarter of the
// work of 33, at which the hand sees ten pictures a second.
const quickTable = 21

// TryTable returns the table of a look and a trim that need not be decided. A
// quick one is for while a hand drags; the other is the one that the films are
// made with.
func (w *Work) TryTable(l look.Look, t look.Trim, quick bool) (film.Table3D, error) {
	c, err := w.chain(l, t)
	if err != nil {
		return film.Table3D{}, err
	}
	if quick {
		return c.Table(quickTable), nil
	}
	return c.BakeWell().Table, nil
}

// tried is what is kept in memory while a look is found.
type tried struct {
	mu   sync.Mutex
	luts map[string]readLUT // by path

	sampleMu sync.Mutex // held while the sample is decoded
	sample   []look.RGB
	of       string // the passes that sample is of
}

type readLUT struct {
	bytes   int64
	changed time.Time
	lut     film.LUT
}

// lut reads the LUT of a layer, once while its file does not change; nil for a
// layer without one.
func (w *Work) lut(layer look.Layer) (*film.LUT, error) {
	if layer.File == "" {
		return nil, nil
	}
	path := filepath.Join(w.Store.Dir, looksFolder, filepath.Base(layer.File))
	gone := func(err error) error {
		return &film.Error{Code: film.CodeNotFound, Path: path, Msg: "is a table of the look and cannot be read", Hint: "put it back into the folder looks, or take it out of the look", Err: err}
	}
	st, err := os.Stat(path)
	if err != nil {
		return nil, gone(err)
	}
	w.tried.mu.Lock()
	defer w.tried.mu.Unlock()
	if known, ok := w.tried.luts[path]; ok && known.bytes == st.Size() && known.changed.Equal(st.ModTime()) {
		return &known.lut, nil
	}
	text, err := os.ReadFile(path)
	if err != nil {
		return nil, gone(err)
	}
	lut, err := interchange.ReadLUT(text, path)
	if err != nil {
		return nil, err
	}
	if w.tried.luts == nil {
		w.tried.luts = map[string]readLUT{}
	}
	w.tried.luts[path] = readLUT{st.Size(), st.ModTime(), lut}
	return &lut, nil
}

// sampled returns the colours of passes, decoded once.
func (w *Work) sampled(passes []Pass, decode func() ([]look.RGB, error)) ([]look.RGB, error) {
	var of []string
	for i := range passes {
		of = append(of, passes[i].subject(), passes[i].digest(), string(passes[i].LineUp.Status))
	}
	key := fingerprint.Of("sample", of)
	w.tried.sampleMu.Lock()
	defer w.tried.sampleMu.Unlock()
	if w.tried.of == key {
		return w.tried.sample, nil
	}
	sample, err := decode()
	if err == nil {
		w.tried.sample, w.tried.of = sample, key
	}
	return sample, err
}

// LUTs lists the LUT files of the film's folder of looks.
func (w *Work) LUTs() ([]string, error) {
	files, err := os.ReadDir(filepath.Join(w.Store.Dir, looksFolder))
	if os.IsNotExist(err) {
		return []string{}, nil
	}
	names := []string{}
	for _, f := range files {
		if f.Type().IsRegular() && !strings.HasPrefix(f.Name(), ".") {
			names = append(names, f.Name())
		}
	}
	return names, err
}

// TakeLUT writes a LUT file into the film's folder of looks, after reading it.
// It warns when the LUT seems to be made for another input.
func (w *Work) TakeLUT(name string, text []byte, e look.Encoding) (warnings []string, err error) {
	if name == "" || name != filepath.Base(name) || strings.HasPrefix(name, ".") {
		return nil, &film.Error{Code: film.CodeUsage, Path: name, Msg: "is no name for a table", Hint: "give the file a plain name"}
	}
	l, err := interchange.ReadLUT(text, name)
	if err != nil {
		return nil, err
	}
	to := filepath.Join(w.Store.Dir, looksFolder, name)
	if there, err := os.ReadFile(to); err == nil && string(there) != string(text) {
		return nil, &film.Error{Code: film.CodeExists, Path: to, Msg: "is another table of the same name", Hint: "rename your file and add it again; nothing was changed"}
	}
	if err := os.MkdirAll(filepath.Dir(to), 0o777); err != nil {
		return nil, err
	}
	return look.Misfit(l, e), writeWhole(to, func(out io.Writer) error {
		_, err := out.Write(text)
		return err
	})
}

// OverOrBeside returns how far the film's look with its second LUT over the first
// is from the same look with it beside; nil when there are not two.
func (w *Work) OverOrBeside(ctx context.Context, l look.Look) (*look.Difference, error) {
	a, err := w.lut(l.A)
	if err != nil {
		return nil, err
	}
	b, err := w.lut(l.B)
	if err != nil || a == nil || b == nil {
		return nil, err
	}
	sample, err := w.sampleColours(ctx)
	if err != nil {
		return nil, err
	}
	d, err := look.OverOrBeside(l, look.Trim{}, a, b, sample)
	return &d, err
}

// frameOf decodes one picture of a pass at a moment of it, width pixels wide, in
// a format of media.
func (w *Work) frameOf(ctx context.Context, p *Pass, at film.PassTime, width int, format string) (pix []byte, height int, err error) {
	f := p.Files[p.fileAt(at)]
	last := f.Clip.PictureEnd - 0.1 // a frame earlier at the least
	at = max(min(at-f.At, last), f.Clip.PictureStart)
	height = max(2, 2*((width*f.Clip.Height/max(f.Clip.Width, 1)+1)/2))
	err = w.Engine.Frames(ctx, f.Clip.Path, media.FramesOptions{From: at, Count: 1, Width: width, Height: height, Format: format}, func(_ int, frame []byte) error {
		pix = slices.Clone(frame)
		return nil
	})
	if err == nil && pix == nil {
		err = &film.Error{Code: film.CodeUnreadable, Path: f.Clip.Path, Msg: fmt.Sprintf("has no picture at %.2f s", at), Hint: "choose another moment"}
	}
	return pix, height, err
}

// faceAt returns where a face is seen near a moment of a pass, as far as its
// pictures were looked at.
func (p *Pass) faceAt(at film.PassTime, viewed map[int64]Viewed) (face look.Box, known bool) {
	f := p.Files[p.fileAt(at)]
	nearest := film.PassTime(1) // second: faces are looked for once in it
	for _, s := range viewed[f.Clip.ID].Seen {
		away := max(s.At-(at-f.At), (at-f.At)-s.At)
		if away < nearest {
			nearest, known = away, true
			face = look.Box{X: s.Face.X, Y: s.Face.Y, W: s.Face.W, H: s.Face.H}
		}
	}
	return face, known
}

// barsOf returns the letterbox of a look on a picture; none when it has none.
func barsOf(l look.Look, width, height int) (look.Bars, error) {
	if l.Letterbox == "" || !l.On(look.StepLetterbox) {
		return look.Bars{Width: width, Height: height}, nil
	}
	ratio, err := crop.Ratio(l.Letterbox)
	if err != nil {
		return look.Bars{}, err
	}
	return look.Letterbox(width, height, ratio), nil
}
