package songmap

import (
	"context"
	"math"
	"slices"

	"takeweave/internal/dsp"
	"takeweave/internal/film"
)

const (
	onsetHz   = dsp.FluxHz
	notesHz   = 20.0
	bandCount = 24
	bassTop   = 52 // MIDI: E3, the top of what counts as bass
)

// heard is what the map is made from.
type heard struct {
	music  film.SongSpan
	cents  float64
	onset  []float32    // strength of starting sounds at onsetHz, root mean square 1
	pulse  [3][]float32 // what repeats with the beat, at onsetHz: starting sounds, starting bass, changing harmony
	starts float64      // mean of the band flux: how much starts at all
	notes  *dsp.Series  // compressed power of the semitones at notesHz
	timbre *dsp.Series  // compressed power of mel bands at notesHz
}

// Shares of the time that the parts of hear take.
const (
	shareTuning = 0.1
	shareNotes  = 0.3
	sharePitch  = 0.6
	shareBands  = 0.9
)

func hear(ctx context.Context, src dsp.Source, progress func(float64)) (*heard, error) {
	report := func(done float64) {
		if progress != nil {
			progress(done)
		}
	}
	seconds := dsp.Seconds(src)
	h := &heard{}
	var err error
	if h.cents, err = dsp.Tuning(ctx, src); err != nil {
		return nil, err
	}
	report(shareTuning)
	if h.notes, err = dsp.Semitones(ctx, src, 4096, notesHz, 0, seconds, h.cents); err != nil {
		return nil, err
	}
	if h.timbre, err = dsp.Bands(ctx, src, bandCount, 1024, notesHz, 0, seconds); err != nil {
		return nil, err
	}
	h.music = musicSpan(h.notes, h.timbre, seconds)
	// Loudness counts before the background is taken off: of a steady sound
	// nothing else would be left.
	loudNotes, loudBands := dsp.Loudness(h.notes), dsp.Loudness(h.timbre)
	dsp.SubtractFloor(h.notes)
	dsp.Compress(h.notes, loudNotes)
	dsp.Compress(h.timbre, loudBands)
	report(shareNotes)
	pitch, err := dsp.PitchFlux(ctx, src, 0, seconds, h.cents, loudNotes)
	if err != nil {
		return nil, err
	}
	report(sharePitch)
	band, err := dsp.BandFlux(ctx, src, bandCount, 0, seconds, loudBands)
	if err != nil {
		return nil, err
	}
	report(shareBands)
	for _, v := range band.Data {
		h.starts += float64(v) / float64(len(band.Data))
	}
	all, start, bass := onsetCurve(band, 0, bandCount), onsetCurve(pitch, 0, 24), onsetCurve(pitch, 0, 12)
	h.onset = sum([]float32{1, 1, 0.7}, all, start, bass)
	h.pulse = [3][]float32{sum([]float32{1, 1}, all, start), bass, harmonyChange(h.notes, len(all))}
	return h, nil
}

// What ends the music, on the power of a record's loud moments (its 90th
// percentile).
const (
	firstBelow = 3e-5 // -45 dB: the first sound
	heldBelow  = 0.06 // -12 dB: a last note that is still held or sung
	riseBelow  = 1e-4 // -40 dB: softer attacks are the room's
	riseFactor = 1.6  // +2 dB within riseFrames: an attack, not the beating of strings
	riseFrames = 3    // at notesHz, 0.15 s
	lastNoteS  = 0.5  // the least that a last attack is given
)

// musicSpan returns where the record first sounds and where the last thing is
// played: the last attack, or the end of a note that is held. What rings out
// after that has nothing left to be played (on three plucked records it went on
// for 1 to 3 s). A silent record counts as music throughout.
func musicSpan(notes, bands *dsp.Series, seconds float64) film.SongSpan {
	level := make([]float32, notes.Rows())
	for i := range level {
		for _, v := range notes.Row(i) {
			level[i] += v
		}
		for _, v := range bands.Row(i) {
			level[i] += v
		}
	}
	loud := dsp.Quantile(slices.Clone(level), 0.9)
	first, last, attack := -1, -1, -1
	for i, v := range level {
		if v <= 1e-11 {
			continue
		}
		if first < 0 && v > firstBelow*loud {
			first = i
		}
		if v > heldBelow*loud {
			last = i
		}
		if i >= riseFrames && v > riseBelow*loud && v > riseFactor*level[i-riseFrames] {
			attack = i
		}
	}
	if first < 0 {
		return film.SongSpan{To: film.SongTime(seconds)}
	}
	last = max(last, attack+int(lastNoteS*notesHz))
	// Frames of 4096 samples hear 90 ms to both sides; the sound lies nearer to
	// their centres.
	const reach = 0.05
	from, to := math.Max(0, notes.Time(first)+reach), math.Min(seconds, notes.Time(last+1)-reach)
	if to-from < 0.5 {
		return film.SongSpan{To: film.SongTime(seconds)}
	}
	return film.SongSpan{From: film.SongTime(from), To: film.SongTime(to)}
}

// onsetCurve adds up the columns [from, to) of a flux, less 0.7 of the average
// over a second, and scales to root mean square 1.
func onsetCurve(s *dsp.Series, from, to int) []float32 {
	x := make([]float32, s.Rows())
	for i := range x {
		for _, v := range s.Row(i)[from:to] {
			x[i] += v
		}
	}
	lessAverage(x, 0.7, onsetHz)
	scale(x)
	return x
}

// sum adds curves with weights and scales the result.
func sum(weights []float32, curves ...[]float32) []float32 {
	out := make([]float32, len(curves[0]))
	for c, x := range curves {
		for i, v := range x[:min(len(x), len(out))] {
			out[i] += weights[c] * v
		}
	}
	scale(out)
	return out
}

// harmonyChange returns, at onsetHz, how different the pitch content of the next
// 0.4 s is from that of the last.
func harmonyChange(notes *dsp.Series, n int) []float32 {
	const reach = 8 // rows of notesHz
	two := dsp.FoldTwoPart(notes, 0)
	coarse := dsp.NewSeries(notesHz, 0, 1, notes.Rows())
	for i := range coarse.Rows() {
		before := meanRow(two, float64(i-reach)/notesHz, float64(i-1)/notesHz)
		after := meanRow(two, float64(i+1)/notesHz, float64(i+reach)/notesHz)
		coarse.Data[i] = float32(1 - cosine(before, after))
	}
	out := make([]float32, n)
	for i := range out {
		coarse.At(out[i:i+1], float64(i)/onsetHz)
	}
	lessAverage(out, 0.8, 2*onsetHz)
	scale(out)
	return out
}

// lessAverage takes share of the moving average over width rows off x; what is
// left is at least 0.
func lessAverage(x []float32, share float64, width int) {
	sums := make([]float64, len(x)+1)
	for i, v := range x {
		sums[i+1] = sums[i] + float64(v)
	}
	for i, v := range x {
		a, b := max(0, i-width/2), min(len(x), i+width/2+1)
		x[i] = float32(math.Max(0, float64(v)-share*(sums[b]-sums[a])/float64(b-a)))
	}
}

// scale divides x by its root mean square.
func scale(x []float32) {
	if len(x) == 0 {
		return
	}
	if rms := dsp.Norm(x) / float32(math.Sqrt(float64(len(x)))); rms > 0 {
		for i := range x {
			x[i] /= rms
		}
	}
}
