// Package film is the domain: the words of docs/architecture.md as Go types.
//
// It imports the standard library only, and everything else may import it.
//
// Clocks. Three clocks occur and are never mixed silently:
//
//   - SongTime: seconds since the first sample of the record.
//   - PassTime: seconds since the start of a clip, where the start is the
//     container's own start time (the earliest stream start), edit lists and
//     start offsets honoured.
//   - Frames: whole film frames at a Rate; frame 0 begins at SongTime 0.
//
// A measured place (a beat, an onset, a knot of a line-up) is a real number of
// seconds, because it is an estimate. Whatever must be exact to the frame is an
// integer with a rational rate.
//
// Ranges are half-open, [From, To).
package film
