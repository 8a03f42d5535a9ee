// Package look is the grade: what is done to the colours of a film.
//
// A [Look] belongs to the film and a [Trim] to each setup. [NewChain] turns them
// into a [Chain] of steps in fixed order, [Chain.Bake] into one 3D table that the
// renderer and the preview use. Edge darkening and letterbox depend on the place
// in the picture and are not in the table ([Edge], [Letterbox]).
//
// Colours are [RGB] of three numbers. Unless a function says linear they are
// encoded as the pictures are: BT.709 primaries and curve, full range, 0 black, 1
// white; values beyond are kept until the end. Differences between colours are
// CIEDE2000 of what a BT.1886 display shows.
//
// See docs/look.md for the order of the steps and why.
package look
