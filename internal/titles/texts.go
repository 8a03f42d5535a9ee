package titles

import (
	"fmt"
	"strings"
	"unicode/utf8"

	"takeweave/internal/captions"
	"takeweave/internal/film"
)

// Texts are what is published with a film, in three lengths. They say what the
// facts say and nothing else.
type Texts struct {
	Short  string `json:"short"`  // up to about 100 characters
	Middle string `json:"middle"` // up to about 300
	Full   string `json:"full"`   // with credits, chapters and links
}

// How long the shorter texts are, in characters. Source: common practice.
const shortText, middleText = 100, 300

// TextsOf returns the texts for a film of a song. A fact that does not fit is left
// out whole; the title and the artist are always there.
func TextsOf(f *Facts, song *film.Song, of captions.Film) (Texts, error) {
	if err := f.Validate(); err != nil {
		return Texts{}, err
	}
	facts := []string{f.Title + " – " + f.Artist}
	full := []string{facts[0], ""}
	for _, c := range f.credits()[1:] {
		facts = append(facts, c.role+": "+c.text())
		if c.role != "Links" {
			full = append(full, c.role+": "+c.text())
		}
	}
	if chapters := chaptersOf(song, of); len(chapters) > 1 {
		full = append(append(full, ""), chapters...)
	}
	if len(f.Links) > 0 {
		full = append(append(full, ""), f.Links...)
	}
	return Texts{
		Short:  fill(facts, shortText),
		Middle: fill(facts, middleText),
		Full:   strings.TrimSpace(strings.Join(full, "\n")) + "\n",
	}, nil
}

// fill joins as many of the facts as fit in length characters, the first always.
func fill(facts []string, length int) string {
	text := facts[0]
	for _, fact := range facts[1:] {
		if longer := text + ". " + fact; utf8.RuneCountInString(longer) <= length {
			text = longer
		}
	}
	return text
}

// chaptersOf returns a row "1:23 A2" for each section that begins in the film, and
// one for its beginning.
func chaptersOf(song *film.Song, f captions.Film) []string {
	var rows []string
	last := -1
	for _, s := range song.Sections {
		begins := max(s.Span.From, f.From)
		if s.Span.To <= f.From || begins >= f.End() {
			continue
		}
		at := int(begins - f.From)
		if last < 0 && at > 0 {
			rows = append(rows, clock(0)+" intro")
		}
		if at > last {
			rows = append(rows, clock(at)+" "+s.Name)
			last = at
		}
	}
	return rows
}

// clock returns seconds as "1:23", from an hour on as "1:02:03".
func clock(seconds int) string {
	if seconds < 3600 {
		return fmt.Sprintf("%d:%02d", seconds/60, seconds%60)
	}
	return fmt.Sprintf("%d:%02d:%02d", seconds/3600, seconds/60%60, seconds%60)
}
