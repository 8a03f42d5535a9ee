// Package picture measures a pass's picture over time: pixels in, values out.
//
// A [Meter] takes grey pictures as they come and gives a [Reading]: every 0.2
// seconds sharpness, clipped and crushed shares, steps in brightness, and how the
// camera is led and shakes; for the whole pass the flicker of the mains. A
// [Finder] finds faces in colour pictures, [Subject] follows the main one and
// tells where head and shoulders are. [Reading.Grades] makes one grade of each
// moment, with words for what lowers it.
//
// What is not known lowers nothing: a picture without a face, or one with too
// little in it to see movement or sharpness, is as good as any other.
//
// Places and sizes are shares of the picture, from its top left. Methods, limits
// and figures are in docs/picture.md.
package picture
