package job

import (
	"context"

	"takeweave/internal/film"
	"takeweave/internal/fingerprint"
	"takeweave/internal/lineup"
)

// lineUp lines one clip up. A clip that cannot be used or heard gets its
// answer without failing the rest.
func (w *Work) lineUp(ctx context.Context, c film.Clip, progress func(float64)) (film.LineUp, error) {
	if lu, ok := withoutListening(c); ok {
		return lu, nil
	}
	recordPath, sum, err := w.record(ctx)
	if err != nil {
		return film.LineUp{}, err
	}
	key := fingerprint.Of(stepLineUp, lineUpVersion, sum, c.Digest)
	return result(ctx, w, stepLineUp, subject(c), key, func() (film.LineUp, error) {
		info, err := w.info(ctx, recordPath)
		if err != nil {
			return film.LineUp{}, err
		}
		record, err := w.recordOnce(ctx, recordPath, sum, info.Duration)
		if err != nil {
			return film.LineUp{}, err
		}
		pass, cutShort, err := w.listen(ctx, c.Path, c.Digest, c.Duration, func(d float64) { progress(0.6 * d) })
		if ctx.Err() != nil {
			return film.LineUp{}, ctx.Err()
		}
		if film.CodeOf(err) == film.CodeUnreadable {
			return film.LineUp{Status: film.Refused, Reason: "its sound cannot be read: " + plainRefusal(err)}, nil
		}
		if err != nil {
			return film.LineUp{}, err
		}
		lu, err := lineup.Align(ctx, record, pass, func(d float64) { progress(0.6 + 0.4*d) })
		if err == nil && cutShort {
			lu.Reason += "; the file is cut short and was used as far as it can be read"
		}
		return lu, err
	})
}

// withoutListening answers for clips that cannot be used or heard.
func withoutListening(c film.Clip) (film.LineUp, bool) {
	if c.Refusal != "" {
		return film.LineUp{Status: film.Refused, Reason: c.Refusal}, true
	}
	if !c.HasSound {
		return film.LineUp{Status: film.Silent, Reason: "the clip has no sound track, so it cannot be lined up by ear"}, true
	}
	return film.LineUp{}, false
}

// recordOnce listens to the record; passes that ask at the same time wait for
// the first.
func (w *Work) recordOnce(ctx context.Context, path, sum string, seconds float64) (*lineup.Recording, error) {
	w.recordMu.Lock()
	defer w.recordMu.Unlock()
	r, _, err := w.listen(ctx, path, sum, seconds, func(float64) {})
	return r, err
}
