package captions

import (
	"fmt"
	"strings"

	"takeweave/internal/film"
)

// Fault is what is wrong with a caption.
type Fault string

// The faults.
const (
	TooManyRows Fault = "rows"
	LongRow     Fault = "row-length"
	TooFast     Fault = "reading-speed"
	TooShort    Fault = "too-short"
	TooLong     Fault = "too-long"
	NoGap       Fault = "gap"
	Overlap     Fault = "overlap"
	Empty       Fault = "empty"
	Hides       Fault = "hides"
)

// Problem is a fault of one caption.
type Problem struct {
	Caption int     `json:"caption"` // index
	Fault   Fault   `json:"fault"`
	Words   string  `json:"words"`
	Number  float64 `json:"number"`
	Limit   float64 `json:"limit"`
}

// Check returns what is wrong with captions at rate. seen is what must not be
// hidden, as far as it is known.
func Check(captions []Caption, rate film.Rate, l Limits, seen []Seen) []Problem {
	var out []Problem
	for i := range captions {
		c := &captions[i]
		tell := func(f Fault, number, limit float64, words string) {
			out = append(out, Problem{i, f, words, number, limit})
		}
		if strings.TrimSpace(strings.Join(c.Rows, "")) == "" {
			tell(Empty, 0, 1, "has no text")
		}
		if n := len(c.Rows); n > l.Rows {
			tell(TooManyRows, float64(n), float64(l.Rows), fmt.Sprintf("has %d rows; %d are read at a glance", n, l.Rows))
		}
		for _, r := range c.Rows {
			if n := letters(r); n > l.RowLetters {
				tell(LongRow, float64(n), float64(l.RowLetters), fmt.Sprintf("has a row of %d characters; %d fit", n, l.RowLetters))
			}
		}
		out = append(out, checkTimes(captions, i, rate, l)...)
		if c.covers(seen) > 0 {
			tell(Hides, 1, 0, "hides a mouth or a playing hand")
		}
	}
	return out
}

// checkTimes returns what is wrong with the times of caption i.
func checkTimes(captions []Caption, i int, rate film.Rate, l Limits) []Problem {
	var out []Problem
	c := &captions[i]
	tell := func(f Fault, number, limit float64, words string) {
		out = append(out, Problem{i, f, words, number, limit})
	}
	frames := c.End - c.First
	seconds := float64(frames) * rate.FrameSeconds()
	if frames <= 0 {
		tell(TooShort, seconds, l.ShortestS, "ends before it begins")
		return out
	}
	const rounding = 1e-6
	if v := float64(c.Letters()) / seconds; v > l.PerSecond+rounding {
		tell(TooFast, v, l.PerSecond, fmt.Sprintf("asks for %.1f characters a second; %g are read with ease", v, l.PerSecond))
	}
	if seconds < l.ShortestS-rate.FrameSeconds() {
		tell(TooShort, seconds, l.ShortestS, fmt.Sprintf("is gone after %.2f s; it takes %.2f s to notice and read one", seconds, l.ShortestS))
	}
	if seconds > l.LongestS+rounding {
		tell(TooLong, seconds, l.LongestS, fmt.Sprintf("stays for %.1f s; after %g s it is read again", seconds, l.LongestS))
	}
	if i+1 < len(captions) {
		switch gap := captions[i+1].First - c.End; {
		case gap < 0:
			tell(Overlap, float64(gap), 0, fmt.Sprintf("stays %d frames into the next one", -gap))
		case gap < l.GapFrames:
			tell(NoGap, float64(gap), float64(l.GapFrames), fmt.Sprintf("leaves %d frames before the next one; with fewer than %d the change is not seen", gap, l.GapFrames))
		}
	}
	return out
}
