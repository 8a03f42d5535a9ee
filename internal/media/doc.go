// Package media is the only room that knows FFmpeg: it looks into clips, hears
// and sees them, films the demo, renders shots and joins them into the film.
//
// All work runs as a child process with an FFmpeg argument list, on one of two
// engines: a native ffmpeg found on this machine, or the embedded one (package
// codec), which the program runs by starting itself again. Find chooses; begin
// there.
//
// Times are film.PassTime: seconds on the clip clock, whose 0 is the
// container's start time (the earliest stream start), edit lists and start
// offsets honoured. Pictures are shown upright, with square pixels.
//
// Errors are *film.Error with a plain reason and a hint. A cancelled context
// kills the child, waits for it and leaves no partial file.
package media
