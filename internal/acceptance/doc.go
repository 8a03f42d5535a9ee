// Package acceptance holds tests of the whole job: they build the program, run
// it as a person would, and check what lies on disk afterwards against truth
// from outside: the practice days and their scorers, FFmpeg's own decoders, and
// the sparks of the invented film day.
package acceptance
