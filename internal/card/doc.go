// Package card copies a camera's card to several places at once and proves the
// copies.
//
// [Copy] reads every file of the card once, writes it to all places while hashing
// it, has the system put it on the devices, and then reads every copy again from
// its device, past the system's memory. Only what is read back equal gets its
// name. Nothing is believed that was not read in the same run, so a copy that was
// interrupted in any way goes on by being started again: what is there already is
// read and compared instead of being written.
//
// The [Receipt] says in words whether the card may be wiped, and why. It may only
// when every byte of the card was read back equal from two devices that are not
// the card, and nothing whatever was in doubt. Wiping itself is done in the camera,
// by hand: nothing here deletes, formats or overwrites what is the person's.
//
// Each place gets a generation of an ASC Media Hash List [ASCMHL]; [Verify] reads
// a copy again years later and compares it with all of them.
//
// One reading cannot tell a bit that flipped on its way from the card from one
// that is on the card, unless the card carries a hash list of its own or the copy
// is run again: Plan.ReadCardTwice is for that.
package card
