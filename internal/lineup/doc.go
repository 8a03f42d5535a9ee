// Package lineup lays a pass on the record: which stretch of the pass plays
// which stretch of the song, and how surely.
//
// Listen takes in a recording once; Align compares two. A pass that was played
// along to the loudspeaker is one offset and one drift (playback.go). A pass
// played live is located by a hidden Markov model that knows repeats, skips and
// chatter (locate.go), warped by banded dynamic time warping (warp.go), refined
// by a cascade of local correlations (refine.go), cut to where there is evidence
// (evidence.go) and judged (judge.go): aligned, refused or silent, never a wrong
// map.
//
// Times are seconds: song time on the record, pass time on the pass. All
// features come from dsp; thresholds of our own say what set them.
package lineup
