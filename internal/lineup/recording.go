package lineup

import (
	"context"
	"math"
	"sync"

	"takeweave/internal/dsp"
)

const (
	notesHz   = 50.0 // row rate of the pitch content
	notesSize = 4096 // samples a frame
	bandCount = 12   // mel bands of the band flux
	noteStep  = 1.0 / 32
)

// Recording is what was heard in a record or a pass. It is safe for use by
// several goroutines and keeps about 11 MB an hour; finer features are read
// from the source again when asked for.
type Recording struct {
	src       dsp.Source
	steady    dsp.Source // src with quiet stretches lifted, in which notes are heard
	seconds   float64
	cents     float64 // tuning against A4 = 440 Hz
	notes     []uint8 // compressed semitone power at notesHz, in steps of noteStep
	loudNotes float32
	loudBands float32
	clarityDB float64   // sound over the steady background, dB
	levelDB   []float32 // of the sound, at notesHz, dB re full scale

	fineOnce sync.Once
	fine     *fine // of the whole recording, for a record
	fineErr  error

	envelopeOnce sync.Once
	envelope     *dsp.Series // band flux of the whole at playbackHz
	envelopeErr  error
}

// Listen takes in a recording. progress, which may be nil, is told the share
// done, 0..1. It fails only when src does or ctx is done.
func Listen(ctx context.Context, src dsp.Source, progress func(done float64)) (*Recording, error) {
	report := func(done float64) {
		if progress != nil {
			progress(done)
		}
	}
	src = clean{src}
	r := &Recording{src: src, seconds: dsp.Seconds(src)}
	var err error
	if r.levelDB, err = levels(ctx, src); err != nil {
		return nil, err
	}
	report(0.1)
	src = newSteady(src, r.levelDB)
	r.steady = src
	if r.cents, err = dsp.Tuning(ctx, src); err != nil {
		return nil, err
	}
	report(0.2)
	_, rows := dsp.Span(0, r.seconds, notesHz)
	notes := dsp.NewSeries(notesHz, 0, dsp.Notes, rows)
	filled := 0
	const block = 30.0
	for from := 0.0; from < r.seconds; from += block {
		part, err := dsp.Semitones(ctx, src, notesSize, notesHz, from, math.Min(from+block, r.seconds), r.cents)
		if err != nil {
			return nil, err
		}
		filled += copy(notes.Data[filled:], part.Data)
		report(0.2 + 0.6*(from+block)/(r.seconds+block))
	}
	before := sumOf(notes)
	dsp.SubtractFloor(notes)
	after := sumOf(notes)
	r.clarityDB = 10 * math.Log10((after+1e-15)/(before-after+1e-15))
	r.loudNotes = dsp.Loudness(notes)
	dsp.Compress(notes, r.loudNotes)
	r.notes = make([]uint8, len(notes.Data))
	for i, v := range notes.Data {
		r.notes[i] = uint8(math.Min(255, math.Round(float64(v)/noteStep)))
	}
	bands, err := dsp.Bands(ctx, src, bandCount, 1024, 20, 0, r.seconds)
	if err != nil {
		return nil, err
	}
	dsp.SubtractFloor(bands)
	r.loudBands = dsp.Loudness(bands)
	report(1)
	return r, nil
}

// Seconds returns how long the recording is.
func (r *Recording) Seconds() float64 { return r.seconds }

// TuningCents returns the tuning against A4 = 440 Hz, -50..50.
func (r *Recording) TuningCents() float64 { return r.cents }

// Notes returns the compressed power of the semitones (see dsp.Notes) over
// [from, to) seconds, 50 rows a second, background removed.
func (r *Recording) Notes(from, to float64) *dsp.Series {
	n := len(r.notes) / dsp.Notes
	first, count := dsp.Span(from, to, notesHz)
	a := min(max(first, 0), n)
	b := min(max(first+count, a), n)
	out := dsp.NewSeries(notesHz, a, dsp.Notes, b-a)
	for i, v := range r.notes[a*dsp.Notes : b*dsp.Notes] {
		out.Data[i] = float32(v) * noteStep
	}
	return out
}

// Chroma returns 12 pitch classes, 50 rows a second, over [from, to) seconds. A
// shift of s semitones gives what the same playing would be s semitones lower.
func (r *Recording) Chroma(from, to float64, shift int) *dsp.Series {
	return dsp.FoldChroma(r.Notes(from, to), shift)
}

// PitchFlux returns dsp.PitchFlux in this recording's own tuning, shifted as
// Chroma is.
func (r *Recording) PitchFlux(ctx context.Context, from, to float64, shift int) (*dsp.Series, error) {
	return dsp.PitchFlux(ctx, r.steady, from, to, r.cents+100*float64(shift), r.loudNotes)
}

// BandFlux returns dsp.BandFlux in 12 bands.
func (r *Recording) BandFlux(ctx context.Context, from, to float64) (*dsp.Series, error) {
	return dsp.BandFlux(ctx, r.steady, bandCount, from, to, r.loudBands)
}

// LevelDB returns the level of the sound 50 times a second from time 0, in dB
// re full scale, -120 at the lowest. The slice is the recording's own.
func (r *Recording) LevelDB() []float32 { return r.levelDB }

// levels returns the root mean square of every 20 ms in dB.
func levels(ctx context.Context, src dsp.Source) ([]float32, error) {
	n := int(dsp.Seconds(src) * notesHz)
	out := make([]float32, n)
	step := float64(src.Rate()) / notesHz
	const rows = 500
	block := make([]float32, int(step*rows)+2)
	for first := 0; first < n; first += rows {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		at := int(float64(first) * step)
		if err := src.Read(block, at); err != nil {
			return nil, err
		}
		for i := first; i < min(n, first+rows); i++ {
			a, b := int(float64(i)*step)-at, int(float64(i+1)*step)-at
			var sum float64
			for _, v := range block[a:b] {
				sum += float64(v) * float64(v)
			}
			out[i] = float32(math.Max(-120, 10*math.Log10(sum/float64(b-a)+1e-13)))
		}
	}
	return out, nil
}

// fine holds the 200 Hz features of a stretch.
type fine struct {
	pitch *dsp.Series // 24 values
	band  *dsp.Series // bandCount values
}

func (r *Recording) fineOf(ctx context.Context, from, to float64, shift int) (*fine, error) {
	pitch, err := r.PitchFlux(ctx, from, to, shift)
	if err != nil {
		return nil, err
	}
	band, err := r.BandFlux(ctx, from, to)
	return &fine{pitch, band}, err
}

// wholeFine computes the fine features of the whole recording once.
func (r *Recording) wholeFine(ctx context.Context) (*fine, error) {
	r.fineOnce.Do(func() {
		// Not cancelled by one caller for all the others.
		r.fine, r.fineErr = r.fineOf(context.WithoutCancel(ctx), 0, r.seconds, 0)
	})
	return r.fine, r.fineErr
}

func sumOf(s *dsp.Series) float64 {
	var sum float64
	for _, v := range s.Data {
		sum += float64(v)
	}
	return sum
}
