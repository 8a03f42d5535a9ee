// Package cut chooses the cut: which pass is seen at every frame of the song.
//
// The song is divided at its beats into slots, and a shot is a run of slots
// of one candidate (one unbroken stretch of a lined-up pass) with its own slip.
// The cut found is the best of all possible ones, in this order:
//
//  1. every moment is shown by the best kind of picture that exists for it: one
//     that agrees; else one that agrees in another key; else one that is lined
//     up but does not agree; else the same pass beyond its line-up; else, when
//     no picture reaches, a hole. Shots that do not agree say so.
//  2. shots are not shorter than wished;
//  3. picture and record part no further than the setup tolerates;
//  4. the wishes in weights.go cost the least.
//
// Rule 1 holds slot by slot, because a shot may be as short as one slot where
// it must. So a candidate that shows a slot by a lesser kind than the best is
// left out of that slot, and the rest is a shortest path over (cut point,
// candidate, pass of the shot before): a semi-Markov model solved exactly by
// dynamic programming over integers, ties broken by the order of the candidates
// and then by the earlier cut.
//
// Source: the model follows Galvane et al. [Galvane2015], minimum-error edits under
// a semi-Markov assumption.
//
// Start with [Solve].
package cut
