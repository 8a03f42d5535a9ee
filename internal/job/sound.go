package job

import (
	"context"
	"encoding/binary"
	"errors"
	"io"
	"math"
	"os"
	"path/filepath"
	"slices"
	"sync"

	"takeweave/internal/dsp"
	"takeweave/internal/film"
	"takeweave/internal/fingerprint"
	"takeweave/internal/lineup"
	"takeweave/internal/media"
)

// storedSound is mono sound at dsp.AnalysisRate, kept as 16-bit samples in the
// film's cache so that a long clip is decoded once and never held in memory.
type storedSound struct {
	f   *os.File
	len int
}

func (s *storedSound) Rate() int { return dsp.AnalysisRate }
func (s *storedSound) Len() int  { return s.len }

// Read fills dst with the samples from sample `from` on, zeros outside.
func (s *storedSound) Read(dst []float32, from int) error {
	clear(dst)
	lo, hi := max(from, 0), min(from+len(dst), s.len)
	if lo >= hi {
		return nil
	}
	kept, _ := rawSound.Get().(*[]byte)
	if kept == nil {
		kept = new([]byte)
	}
	defer rawSound.Put(kept)
	*kept = slices.Grow((*kept)[:0], 2*(hi-lo))[:2*(hi-lo)]
	if _, err := s.f.ReadAt(*kept, int64(2*lo)); err != nil && err != io.EOF {
		return err
	}
	dsp.FromInt16(dst[lo-from:hi-from], *kept)
	return nil
}

// rawSound keeps buffers between reads: the same sound is read many times.
var rawSound sync.Pool

func (s *storedSound) Close() error { return s.f.Close() }

// sound opens the decoded sound of a file, decoding it first when the cache
// does not hold it. cutShort reports that the file ended before its time and
// only what could be read is there.
func (w *Work) sound(ctx context.Context, path, digest string, seconds float64, progress func(done float64)) (s *storedSound, cutShort bool, err error) {
	base := filepath.Join(w.Store.Dir, "cache", "sound", fingerprint.Of(digest, soundVersion))
	name, short := base+".s16", base+".short.s16"
	if s, err := openSound(name); err == nil {
		return s, false, nil
	}
	if s, err := openSound(short); err == nil {
		return s, true, nil
	}
	if err := os.MkdirAll(filepath.Dir(name), 0o777); err != nil {
		return nil, false, err
	}
	f, err := os.CreateTemp(filepath.Dir(name), filepath.Base(name)+".*.part") // its own: the page may ask for a sound that is just being heard
	if err != nil {
		return nil, false, diskError(name, err)
	}
	defer os.Remove(f.Name()) // a no-op once renamed
	var raw []byte
	n := 0
	err = w.Engine.Samples(ctx, path, dsp.AnalysisRate, func(chunk []float32) error {
		raw = raw[:0]
		for _, v := range chunk {
			if v != v { // not a number: a damaged float track
				v = 0
			}
			q := math.Max(-32768, math.Min(32767, math.Round(float64(v)*32768)))
			raw = binary.LittleEndian.AppendUint16(raw, uint16(int16(q)))
		}
		if _, err := f.Write(raw); err != nil {
			return diskError(name, err)
		}
		n += len(chunk)
		if seconds > 0 {
			progress(math.Min(1, float64(n)/dsp.AnalysisRate/seconds))
		}
		return nil
	})
	cutShort = errors.Is(err, media.ErrCutShort)
	if err != nil && !cutShort {
		return nil, false, errors.Join(err, f.Close())
	}
	if err := f.Close(); err != nil {
		return nil, false, diskError(name, err)
	}
	final := name
	if cutShort {
		final = short
	}
	if err := os.Rename(f.Name(), final); err != nil {
		return nil, false, err
	}
	s, err = openSound(final)
	return s, cutShort, err
}

func openSound(name string) (*storedSound, error) {
	f, err := os.Open(name)
	if err != nil {
		return nil, err
	}
	st, err := f.Stat()
	if err != nil {
		return nil, errors.Join(err, f.Close())
	}
	return &storedSound{f: f, len: int(st.Size() / 2)}, nil
}

// listen returns the features of a recording, once per program run.
func (w *Work) listen(ctx context.Context, path, digest string, seconds float64, progress func(done float64)) (*lineup.Recording, bool, error) {
	w.memoryMu.Lock()
	r := w.recordings[digest]
	w.memoryMu.Unlock()
	if r != nil {
		return r, false, nil
	}
	// Decoding is quicker than listening: give it a quarter of the bar.
	s, cutShort, err := w.sound(ctx, path, digest, seconds, func(d float64) { progress(d / 4) })
	if err != nil {
		return nil, false, err
	}
	r, err = lineup.Listen(ctx, s, func(d float64) { progress(0.25 + 0.75*d) })
	if err != nil {
		return nil, cutShort, errors.Join(err, s.Close())
	}
	w.memoryMu.Lock()
	w.recordings[digest] = r
	w.memoryMu.Unlock()
	return r, cutShort, nil
}

// diskError turns a full disk into the domain's words.
func diskError(path string, err error) error {
	if err == nil || !isNoSpace(err) {
		return err
	}
	return &film.Error{Code: film.CodeNoSpace, Path: path, Msg: "cannot be written: the disk is full", Hint: "free some space and run the same command again; it goes on where it stopped", Err: err}
}
