// Package filmday invents whole film days of which everything is known: songs,
// records of them, performances with all that goes right and wrong, the rooms and
// cameras that hear them, and the truth of every note on both clocks. Only tests
// use it.
//
// It models the world and no method of ours. A song is written (song.go, form.go,
// arrange.go, melody.go), played (player.go) and mixed into a record (record.go).
// A plan of what happens in front of the camera (plan.go, otherwise.go) becomes a
// scene (scene.go), which cameras and recorders hear (room.go, camera.go,
// codec.go) as passes. Day (day.go) draws all of it for a kind of pass. What is
// true of a pass is in Truth (truth.go).
//
// Every value has its options in a struct and a function that draws them. The
// same seed gives the same samples. Places in a song are quarter notes from its
// first bar; times are seconds; levels are dB. Sound is mono at Rate.
//
// The playing is modelled and the sound synthetic: good for catching mistakes, no
// proof of how anything does with real hands, rooms and cameras. Draws without a
// source are our own choice of what seems usual.
package filmday
