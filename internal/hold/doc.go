// Package hold answers, for any span of the song, how one shot of a pass
// stays together with the record: with which slip, at which speed, how far
// they part at worst, and how long the shot may stay.
//
// The line-up of a pass bends: d(t) = pass time - song time changes with t. A
// shot does not bend: it starts at one place and runs at one speed. With the
// slip c (the d of the shot at its start) and the speed v, the picture is
//
//	late  by  d(t) - c - (v-1)(t - start)   where that is positive,
//	early by  the same                      where it is negative.
//
// Both are measured on the clock of the pass, in seconds. At native speed that
// is what the viewer sees; at another speed the viewer sees it divided by v.
//
// The best slip shares what cannot be avoided between late and early in the
// proportion of the tolerance, so that a span fits exactly when the spread of
// d is at most late + early: the Chebyshev centre of an uneven window.
//
// Start with [New], then ask [Table.Best] and [Table.Longest].
package hold
