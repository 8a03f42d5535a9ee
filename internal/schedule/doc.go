// Package schedule computes the day before it begins and while it runs: how long
// each setup takes, in which order they cost the fewest minutes, when the room is
// left, what to drop first, how many passes fit on a card and a battery, and how
// many hours the whole job is.
//
// A day is a list of [Setup]. What stands in the room for one of them is its
// [Rig]; what differs between two rigs is what the change from one to the other
// costs ([Limits.ChangeMin]), which is not the same in both directions: a lamp
// is taken down sooner than it is put up. [Best] finds the order with the fewest
// broken rules and, among those, the fewest minutes, exactly. [Day.Plan] lays the
// order on the clock.
//
// Minutes are those of the local day ([sun.Minute]) or plain lengths. The day
// begins when the first setup is rigged. Every number that is not arithmetic is
// a [film.Default] in [Defaults] and can be replaced in [Limits].
//
// Begin with [Day.Plan].
package schedule
