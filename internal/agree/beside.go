package agree

import (
	"context"
	"math"
	"slices"

	"takeweave/internal/dsp"
	"takeweave/internal/film"
	"takeweave/internal/lineup"
)

const (
	fluxHz = 100.0 // row rate of attacks on the song's clock
	toneHz = 50.0  // of pitch content
)

// beside is record and pass on the song's clock, row by row.
type beside struct {
	first     int            // row number of the first row: song time first/fluxHz
	pitch     [2][]row24     // attacks by pitch class of bass and treble, record and pass
	band      [2][]row12     // attacks by band
	tone      [2][]row12     // pitch classes that sound, at toneHz
	level     [2][]float64   // sounding energy of notes, at toneHz
	notes     [2]*dsp.Series // semitones, each on its own clock
	passAt    []float64      // pass time of every row
	from, to  float64        // song time of the segment
	semitones int            // of the pass above the record
	under     bool           // the pass is what is played under a loudspeaker
}

type (
	row24 [24]float32
	row12 [12]float32
)

const (
	ofRecord = 0
	ofPass   = 1
)

// layBeside reads both along a segment.
func layBeside(ctx context.Context, record, pass *lineup.Recording, seg *film.Segment, semitones int) (*beside, error) {
	span := seg.SongSpan()
	b := &beside{from: float64(span.From), to: float64(span.To), semitones: semitones}
	first, n := dsp.Span(b.from, b.to, fluxHz)
	b.first = first
	for i := range n {
		b.passAt = append(b.passAt, float64(seg.PassAt(film.SongTime(float64(first+i)/fluxHz))))
	}
	if n == 0 {
		return b, nil
	}
	const margin = 0.5
	passFrom, passTo := b.passAt[0]-margin, b.passAt[n-1]+margin
	for side, r := range []*lineup.Recording{record, pass} {
		from, to, shift := b.from-margin, b.to+margin, 0
		at := func(i int) float64 { return float64(first+i) / fluxHz }
		if side == ofPass {
			from, to, shift = passFrom, passTo, semitones
			at = func(i int) float64 { return b.passAt[i] }
		}
		pitch, err := r.PitchFlux(ctx, math.Max(0, from), to, shift)
		if err != nil {
			return nil, err
		}
		band, err := r.BandFlux(ctx, math.Max(0, from), to)
		if err != nil {
			return nil, err
		}
		// Chords are strummed over 50 ms, attacks are heard some 10 ms apart.
		pitch, band = pitch.Smooth(0.07, 1), band.Smooth(0.05, 1)
		b.pitch[side], b.band[side] = make([]row24, n), make([]row12, n)
		for i := range n {
			pitch.At(b.pitch[side][i][:], at(i))
			band.At(b.band[side][i][:], at(i))
		}
		notes := r.Notes(math.Max(0, from), to)
		b.notes[side] = notes
		tone := dsp.FoldChroma(notes, shift)
		energy := dsp.NewSeries(notes.Hz, notes.First, 1, notes.Rows())
		for i := range energy.Rows() {
			energy.Data[i] = tonal(notes.Row(i))
		}
		for i := 0; i < n; i += int(fluxHz / toneHz) {
			var t row12
			var e [1]float32
			tone.At(t[:], at(i))
			energy.At(e[:], at(i))
			b.tone[side] = append(b.tone[side], t)
			b.level[side] = append(b.level[side], float64(e[0]))
		}
	}
	return b, nil
}

// tonal returns how much single notes stand out of a row: its length above 1.5
// times its median, which noise seldom exceeds.
func tonal(row []float32) float32 {
	limit := 1.5 * dsp.Median(slices.Clone(row))
	var sum float32
	for _, v := range row {
		if v > limit {
			sum += (v - limit) * (v - limit)
		}
	}
	return float32(math.Sqrt(float64(sum)))
}
