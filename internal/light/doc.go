// Package light computes light, power and hearing of the plan: how much light an
// exposure wants, what lamps give on the musician, whether what is wrong is cured
// at the camera or at a lamp, which colours show, which shutters are safe from the
// mains, what circuits and leads carry, and how long playback may be loud.
//
// Light on a plane is in lux, of a surface in cd/m². Ratios are in stops, factors
// of two; what takes light away is negative, and a lamp that is a stop too strong
// is "+1 stop off". Distances are metres from the musician's face, directions
// degrees around it, from the camera.
//
// Every number that is not physics is a [film.Default] in [Defaults] and can be
// replaced in [Limits]. A reading of the person's own is always better than a
// model: lamps here are measured or typed.
//
// Left out: beams and spill, light that walls give back, shadows, spectra of lamps
// beyond their colour temperature, and what wiring can bear beyond the numbers
// given. [Cautions] belong beside what is shown.
//
// Begin with [Scene.Judge] for lamps and [Limits.Spread] for circuits.
package light
