package songmap

import (
	"context"
	"math"

	"takeweave/internal/dsp"
	"takeweave/internal/film"
)

// Map returns the map of the record in src (mono at dsp.AnalysisRate).
//
// The beats cover Song.Music; every beat belongs to a bar, the bars, lines and
// sections follow each other without gaps. A record that is silent throughout
// counts as music from end to end. progress, which may be nil, is told the share
// done, 0..1. It fails only when src does, when ctx is done, or when the record
// has no samples.
func Map(ctx context.Context, src dsp.Source, progress func(done float64)) (film.Song, error) {
	if src.Len() == 0 {
		return film.Song{}, &film.Error{Code: film.CodeNoSound, Msg: "the record has no sound", Hint: "give the master recording as a file with sound"}
	}
	h, err := hear(ctx, src, progress)
	if err != nil {
		return film.Song{}, err
	}
	song := film.Song{Duration: film.SongTime(dsp.Seconds(src)), Music: h.music, TuningCents: h.cents}
	curve := tempoOf(h)
	times := beatTimes(h, curve)
	song.Sureness = sureness(h, curve)
	if song.Sureness > 0 {
		song.TempoBPM = tempoBPM(times)
	} else {
		times = evenGrid(h.music)
	}
	song.BeatsPerBar, song.Beats = countBars(h, times)
	song.Bars = barsOf(song.Beats, h.music)
	form := formOf(h, song.Bars, song.BeatsPerBar)
	song.Sections = form.sections(song.Bars)
	song.Lines = linesOf(h, song)
	if progress != nil {
		progress(1)
	}
	return song, nil
}

// tempoBPM returns the median tempo of the beats.
func tempoBPM(times []float64) float64 {
	steps := make([]float64, 0, len(times))
	for i := 1; i < len(times); i++ {
		steps = append(steps, times[i]-times[i-1])
	}
	if len(steps) == 0 {
		return 0
	}
	return math.Round(60/dsp.Median(steps)*10) / 10
}
