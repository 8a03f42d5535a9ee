// Package cut chooses the cut: which pass is seen at every frame of the song, or
// of a stretch of it.
//
// The song is divided at its beats, rests and the edges of pins into slots, and
// a shot is a run of slots of one candidate (one unbroken stretch of a lined-up
// pass) with its own slip and speed. The cut found is the best of all possible
// ones that keep the pins, in this order:
//
//  1. every moment is shown by the best kind of picture that exists for it: one
//     that agrees; else one that agrees in another key; else one that is lined
//     up but does not agree; else the same pass beyond its line-up; else, when
//     no picture reaches, a hole. Shots that do not agree say so.
//  2. shots are not shorter than wished;
//  3. picture and record part no further than the setup tolerates, and the clip
//     has the handles that were asked for;
//  4. the wishes in weights.go cost the least.
//
// The price of a shot depends on the two shots before it: on the source of the
// last and on the pass of the one before that. So it is a shortest path over
// (cut point, candidate, pass of the shot before): a semi-Markov model solved
// exactly by dynamic programming over integers, ties broken by the names of the
// passes and then by the later cut. docs/cut.md tells the whole model.
//
// Source: the model follows Galvane et al. [Galvane2015], minimum-error edits
// under a semi-Markov assumption.
//
// Start with [Solve]; where pins change again and again, with [Prepare] and
// [Board.Solve]. [Board.Alternatives] and [Board.WhyNot] answer questions about
// a cut, [Changes] tells how two differ.
package cut
