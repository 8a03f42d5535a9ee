package job

import (
	"context"
	"errors"
	"io"
	"math"

	"takeweave/internal/dsp"
	"takeweave/internal/lineup"
)

// hear returns what is heard of a pass, on its own clock, once per program run:
// the sound of its files one after the other, or that of the recorder when it is
// heard by that. cutShort reports that a file ended before its time.
func (w *Work) hear(ctx context.Context, p *Pass, progress func(done float64)) (r *lineup.Recording, cutShort bool, err error) {
	if len(p.Files) == 1 && (p.Apart == nil || !p.Apart.Heard) {
		return w.listen(ctx, p.Clip.Path, p.Clip.Digest, p.Clip.Duration, progress)
	}
	w.memoryMu.Lock()
	r = w.recordings[p.digest()]
	w.memoryMu.Unlock()
	if r != nil {
		return r, false, nil
	}
	src, cutShort, err := w.soundOf(ctx, p, func(d float64) { progress(d / 4) })
	if err != nil {
		return nil, cutShort, err
	}
	if r, err = lineup.Listen(ctx, src, func(d float64) { progress(0.25 + 0.75*d) }); err != nil {
		return nil, cutShort, errors.Join(err, src.Close())
	}
	w.memoryMu.Lock()
	w.recordings[p.digest()] = r
	w.memoryMu.Unlock()
	return r, cutShort, nil
}

// openedSound is sound that reads from open files.
type openedSound interface {
	dsp.Source
	io.Closer
}

// soundOf opens the sound of a pass on the clock of the pass.
func (w *Work) soundOf(ctx context.Context, p *Pass, progress func(done float64)) (openedSound, bool, error) {
	if p.Apart != nil && p.Apart.Heard {
		s, cutShort, err := w.sound(ctx, p.Apart.Path, p.Apart.Digest, p.Apart.Duration, progress)
		if err != nil {
			return nil, cutShort, err
		}
		return onClock{s, p.Apart.At, p.Apart.DriftPPM, p.Clip.Duration}, cutShort, nil
	}
	var all inARow
	anyShort := false
	for i, f := range p.Files {
		s, cutShort, err := w.sound(ctx, f.Clip.Path, f.Clip.Digest, f.Clip.Duration, func(d float64) { progress((float64(i) + d) / float64(len(p.Files))) })
		if err != nil {
			return nil, anyShort, errors.Join(err, all.Close())
		}
		anyShort = anyShort || cutShort
		all = append(all, soundFrom{s, int(math.Round(float64(f.At) * dsp.AnalysisRate))})
	}
	return all, anyShort, nil
}

// soundFrom is sound whose first sample lies at sample at.
type soundFrom struct {
	*storedSound
	at int
}

// inARow is the sound of files that go on one after the other: each is heard
// until the next begins.
type inARow []soundFrom

func (r inARow) Rate() int { return dsp.AnalysisRate }
func (r inARow) Len() int  { return r[len(r)-1].at + r[len(r)-1].Len() }

// Read fills dst with the samples from sample `from` on, zeros outside.
func (r inARow) Read(dst []float32, from int) error {
	clear(dst)
	for i, s := range r {
		lo, hi := max(from, s.at), from+len(dst)
		if i == 0 {
			lo = from
		}
		if i+1 < len(r) {
			hi = min(hi, r[i+1].at)
		}
		if lo >= hi {
			continue
		}
		if err := s.storedSound.Read(dst[lo-from:hi-from], lo-s.at); err != nil {
			return err
		}
	}
	return nil
}

func (r inARow) Close() error {
	var err error
	for _, s := range r {
		err = errors.Join(err, s.Close())
	}
	return err
}

// onClock is the sound of a recorder on the clock of a pass: the recorder's time
// is at + t*(1 + ppm/1e6). Between blocks it slips by whole samples, 45 µs, which
// no feature resolves.
type onClock struct {
	*storedSound
	at, ppm     float64
	passSeconds float64
}

func (c onClock) Rate() int { return dsp.AnalysisRate }
func (c onClock) Len() int  { return int(c.passSeconds * dsp.AnalysisRate) }

// slipBlock is how many samples are taken from the recorder in a row: at 500 ppm
// the clocks part by half a sample over it.
const slipBlock = 1024

// Read fills dst with the samples from sample `from` on, zeros outside.
func (c onClock) Read(dst []float32, from int) error {
	clear(dst)
	lo, hi := max(from, 0), min(from+len(dst), c.Len())
	for lo < hi {
		block := lo / slipBlock
		end := min((block+1)*slipBlock, hi)
		first := float64(block * slipBlock)
		shift := int(math.Round(c.at*dsp.AnalysisRate + first*c.ppm/1e6))
		if err := c.storedSound.Read(dst[lo-from:end-from], lo+shift); err != nil {
			return err
		}
		lo = end
	}
	return nil
}
