package job

import (
	"context"

	"takeweave/internal/captions"
	"takeweave/internal/film"
	"takeweave/internal/store"
	"takeweave/internal/titles"
)

const kindFacts = "facts"

// Facts returns what is known of the film, typed once: who made what, and which
// permissions there are. Nothing is known of a new film.
func (w *Work) Facts(ctx context.Context) (titles.Facts, error) {
	docs, err := documents[titles.Facts](ctx, w, kindFacts)
	return docs[onlyOne], err
}

// SetFacts changes what is known of the film. No cut depends on it.
func (w *Work) SetFacts(ctx context.Context, f titles.Facts) error {
	if err := f.Validate(); err != nil {
		return err
	}
	change, err := store.Put(kindFacts, onlyOne, f)
	if err != nil {
		return err
	}
	_, err = w.Store.Decide(ctx, "the facts: "+f.Title+" by "+f.Artist, change)
	return err
}

// filmOf is the film of a cut as captions and titles see it.
func filmOf(c *film.Cut) captions.Film {
	return captions.Film{Rate: c.Rate, From: c.From, Frames: c.Frames}
}
