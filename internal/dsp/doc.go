// Package dsp measures sound: short-time spectra, semitone and mel bands,
// chroma, floor subtraction, onset strength, correlation and peaks. Arrays in,
// arrays out; nothing here knows what a song or a pass is.
//
// Sound is mono float32 on one clock (Source). Features are a Series: rows at a
// steady rate, row i centred on time (First+i)/Hz seconds of the source. Ranges
// are half-open. Spectra are scaled so that a sine of amplitude 1 on a bin
// centre has power 1.
//
// Start with Semitones (pitch content) and Bands (everything else), remove the
// steady background with SubtractFloor, compress with Compress, and go on to
// FoldChroma, PitchFlux or BandFlux.
package dsp
