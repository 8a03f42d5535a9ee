// Package optics computes what a camera setup will show before anything is set
// up: the frame at the musician, what each ordered shape keeps of it, what is
// sharp, how lamps behind become discs, whether two setups cut together, and how
// a move looks.
//
// [Lens] is the physics of a thin lens in millimetres, distances counted from its
// front principal plane, as handbooks have it. [Setup] is what a person types in:
// metres by tape. Its distance counts from the front of the lens, which lies
// within a few centimetres of the front focal point; from there the frame is
// exactly distance times sensor over focal length, and the principal plane is
// one focal length behind. Where the tape really was held is worth more than
// that, so figures are good to a few centimetres, not to the last digit shown.
//
// Coordinates in the frame are shares 0..1 of the recorded picture from its top
// left ([Box]); they go beyond for what lies outside. Every number that is not
// physics is a [film.Default] in [Defaults] and can be replaced in [Limits].
//
// Left out: distortion, breathing, vignetting, cat's-eye discs, aberrations, and
// entrance pupils that are not where the principal plane is.
//
// Begin with [Setup.Frame], [Setup.Fit] and [Together].
package optics
