// Package daylog is the log of the shooting day as data and rules.
//
// The phone sends an append-only list of small operations, [Event]. [Replay]
// turns whatever has arrived of them into the [State] of the day: an event that
// comes twice, late or out of order loses and doubles nothing. A log kept on
// paper is typed in with [ParsePaper].
//
// [Tie] says which camera file is which entry of the log: by the pass calls
// heard in the sound, times, lengths, lines and setups, as one assignment with a
// chance for each tie. What is not sure is asked, never guessed.
//
// Times are unix milliseconds on the clock of the phone or, for files, of the
// camera; lengths are seconds.
package daylog
