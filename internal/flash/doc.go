// Package flash finds flashing in a film that may harm people with
// photosensitive epilepsy, by ITU-R BT.1702 [BT1702] and by success criterion
// 2.3.1 of WCAG [WCAG22].
//
// A flash is a pair of opposing changes: of luminance by at least 20 cd/m² (a
// tenth of the maximum in WCAG) where the darker picture is below 160 cd/m² (0.8
// in WCAG), or to and from saturated red. More than three flashes within a second
// that together cover more than a quarter of the screen (BT.1702), or of any
// field of a third of its width and height (WCAG), are told.
//
// The picture is looked at in cells of a fortieth of its width; finer patterns
// average out, which both rules allow for the finest. A field flashes when more
// than a quarter of its cells change together, within 80 ms, and change back
// together within a second; its next flash begins after that one has ended. So a
// shirt with stripes is not taken for a flash, halves that swap flash once, and
// parts that flash in turn add up. More than three flashes that begin within a
// second are told. A bright hand that fills such a field and strums four times a
// second does flash by the letter of WCAG, and is told. For BT.1702 a display of
// 200 cd/m² with the curve of BT.1886 is supposed.
//
// Frames come one by one at the rate of the film: [NewWatcher], [Watcher.Add],
// [Watcher.Findings]. Regular stripes, the third thing that BT.1702 warns of, are
// not looked for. See [Caution].
package flash

// Caution belongs wherever a result is shown.
const Caution = "This check is an aid. Passing it is no medical guarantee: " +
	"screens, rooms and people differ, and stripes and other regular patterns are not checked. " +
	"Where a film has flashing lights, say so before it, and for broadcast let a recognised test decide."
