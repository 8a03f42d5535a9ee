// Package plan brings together what is decided before the day: one document of
// everything typed in ([Plan]), and one answer with everything that follows from
// it ([Compute], [Told]). It computes nothing by itself that another room
// computes: frames are those of optics, light is that of light, the order of the
// day that of schedule, and so on.
//
// A plan may be half empty at any time. What is not typed is 0, "" or nil, and
// means "not known yet": what depends on it says so, and what it would take to
// know ([Verdict]); there is never a verdict on what is not known.
//
// Lengths are metres, of lenses and sensors millimetres; directions are degrees
// clockwise from above; times of the day are "14:10"; places in the song are song
// addresses, "V2.3". Where a setup stands counts around the musician from where
// the musician looks; the room's plan has directions of its own (package room).
//
// [Pages] are what is printed.
package plan
