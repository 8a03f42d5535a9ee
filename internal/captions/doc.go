// Package captions makes captions of the lyrics and checks captions.
//
// [Make] takes the lines of the song: their words say what is read and when.
// [Place] puts every caption at the bottom of the picture, or at the top where a
// mouth or a playing hand would be covered; [Caption.Spot] finds the place of one
// that is burned into the picture. [Check] tells what is wrong with captions, made
// here or edited, against [Limits]. All times are film frames.
package captions
