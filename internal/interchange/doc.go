// Package interchange carries the cut to other programs and home again.
//
// Out go an OpenTimelineIO timeline ([WriteTimeline]) and a plain CSV table
// ([WriteTable]). Both come back as [Incoming], a plain list of shots in film
// frames with notes of what was not understood; [Differences] tells in which
// shots it departs from the present cut. See docs/interchange.md.
//
// LUTs and colour decisions come and go as cube text, CLF, ASC CDL and the spi
// texts ([ReadLUT], [WriteCube], [WriteCLF], [WriteCDL]).
//
// What a copy held is told by ASC Media Hash Lists ([ReadHashList],
// [WriteHashList]) and their chain ([ReadChain], [WriteChain]).
//
// Nothing here opens a file: bytes in, bytes out. A path is only told in errors.
package interchange
