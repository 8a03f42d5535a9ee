package titles

import (
	"fmt"
	"strings"

	"takeweave/internal/film"
)

// style is how a text is set. Sizes are in pixels.
type style struct {
	weight  weight
	wanted  float64 // size of type
	least   float64 // below it, it is not read
	maxRows int
}

// wrapFrom is the share of the wanted size down to which a text stays on fewer
// rows: below, one row more with larger letters is easier on the eye. Our own.
const wrapFrom = 0.75

// fitted is a text broken into rows, and the size that fits.
type fitted struct {
	rows []string
	size float64
}

// fit sets text within width pixels: in smaller type first, then on more rows.
// The error says which words do not fit in the smallest type.
func (s style) fit(text string, width float64) (fitted, error) {
	r, err := s.weight.ruler()
	if err != nil {
		return fitted{}, err
	}
	words := strings.Fields(text)
	if err := r.canWrite(strings.Join(words, " ")); err != nil {
		return fitted{}, err
	}
	for n := 1; n <= s.maxRows && n <= len(words); n++ {
		rows, widest := r.even(words, n)
		size := min(s.wanted, width/widest)
		if size >= s.wanted*wrapFrom && size >= s.least {
			return fitted{rows, size}, nil
		}
		if last := n == s.maxRows || n == len(words); last && size >= s.least {
			return fitted{rows, size}, nil
		}
	}
	return fitted{}, s.tooLong(r, words, width)
}

// even breaks words into at most n rows whose widest is as narrow as can be.
func (r ruler) even(words []string, n int) (rows []string, widest float64) {
	low, high := 0.0, r.width(strings.Join(words, " "))
	rows, _ = r.filled(words, high, 1)
	for n > 1 && high-low > 0.01 {
		limit := (low + high) / 2
		if tried, left := r.filled(words, limit, n); len(left) == 0 {
			rows, high = tried, limit
		} else {
			low = limit
		}
	}
	for _, row := range rows {
		widest = max(widest, r.width(row))
	}
	return rows, widest
}

// filled fills at most n rows of a width at the type size 1, one after the other,
// and returns the words that are left, or the one word that is wider than a row.
func (r ruler) filled(words []string, width float64, n int) (rows, left []string) {
	for len(rows) < n && len(words) > 0 {
		row, k := words[0], 1
		for k < len(words) && r.width(row+" "+words[k]) <= width {
			row += " " + words[k]
			k++
		}
		if r.width(row) > width {
			return rows, words[:1]
		}
		rows, words = append(rows, row), words[k:]
	}
	return rows, words
}

// tooLong says which words do not fit in the smallest type.
func (s style) tooLong(r ruler, words []string, width float64) error {
	_, left := r.filled(words, width/s.least, s.maxRows)
	return &film.Error{
		Code: film.CodeUsage,
		Msg:  fmt.Sprintf("%q does not fit on %d rows in the smallest type that is read, %.0f pixels", strings.Join(left, " "), s.maxRows, s.least),
		Hint: "shorten it, or break a long word with a hyphen and a space",
	}
}
