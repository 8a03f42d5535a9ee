// Package crop decides what part of a clip's picture is shown in a frame
// shape, and how that part moves during one shot.
//
// A crop is a [Window] of fixed size: the largest of its shape that the picture
// holds ([Largest]). Because it is the largest, it fills the picture in one
// direction and has room to move only in the other. Where the subject is known
// ([Sighting]), [Follow] finds the [Path] of the window through one shot;
// without sightings the window stands on a given point. Then
// [NewTable] and [Table.Leaves] say how much of the subject is not shown over
// any span, which is what a pass costs in that shape, and [Core] says which
// part of the picture every ordered shape keeps.
//
// The path along one direction is the exact minimum of
//
//	∫ (distance outside the band) dt + price · (distance travelled)
//
// over all paths no faster than a tenth of the frame per second, where the band
// is the set of places from which the subject stands well in the frame; then a
// running mean over one second eases it. A shot moves only when that saves more
// than a price of moving at all; else its window stands where it costs least. That a path of
// least travel is made of standing, even and evenly speeding pieces, as a camera
// is led by hand, is from Grundmann, Kwatra, Essa [Grundmann2011].
//
// Lengths are pixels of the picture, upright and square, from its top left;
// boxes and points are shares 0..1 of the picture's width and height. Clips
// come upright with square pixels (film.Clip), so turned and squeezed sources
// need nothing here.
package crop
