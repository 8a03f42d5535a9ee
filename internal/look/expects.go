package look

import (
	"fmt"
	"regexp"
	"strings"

	"takeweave/internal/film"
)

// input is a kind of encoding that a LUT may be made for.
type input string

const (
	logInput     input = "a logarithmic or HDR encoding"
	linearInput  input = "linear light"
	displayInput input = "pictures encoded for a display, as BT.709"
)

func inputOf(e Encoding) input {
	switch e {
	case ACEScct:
		return logInput
	case Linear:
		return linearInput
	}
	return displayInput
}

// Misfit returns sentences to warn with when a LUT seems to be made for another
// input than the given encoding, as far as its words, its domain and what it does
// to greys tell. None is no proof: a LUT does not have to say what it is for.
func Misfit(l film.LUT, e Encoding) []string {
	if e == "" {
		e = BT709
	}
	var all []string
	if said, words := saidInput(l); said != "" && said != inputOf(e) {
		all = append(all, fmt.Sprintf("its words %q speak of %s", words, said))
	}
	if low, high, is := domainOf(l); is && e != Linear && (low < 0 || high > 1) {
		all = append(all, fmt.Sprintf("its domain goes from %g to %g, and these pictures from 0 to 1", low, high))
	}
	if shape := shapeInput(l); shape != "" && shape != inputOf(e) {
		all = append(all, fmt.Sprintf("what it does to greys looks as if it was made for %s", shape))
	}
	return all
}

// Words that tell an input. Only open and general names: whatever ends in "log"
// covers the rest.
var (
	logWords     = regexp.MustCompile(`(?i)\b(acescct|acescc|hlg|pq|st ?2084|hdr\w*|[a-z]*[- ]?log\d*)\b`)
	notLogWords  = regexp.MustCompile(`(?i)\b(cata|ana|dia|pro|epi|mono|b)log(ue)?s?\b`)
	linearWords  = regexp.MustCompile(`(?i)\b(linear|aces2065\S*|acescg|ap0|ap1|scene[- ]?linear)\b`)
	displayWords = regexp.MustCompile(`(?i)\b((bt|rec)[. ]?709|bt[. ]?1886|srgb|video|display|gamma)\b`)
	towards      = regexp.MustCompile(`(?i)[ _-](to|2)[ _-]`)
	glued        = regexp.MustCompile(`(?i)(\w)(?:2|to)(rec|bt|709|srgb|video|display)`)
	from         = regexp.MustCompile(`(?i)[ _-]from[ _-]`)
)

// saidInput returns which input a LUT's own words tell, and those words. What
// stands behind "to" or before "from" is the output.
func saidInput(l film.LUT) (input, string) {
	words := l.Expects
	if words == "" {
		words = glued.ReplaceAllString(l.Title, "$1 to $2")
		if at := towards.FindStringIndex(words); at != nil {
			words = words[:at[0]]
		} else if at := from.FindStringIndex(words); at != nil {
			words = words[at[1]:]
		}
	}
	plain := notLogWords.ReplaceAllString(strings.ReplaceAll(words, "_", " "), "")
	switch {
	case logWords.MatchString(plain):
		return logInput, words
	case displayWords.MatchString(plain):
		return displayInput, words
	case linearWords.MatchString(plain):
		return linearInput, words
	}
	return "", words
}

// domainOf returns the least and the greatest value that the first table takes,
// when the LUT begins with one.
func domainOf(l film.LUT) (low, high float64, is bool) {
	if len(l.Steps) == 0 {
		return 0, 0, false
	}
	var from, to [3]float64
	switch t := l.Steps[0].(type) {
	case film.Table1D:
		if t.HalfDomain {
			return 0, 0, false
		}
		from, to = t.Min, t.Max
	case film.Table3D:
		from, to = t.Min, t.Max
	default:
		return 0, 0, false
	}
	return min(from[0], from[1], from[2]), max(to[0], to[1], to[2]), true
}

// shapeInput guesses the input from what becomes of greys, "" when it could be a
// look like any other. The thresholds stand between what conversions of ACEScct,
// PQ and linear light to a display do and what strong looks do (see the test).
// HLG cannot be told: it was made to look right on such displays.
func shapeInput(l film.LUT) input {
	at := func(v float64) float64 { return Luma(ApplyLUT(l, "", RGB{v, v, v})) }
	steep := (at(0.6) - at(0.3)) / 0.3
	switch {
	// A logarithm keeps greys close together and white low. In the test, conversions
	// are steeper than 2.1 and reach 0.88; strong contrast 2.1 and 0.72.
	case steep > 1.6 && at(0.6) > 0.82:
		return logInput
	// Light is brightened most where it is dark, and white stays where it is.
	case at(0.02) > 0.07 && at(0.02) < 0.25 && at(0.18) > 0.36 && at(0) < 0.03 && at(1) < 1.1 && at(1) > 0.8:
		return linearInput
	}
	return ""
}
