// Package demo is the invented film day: Nell Harrowgate sings and plays "Slow
// Ferry Home" in a net loft, and everything about it is known.
//
// Make writes the day into a folder: the record, the clips of one camera and
// the truth. The song is a score; the record and every pass are played anew
// from it, each with a tempo and unevenness of its own, and synthesised:
// plucked strings, a sung line, rooms. No sound is ever stretched, so a pass
// differs from the record as another performance does. The passes are filmed
// by drawing: hands and mouth move with what is played, and at every pluck a
// spark lights up whose decay tells the time since then.
//
// MeasureSparks reads a finished film's pictures back and says for each pluck
// how far picture and record are apart.
//
// Chance comes from a seed: the same seed gives the same notes, samples and
// pictures on the same kind of machine.
package demo
