// Package songmap finds the beats, bars, sections and lines of a record from
// its sound alone. Map does it all.
//
// The pulse comes from how strongly notes and noises start (hear.go): a tempo
// curve is chosen from autocorrelations (tempo.go), then the beats that lie on
// attacks and keep that tempo (beats.go). Bars are the count of 3 or 4 whose
// first beats have the most change of harmony and bass (bars.go). Sections are
// found by what repeats (form.go, letters.go), lines by length and by where the
// melody rests (lines.go).
//
// All of it is a draft that the person corrects: octave and phase of the beat
// are the usual mistakes. Where no pulse is found the beats are an even grid and
// Song.Sureness is 0.
package songmap
