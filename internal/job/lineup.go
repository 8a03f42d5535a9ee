package job

import (
	"context"
	"errors"

	"takeweave/internal/film"
	"takeweave/internal/fingerprint"
	"takeweave/internal/lineup"
)

// LineUp takes in the clips, lines each up with the record and tells the passes
// apart, once in the life of w.
func (w *Work) LineUp(ctx context.Context) ([]Pass, error) {
	if w.linedUp != nil {
		return w.linedUp, nil
	}
	clips, err := w.TakeIn(ctx)
	if err != nil {
		return nil, err
	}
	setups, err := w.Setups(ctx)
	if err != nil {
		return nil, err
	}
	heard := make([]Pass, len(clips))
	for i, c := range clips {
		heard[i] = passOf(c, setups[c.Setup])
	}
	err = w.eachPass(ctx, stepLineUp, heard, func(ctx context.Context, p *Pass, progress func(float64)) error {
		lu, err := w.lineUp(ctx, p, progress)
		p.LineUp = lu
		return unlessNotYet(err)
	})
	if err != nil {
		return nil, err
	}
	recordPath, _, err := w.record(ctx)
	if err != nil {
		return nil, err
	}
	record, err := w.info(ctx, recordPath)
	if err != nil {
		return nil, err
	}
	if err := w.withRecorders(ctx, heard, record.Duration); err != nil {
		return nil, err
	}
	if heard, err = w.withTails(ctx, join(heard)); err != nil {
		return nil, err
	}
	var passes []Pass
	for _, p := range heard {
		passes = append(passes, performances(p, record.Duration)...)
	}
	if !peeks(ctx) {
		w.linedUp = passes
	}
	return passes, nil
}

// unlessNotYet forgets ErrNotYet: what is not worked out is left as it is.
func unlessNotYet(err error) error {
	if errors.Is(err, ErrNotYet) {
		return nil
	}
	return err
}

// lineUp lines one pass up. A pass that cannot be used or heard gets its answer
// without failing the rest.
func (w *Work) lineUp(ctx context.Context, p *Pass, progress func(float64)) (film.LineUp, error) {
	if lu, ok := withoutListening(p.Clip); ok {
		return lu, nil
	}
	recordPath, sum, err := w.record(ctx)
	if err != nil {
		return film.LineUp{}, err
	}
	key := fingerprint.Of(stepLineUp, lineUpVersion, sum, p.digest())
	return result(ctx, w, stepLineUp, p.subject(), key, func() (film.LineUp, error) {
		info, err := w.info(ctx, recordPath)
		if err != nil {
			return film.LineUp{}, err
		}
		record, err := w.recordOnce(ctx, recordPath, sum, info.Duration)
		if err != nil {
			return film.LineUp{}, err
		}
		pass, cutShort, err := w.hear(ctx, p, func(d float64) { progress(0.6 * d) })
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

// tailSeconds is the longest file that may be the tail of a pass without being
// known by itself: line-up asks for 8 s of song, and a last chord rings.
const tailSeconds = 20

// withTails joins to a pass the short file that the camera wrote after it, too
// short to be lined up alone, when the two heard as one line up further.
func (w *Work) withTails(ctx context.Context, passes []Pass) ([]Pass, error) {
	var out []Pass
	for _, p := range passes {
		if len(out) > 0 {
			last := &out[len(out)-1]
			if mayBeTail(last, &p) {
				whole := *last
				whole.goesOn(p)
				lu, err := w.lineUp(ctx, &whole, func(float64) {})
				if err := unlessNotYet(err); err != nil {
					return nil, err
				}
				if ends(lu) > last.Clip.PictureEnd+1 && surer(lu, last.LineUp) {
					whole.LineUp = lu
					whole.LineUp.Reason += "; goes on in " + p.Clip.File
					*last = whole
					continue
				}
			}
		}
		out = append(out, p)
	}
	return out, nil
}

// mayBeTail reports whether p is a short file that may go on where last, which
// plays up to its end, stops.
func mayBeTail(last, p *Pass) bool {
	return last.LineUp.Status == film.Aligned && p.LineUp.Status != film.Aligned && p.Clip.HasSound &&
		p.Clip.Duration <= tailSeconds && last.Apart == nil &&
		follows(last.Files[len(last.Files)-1].Clip, p.Clip) && last.Clip.PictureEnd-ends(last.LineUp) < 1
}

// ends returns where the song stops in a pass.
func ends(lu film.LineUp) film.PassTime {
	var end film.PassTime
	for _, g := range lu.Segments {
		end = max(end, g.Knots[len(g.Knots)-1].Pass)
	}
	return end
}

// recordOnce listens to the record; passes that ask at the same time wait for
// the first.
func (w *Work) recordOnce(ctx context.Context, path, sum string, seconds float64) (*lineup.Recording, error) {
	w.recordMu.Lock()
	defer w.recordMu.Unlock()
	r, _, err := w.listen(ctx, path, sum, seconds, func(float64) {})
	return r, err
}
