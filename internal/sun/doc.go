// Package sun says where the sun stands, when it rises and sets, and when it
// shines through a window onto a point in the room, with no network and no clock
// of its own: a date, a place and a time zone go in.
//
// The position is the low-accuracy solar theory of Meeus [Meeus1998], chapter
// 25, as NOAA's solar calculator [NOAASolar] uses it: an orbit with the equation
// of the centre to the third harmonic, aberration and the main term of nutation.
// It is good to 0.01 degree of longitude between 1900 and 2100. Universal time
// stands for dynamical time (an error below 0.001 degree) and parallax is left
// out (below 0.0025 degree).
//
// Refraction: [Position.ApparentDeg] is lifted by Saemundsson's formula for 1010
// hPa and 10 degrees C; rise and set are when the sun's middle is geometrically
// 50 minutes of arc below a level horizon ([RiseDeg]), 34 for refraction and 16
// for the sun's radius, as almanacs have it. Real air near the horizon differs by
// a minute or two of time; hills and houses differ by far more.
//
// Angles are degrees; bearings count clockwise from true north, not from a
// compass needle. Latitude is positive north, longitude positive east. Times are
// minutes of the local day. Begin with [Day.At], [Day.Times] and [Day.Through].
package sun
