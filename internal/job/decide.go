package job

import (
	"context"
	"encoding/json"
	"slices"

	"takeweave/internal/film"
)

const kindPin = "pin"

// Pins returns the pins of the film by their number.
func (w *Work) Pins(ctx context.Context) ([]film.Pin, error) {
	docs, err := w.Store.Documents(ctx, kindPin)
	if err != nil {
		return nil, err
	}
	var pins []film.Pin
	for _, body := range docs {
		var p film.Pin
		if err := json.Unmarshal(body, &p); err != nil {
			return nil, err
		}
		pins = append(pins, p)
	}
	slices.SortFunc(pins, func(a, b film.Pin) int { return int(a.ID - b.ID) })
	return pins, nil
}
