package job

import (
	"context"

	"takeweave/internal/film"
	"takeweave/internal/fingerprint"
	"takeweave/internal/loudness"
	"takeweave/internal/media"
	"takeweave/internal/store"
)

const kindLoudness = "loudness"

// LoudnessTarget returns what the film's sound is brought to; ok is false while
// it is left as it is.
func (w *Work) LoudnessTarget(ctx context.Context) (t loudness.Target, ok bool, err error) {
	docs, err := documents[loudness.Target](ctx, w, kindLoudness)
	t, ok = docs[onlyOne]
	return t, ok, err
}

// SetLoudness chooses a target by the name of its purpose ("web", "broadcast"),
// or leaves the sound as it is ("as it is").
func (w *Work) SetLoudness(ctx context.Context, purpose string) (Decided, error) {
	switch purpose {
	case "as it is":
		return w.decide(ctx, "the sound as the record has it", store.Drop(kindLoudness, onlyOne))
	case loudness.Web.Name, loudness.Broadcast.Name:
		t := loudness.Web
		if purpose == loudness.Broadcast.Name {
			t = loudness.Broadcast
		}
		change, err := store.Put(kindLoudness, onlyOne, t)
		if err != nil {
			return Decided{}, err
		}
		return w.decide(ctx, "the sound for "+purpose, change)
	}
	return Decided{}, &film.Error{Code: film.CodeUsage, Msg: "there is no loudness for \"" + purpose + "\"", Hint: "choose web, broadcast or \"as it is\""}
}

// RecordLoudness measures the record.
func (w *Work) RecordLoudness(ctx context.Context) (loudness.Reading, error) {
	path, sum, err := w.record(ctx)
	if err != nil {
		return loudness.Reading{}, err
	}
	return result(works(ctx), w, "loudness", "", fingerprint.Of("loudness", loudnessVersion, sum), func() (loudness.Reading, error) {
		info, err := w.info(ctx, path)
		if err != nil {
			return loudness.Reading{}, err
		}
		return w.measure(ctx, info)
	})
}

// measure measures the sound of a file.
func (w *Work) measure(ctx context.Context, info media.Info) (loudness.Reading, error) {
	if info.Sound == nil {
		return loudness.Reading{}, &film.Error{Code: film.CodeNoSound, Path: info.Path, Msg: "has no sound", Hint: "use a file with a sound track"}
	}
	m, err := loudness.NewMeter(info.Sound.Rate, min(info.Sound.Channels, 2))
	if err != nil {
		return loudness.Reading{}, err
	}
	_, _, err = w.Engine.Programme(ctx, &info, func(samples []float32) error {
		m.Add(samples)
		return ctx.Err()
	})
	return m.Read(), err
}

// Gain returns the gain for the film's sound; 0 dB while it is left as it is.
func (w *Work) Gain(ctx context.Context) (loudness.Gain, error) {
	t, ok, err := w.LoudnessTarget(ctx)
	if err != nil || !ok {
		return loudness.Gain{}, err
	}
	r, err := w.RecordLoudness(ctx)
	if err != nil {
		return loudness.Gain{}, err
	}
	return loudness.GainTo(r, t), nil
}
