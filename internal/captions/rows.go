package captions

import (
	"math"
	"strings"
)

// breakCost is what breaking after a word costs besides unevenness, in letters:
// less where the sense pauses. No measurement set it.
func breakCost(word string) float64 {
	switch word[len(word)-1] {
	case ',', ';', ':', '.', '!', '?':
		return 0
	}
	return 8
}

// middle returns after how many of the words to break them in two, as evenly as
// the sense lets, 0 when there is no second word.
func middle(words []string) int {
	total := letters(strings.Join(words, " "))
	best, at, before := math.Inf(1), 0, 0
	for i, w := range words[:max(0, len(words)-1)] {
		before += letters(w)
		cost := math.Abs(float64(2*before+1-total)) + breakCost(w)
		before++
		if cost < best {
			best, at = cost, i+1
		}
	}
	return at
}

// rows sets words in rows: in one when they fit, else in as few as they can, of
// about equal length. ok is false when they need more rows than there are, or a
// word is longer than a row.
func (l Limits) rows(words []string) (rows []string, ok bool) {
	whole := strings.Join(words, " ")
	if letters(whole) <= l.RowLetters {
		return []string{whole}, true
	}
	if l.Rows == 2 {
		if at, fits := l.twoRows(words); fits {
			return []string{strings.Join(words[:at], " "), strings.Join(words[at:], " ")}, true
		}
	}
	rows = l.filled(words)
	ok = len(rows) <= l.Rows
	for _, r := range rows {
		ok = ok && letters(r) <= l.RowLetters
	}
	return rows, ok
}

// twoRows returns the best break at which both halves fit.
func (l Limits) twoRows(words []string) (at int, fits bool) {
	best := math.Inf(1)
	for i := 1; i < len(words); i++ {
		a, b := letters(strings.Join(words[:i], " ")), letters(strings.Join(words[i:], " "))
		cost := math.Abs(float64(a-b)) + breakCost(words[i-1])
		if max(a, b) <= l.RowLetters && cost < best {
			best, at, fits = cost, i, true
		}
	}
	return at, fits
}

// filled fills row after row.
func (l Limits) filled(words []string) []string {
	var rows []string
	for _, w := range words {
		if k := len(rows) - 1; k >= 0 && letters(rows[k])+1+letters(w) <= l.RowLetters {
			rows[k] += " " + w
		} else {
			rows = append(rows, w)
		}
	}
	return rows
}
