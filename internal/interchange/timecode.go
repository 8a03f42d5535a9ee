package interchange

import (
	"fmt"
	"regexp"
	"strconv"

	"takeweave/internal/film"
)

// Timecode returns the time code of film frame f, "01:00:02:05". At 29.97 and
// 59.94 frames per second it is drop-frame code, "01:00:02;05", which keeps
// with the clock; all other rates count without dropping. A rate that has no
// time code (neither whole nor n·1000/1001), a negative frame and one beyond
// 24 hours are errors.
//
// Source: [ST12]; the drop-frame count as in [OTIO], tests of its time module.
func Timecode(f film.Frames, r film.Rate) (string, error) {
	base, drop, err := counting(r)
	if err != nil {
		return "", err
	}
	mark := ":"
	if drop > 0 {
		mark = ";"
	}
	n := int64(f) + skippedBefore(int64(f), base, drop)
	if f < 0 || n >= 24*3600*base {
		return "", fmt.Errorf("frame %d has no time code within 24 hours", f)
	}
	s := n / base
	return fmt.Sprintf("%02d:%02d:%02d%s%02d", s/3600, s/60%60, s%60, mark, n%base), nil
}

var timecodeForm = regexp.MustCompile(`^(\d\d):([0-5]\d):([0-5]\d)([:;])(\d\d+)$`)

// ParseTimecode returns the frame that a time code names at a rate. Code with
// ";" before the frames is drop-frame, with ":" it is not, whatever the rate's
// usual kind. Drop-frame code at another rate than 29.97 or 59.94, and numbers
// that the code skips, are errors.
func ParseTimecode(s string, r film.Rate) (film.Frames, error) {
	base, drop, err := counting(r)
	if err != nil {
		return 0, err
	}
	m := timecodeForm.FindStringSubmatch(s)
	if m == nil {
		return 0, fmt.Errorf("%q is not a time code", s)
	}
	var part [6]int64
	for i, digits := range m[1:] {
		part[i], _ = strconv.ParseInt(digits, 10, 64) // the mark gives 0 and is not used
	}
	hours, minutes, seconds, frames := part[0], part[1], part[2], part[4]
	minutes += 60 * hours
	if hours >= 24 || frames >= base {
		return 0, fmt.Errorf("%q is not a time code at %s frames per second", s, r)
	}
	n := (60*minutes+seconds)*base + frames
	if m[4] == ":" {
		return film.Frames(n), nil
	}
	switch {
	case drop == 0:
		return 0, fmt.Errorf("%q is drop-frame code, which %s frames per second does not have", s, r)
	case minutes%10 != 0 && seconds == 0 && frames < drop:
		return 0, fmt.Errorf("%q is a number that drop-frame code skips", s)
	}
	return film.Frames(n - drop*(minutes-minutes/10)), nil
}

// counting returns how many frame numbers a second of code has at a rate, and
// how many of them drop-frame code skips at a minute: 0 where it does not exist.
func counting(r film.Rate) (base, drop int64, err error) {
	switch {
	case r.Known() && r.Num%r.Den == 0:
		return r.Num / r.Den, 0, nil
	case r.Den == 1001 && r.Num%1000 == 0 && r.Num > 0:
		base = r.Num / 1000
		if base == 30 || base == 60 {
			drop = base / 15
		}
		return base, drop, nil
	}
	return 0, 0, fmt.Errorf("there is no time code at %s frames per second", r)
}

// skippedBefore returns how many numbers drop-frame code has skipped before the
// frame with count f: drop at every minute that is not a tenth one.
func skippedBefore(f, base, drop int64) int64 {
	if drop == 0 || f < 0 {
		return 0
	}
	minute := 60*base - drop        // of the nine that skip
	tenMinutes := 600*base - 9*drop // the first minute of each ten skips nothing
	tens, rest := f/tenMinutes, f%tenMinutes
	skipped := 9 * drop * tens
	if rest >= 60*base {
		skipped += drop * (1 + (rest-60*base)/minute)
	}
	return skipped
}
