package hold

import "takeweave/internal/film"

// Spread returns the least and the greatest d over a span. That of two spans
// side by side is the least of the least and the greatest of the greatest, so
// that a span can be grown piece by piece.
func (t *Table) Spread(span film.SongSpan) (low, high float64) {
	return t.extremes(float64(span.From), float64(span.To))
}

// Native returns the fit at native speed of a span with the given spread, as
// Best would. ok is false when it leaves tol.
func Native(low, high float64, tol film.Tolerance) (f Fit, ok bool) {
	return centre(low, high, 1, tol), high-low <= tol.Late+tol.Early+rounding
}

// Retimed returns the fit that Best takes where the native speed leaves tol. ok
// is false when no speed within maxSpeed fits; then none fits a longer span.
func (t *Table) Retimed(span film.SongSpan, tol film.Tolerance, maxSpeed float64) (f Fit, ok bool) {
	change, low, high, ok := t.speedChange(float64(span.From), float64(span.To), tol.Late+tol.Early, maxSpeed)
	if !ok {
		return Fit{}, false
	}
	return centre(low, high, 1+change, tol), true
}

// At returns the fit of a shot over span that was laid by somebody else, with
// this slip and this speed.
func (t *Table) At(span film.SongSpan, slip, speed float64) Fit {
	low, high, _, _ := t.stretch(float64(span.From), float64(span.To)).tilted(speed - 1)
	return Fit{Slip: slip, Speed: speed, Late: max(0, high-slip), Early: max(0, slip-low)}
}
