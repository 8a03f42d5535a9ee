package captions

import (
	"unicode"
	"unicode/utf8"

	"takeweave/internal/film"
)

// Limits are what captions keep to. A person may state others.
type Limits struct {
	Rows       int     `json:"rows"`        // in a caption
	RowLetters int     `json:"row_letters"` // in a row
	PerSecond  float64 `json:"letters_per_second"`
	ShortestS  float64 `json:"shortest_s"`
	LongestS   float64 `json:"longest_s"`
	// GapFrames lie between two captions at least, so that a change is seen.
	GapFrames film.Frames `json:"gap_frames"`
}

// Usual are the limits unless others are stated. Source: common practice.
var Usual = Limits{Rows: 2, RowLetters: 42, PerSecond: 20, ShortestS: 5.0 / 6, LongestS: 7, GapFrames: 2}

// Caption is one caption.
type Caption struct {
	Line  int         `json:"line"` // index into film.Song.Lines, -1 when of none
	First film.Frames `json:"first_frame"`
	End   film.Frames `json:"end_frame"` // exclusive
	Rows  []string    `json:"rows"`
	Top   bool        `json:"top,omitempty"` // shown at the top of the picture
}

// Letters returns how many characters are read, spaces and marks of punctuation
// among them. The break between rows is read as a space; marks on letters are
// not counted.
func (c *Caption) Letters() int {
	n := max(0, len(c.Rows)-1)
	for _, r := range c.Rows {
		n += letters(r)
	}
	return n
}

func letters(s string) int {
	n := utf8.RuneCountInString(s)
	for _, r := range s {
		if unicode.Is(unicode.Mn, r) {
			n--
		}
	}
	return n
}
