// Package coverage says what is still missing: line by setup, before the day from
// the plan, on the day from the log, afterwards from what is truly usable, by one
// function and in the same words.
//
// A [Plan] is a song and its setups. It has [Need]s: each line wants a picture,
// each must-see so many matches, each stretch without a voice two setups that
// show no mouth. [Plan.Judge] finds where a lined-up pass is usable;
// [Plan.Ledger] counts. From a [Ledger] come what to ask for next
// ([Ledger.Advice]), what the film would be if filming stopped now
// ([Ledger.StopNow]), what a setup is worth ([Ledger.Without]) and whether
// something may be taken down ([Ledger.MayStrike]).
//
// A musician who improvises matches the record on a line with some chance.
// [Matches] is what was measured of it, [Improvise] what it takes: whole passes,
// or one line looped until it matches.
//
// What anything is worth is the gain of one sum over all needs (worth.go). Every
// number that is not arithmetic is a [film.Default] in [Defaults].
package coverage
