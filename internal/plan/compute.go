package plan

import (
	"takeweave/internal/film"
	"takeweave/internal/titles"
)

// Known is what the film knows beside the plan.
type Known struct {
	Song   *film.Song    // the map of the record; nil while there is none
	Shapes []film.Shape  // of the films that are ordered
	Facts  *titles.Facts // nil while nothing is typed
}
