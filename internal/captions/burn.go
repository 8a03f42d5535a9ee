package captions

import (
	"fmt"
	"strings"
)

// UsualFor returns the usual limits for a film of width × height: rows are
// shorter in an upright one. Source: common practice.
func UsualFor(width, height int) Limits {
	l := Usual
	if height > width {
		l.RowLetters = 28
	}
	return l
}

// graphicsEdge is how much of the picture's width and height stays free of letters
// at each edge. Source: [EBUR95], graphics safe area of 90 %.
const graphicsEdge = 0.05

// What a phone lays over an upright film, in shares of its height and width.
// Source: common practice; what a place of publication shows there changes.
const (
	uprightTop    = 0.12
	uprightBottom = 0.22
	uprightRight  = 0.14
)

// Safe returns where letters may stand in a film of width × height.
func Safe(width, height int) Box {
	if height > width {
		return Box{X: graphicsEdge, Y: uprightTop, W: 1 - graphicsEdge - uprightRight, H: 1 - uprightTop - uprightBottom}
	}
	return Box{X: graphicsEdge, Y: graphicsEdge, W: 1 - 2*graphicsEdge, H: 1 - 2*graphicsEdge}
}

// Centred returns the widest part of the safe area whose middle is the picture's.
func Centred(safe Box) Box {
	edge := max(safe.X, 1-safe.X-safe.W)
	return Box{X: edge, Y: safe.Y, W: 1 - 2*edge, H: safe.H}
}

// NoPlaceError says why a caption is not burned in.
type NoPlaceError struct{ Why string }

func (e *NoPlaceError) Error() string { return "no place for the caption: " + e.Why }

// Spot returns where a caption of width w and height h, in shares of the picture,
// is burned in: the first of a few places that hides nothing of what is seen while
// it is shown. They are the bottom, a little higher, the bottom's left and right end,
// the top, and the top's ends. The error is a *NoPlaceError.
func (c *Caption) Spot(w, h float64, safe Box, seen []Seen) (Box, error) {
	centred := Centred(safe)
	if w > centred.W || h > safe.H {
		return Box{}, &NoPlaceError{fmt.Sprintf("it takes %.0f %% of the width and %.0f %% of the height, and there are %.0f and %.0f", 100*w, 100*h, 100*centred.W, 100*safe.H)}
	}
	left, middle, right := safe.X, centred.X+(centred.W-w)/2, safe.X+safe.W-w
	bottom, top := safe.Y+safe.H-h, safe.Y
	var met []string
	for _, p := range []struct {
		name string
		x, y float64
	}{
		{"bottom", middle, bottom},
		{"two rows higher", middle, max(top, bottom-2*rowHeight)},
		{"bottom left", left, bottom},
		{"bottom right", right, bottom},
		{"top", middle, top},
		{"top left", left, top},
		{"top right", right, top},
	} {
		box := Box{X: p.x, Y: p.y, W: w, H: h}
		if c.hides(box, seen) == 0 {
			return box, nil
		}
		met = append(met, p.name)
	}
	return Box{}, &NoPlaceError{"a mouth or a playing hand is in the way at every place: " + strings.Join(met, ", ")}
}
