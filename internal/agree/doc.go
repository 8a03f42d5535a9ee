// Package agree judges, moment by moment, how surely a pass plays what the
// record plays. Judge does it, Say puts a reason into words.
//
// Record and pass are laid side by side on the song's clock along the line-up
// (beside.go); what then still lags is found and taken off (lag.go). Evidence
// that the same notes start together (attacks.go), in the same harmony, is gathered
// for each 50 ms from 0.75 s around it (evidence.go) and weighed into a calibrated chance
// (weights.go): of 100 moments scored 0.8 about 80 truly agree. The reason comes
// from the evidence itself (reason.go).
//
// A record may hold instruments that nobody plays live, and every room and
// microphone loses some of the attacks. So all evidence is taken relative to what
// the same pass usually gives (weights.go).
//
// A pass that was played along to the loudspeaker holds the record itself, which
// would agree whatever the hands do. So it is taken off (loudspeaker.go), with what
// leaks of it (leak.go); what remains is judged like any pass, and drawn towards a
// doubtful score where nobody is surely heard in it (unmask.go).
//
// Times are seconds; song time is the record's clock. Scores are chances, 0..1.
package agree
