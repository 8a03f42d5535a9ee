package job

import (
	"context"
	"errors"

	"takeweave/internal/film"
	"takeweave/internal/plan"
	"takeweave/internal/store"
	"takeweave/internal/titles"
)

const (
	kindPlan     = "plan"
	kindPlanSong = "plan-song" // the map of a rehearsal that the plan was made for
)

// CreatePlanned makes a film that has no record yet, to be planned. [Create] gives
// it its record later.
func CreatePlanned(ctx context.Context, dir string) (*store.Store, error) {
	return store.Create(ctx, dir)
}

// openPlanned opens a film that has no record yet; any other exists already.
func openPlanned(ctx context.Context, dir string, exists error) (*store.Store, error) {
	s, err := store.Open(ctx, dir)
	if err != nil {
		return nil, err
	}
	record, err := s.Setting(ctx, settingRecord)
	if err == nil && record != "" {
		err = exists
	}
	if err != nil {
		return nil, errors.Join(err, s.Close())
	}
	return s, nil
}

// Plan returns what was typed in before the day; empty for a new film.
func (w *Work) Plan(ctx context.Context) (plan.Plan, error) {
	docs, err := documents[plan.Plan](ctx, w, kindPlan)
	return docs[onlyOne], err
}

// SetPlan changes what is typed in before the day, as one decision in words. No
// cut depends on it.
func (w *Work) SetPlan(ctx context.Context, p plan.Plan, words string) error {
	change, err := store.Put(kindPlan, onlyOne, p)
	if err != nil {
		return err
	}
	_, err = w.Store.Decide(ctx, words, change)
	return err
}

// TellPlan tells everything that follows from the plan of the film.
func (w *Work) TellPlan(ctx context.Context) (plan.Told, error) {
	p, err := w.Plan(ctx)
	if err != nil {
		return plan.Told{}, err
	}
	return w.TellPlanAs(ctx, p)
}

// TellPlanAs tells what would follow from another plan, which is not kept: while
// something is dragged.
func (w *Work) TellPlanAs(ctx context.Context, p plan.Plan) (plan.Told, error) {
	known, err := w.known(ctx)
	if err != nil {
		return plan.Told{}, err
	}
	return plan.Compute(p, known), nil
}

// known is what the film knows beside its plan.
func (w *Work) known(ctx context.Context) (plan.Known, error) {
	k := plan.Known{Memory: &w.days}
	song, err := w.Song(ctx)
	switch {
	case err == nil:
		k.Song = &song
	case !errors.Is(err, ErrNotYet) && film.CodeOf(err) != film.CodeNeedsStep:
		return k, err
	}
	studied, err := documents[film.Song](ctx, w, kindPlanSong)
	if err != nil {
		return k, err
	}
	if s, ok := studied[onlyOne]; ok {
		k.StudiedOn = &s
	}
	facts, err := documents[titles.Facts](ctx, w, kindFacts)
	if err != nil {
		return k, err
	}
	if f, ok := facts[onlyOne]; ok {
		k.Facts = &f
	}
	orders, err := w.Orders(ctx)
	for _, o := range orders {
		k.Shapes = append(k.Shapes, o.Shape)
	}
	return k, err
}
