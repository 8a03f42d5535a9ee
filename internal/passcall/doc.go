// Package passcall is the pass call: a short run of tones that the phone plays
// when a pass begins, so that every microphone in the room records the number of
// the pass.
//
// A call is a rising sweep, by which it is found, and fifteen tones. A number of
// up to three hexadecimal digits m0, m1, m2 chooses tone m0 + m1·aⁱ + m2·a²ⁱ of
// sixteen for place i, a being a primitive element of GF(16): the Reed-Solomon
// code (15, 3) as it was first written down, by evaluation [ReedSolomon1960]. Any
// two numbers have the same tone at no more than two places, so a call is still
// read when most of its tones were drowned. Even and odd places use tones of their
// own, because a room still sounds with the tone before.
//
// Reading is by greatest likelihood over all numbers. A call that is not read
// surely is not read at all: the log has other ways to tie a clip to its pass.
package passcall
