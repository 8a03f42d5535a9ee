// Package checks looks at a rendered film and tells what is wrong with it, at
// which frames.
//
// It works on what the decoder gives, not on what was asked for: every frame as a
// small picture ([Pictures]), the sound ([Sound]), the captions, and the passes'
// own sound laid as the cut lays it ([Sync]). Every check gives a [Report];
// [Conclude] puts them together to a [Verdict], which says what was checked, what
// was not and why, and what was found.
//
// What counts as a fault is in [Limits]. See docs/checks.md for every check, its
// limit, and what it cannot see.
package checks
