package job

import (
	"context"
	"fmt"

	"takeweave/internal/film"
	"takeweave/internal/lineup"
	"takeweave/internal/plan"
	"takeweave/internal/songmap"
	"takeweave/internal/store"
)

// CarryPlan takes over the plan of another film, made on a rehearsal of the same
// song: both records are lined up by ear, and what was marked and planned on the
// one goes to the other. It returns what was carried, what became another address
// and what was not carried. All of it is one decision.
func (w *Work) CarryPlan(ctx context.Context, rehearsal *Work) ([]string, error) {
	p, err := rehearsal.Plan(ctx)
	if err != nil {
		return nil, err
	}
	from, err := rehearsal.Song(ctx)
	if film.CodeOf(err) == film.CodeNeedsStep { // a plan without a record
		return []string{"the plan was taken over as it is: it was made without a record"}, w.SetPlan(ctx, p, "the plan of another film")
	}
	if err != nil {
		return nil, err
	}
	to, err := w.Song(ctx)
	if err != nil {
		return nil, err
	}
	at, err := w.timesOf(ctx, rehearsal)
	if err != nil {
		return nil, err
	}
	song, words := songmap.CarryOver(from, to, at)
	p, changed := plan.Carry(p, &from, &to, at)
	var changes []store.Change
	for _, d := range []struct {
		kind string
		v    any
	}{{kindPlan, p}, {kindPlanSong, from}, {kindSong, song}} {
		change, err := store.Put(d.kind, onlyOne, d.v)
		if err != nil {
			return nil, err
		}
		changes = append(changes, change)
	}
	_, err = w.decideWithCheck(ctx, "the plan of a rehearsal", changes...)
	return append(words, changed...), err
}

// PlanToRecord carries a plan whose song was typed over to the lines of the record
// that is there now, by their words. It returns what became another address.
func (w *Work) PlanToRecord(ctx context.Context) ([]string, error) {
	p, err := w.Plan(ctx)
	if err != nil {
		return nil, err
	}
	song, err := w.Song(ctx)
	if err != nil {
		return nil, err
	}
	p, words, err := p.ToRecord(&song)
	if err != nil {
		return nil, err
	}
	return words, w.SetPlan(ctx, p, "the plan, on the lines of the record")
}

// timesOf lines the record of a rehearsal up with this film's and returns where
// the latter has what the former has at a time.
func (w *Work) timesOf(ctx context.Context, rehearsal *Work) (func(film.SongTime) (film.SongTime, bool), error) {
	stage := w.Progress.Stage("lineup", 100, "%")
	defer stage.End()
	record, err := w.hearRecord(ctx)
	if err != nil {
		return nil, err
	}
	heard, err := rehearsal.hearRecord(ctx)
	if err != nil {
		return nil, err
	}
	part := stage.Part(100)
	lu, err := lineup.Align(ctx, record, heard, part)
	if err != nil {
		return nil, err
	}
	if lu.Status != film.Aligned {
		return nil, &film.Error{Code: film.CodeUsage, Msg: "the two records are not of one song: " + lu.Reason, Hint: "take the plan over as it is: takeweave plan OTHER --write PLAN.json, then --take PLAN.json"}
	}
	return func(t film.SongTime) (film.SongTime, bool) {
		for i := range lu.Segments {
			g := &lu.Segments[i]
			first, last := g.Knots[0].Pass, g.Knots[len(g.Knots)-1].Pass
			if p := film.PassTime(t); p >= first && p <= last {
				return g.SongAt(p), true
			}
		}
		return 0, false
	}, nil
}

// hearRecord listens to the record of the film.
func (w *Work) hearRecord(ctx context.Context) (*lineup.Recording, error) {
	path, sum, err := w.record(ctx)
	if err != nil {
		return nil, err
	}
	info, err := w.info(ctx, path)
	if err != nil {
		return nil, fmt.Errorf("the record: %w", err)
	}
	return w.recordOnce(ctx, path, sum, info.Duration)
}
