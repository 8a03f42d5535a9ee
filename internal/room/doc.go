// Package room answers questions about the room in plan: does the camera stand
// where it is wanted, what is in its frame, does it see itself in a mirror, is
// something in the way, when does the sun fall on whom, how long a lead is needed.
//
// The plan is metres, x to the right and y up; directions are degrees clockwise
// from up, and [Room.UpDeg] is where up points, from true north. [Walk] makes the
// walls from lengths typed in. Going along the walls in order, the room lies on
// the right; wall i goes from corner i to the next. Heights are above the floor.
//
// A camera is an [optics.Setup] around the musician; [Look] gives its [View].
// People, stands and furniture are round ([Thing]). Light that is bent, curved
// mirrors, a sloping floor or ceiling, and mirrors that see each other are left
// out.
//
// Leads and lamps: plans say nothing about wiring, loads or what a wall carries.
// Follow the local electrical code and the venue's rules, keep exits free, tape
// down what crosses a way, and ask the venue or a licensed electrician in doubt.
package room
