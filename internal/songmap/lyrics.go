package songmap

import (
	"fmt"
	"regexp"
	"slices"
	"strings"
)

// verse is a block of the pasted text: what stands between blank lines or
// headings.
type verse struct {
	heading string // in small letters, without number; "" when it has none
	lines   []string
}

// part is a name of a part, with its number. The words are those of the trade,
// common practice.
const part = `(?:pre[- ]?|post[- ]?|final |last )?(?:verse|chorus|bridge|refrain|intro|outro|interlude|instrumental|solo|coda|middle eight|breakdown|ending)`

// heading is a line that names a part and is not sung: "[Chorus]", "(Bridge)",
// "Verse 2", "Coda:". Without brackets, colon and number, it must follow a blank
// line.
var heading = regexp.MustCompile(`(?i)^(?:\[([^\[\]]+)\]|\((` + part + `(?: *[0-9]+)?)\)|(` + part + `)( *[0-9]+)? *(:?))$`)

// numbered is what tells one part of a kind from the next.
var numbered = regexp.MustCompile(`(?i)[ :.]*(?:x ?[0-9]+|[0-9]+|\b[ivx]+)?[ :.]*$`)

// lineEnds turns the ends of lines of other systems into ours.
var lineEnds = strings.NewReplacer("\r\n", "\n", "\r", "\n", "\u2028", "\n", "\u2029", "\n\n")

// versesOf reads a pasted text. A heading without a text of its own repeats the
// last text under the same heading.
func versesOf(text string) []verse {
	var out []verse
	var name string
	open := false // the last verse goes on
	blank := true // the line before
	under := map[string]verse{}
	pending := false // a heading waits for its text
	repeat := func() {
		if v, ok := under[name]; pending && ok {
			out = append(out, v)
		}
		pending, open = false, false
	}
	for line := range strings.Lines(lineEnds.Replace(text)) {
		line = strings.Join(strings.Fields(line), " ")
		found := heading.FindStringSubmatch(line)
		isHeading := found != nil && (blank || found[1]+found[2]+found[4]+found[5] != "")
		blank = line == ""
		switch {
		case isHeading:
			repeat()
			name, _, _ = strings.Cut(found[1]+found[2]+found[3], ":") // "[Verse 1: all]"
			name = strings.ToLower(numbered.ReplaceAllString(name, ""))
			pending = true
		case line == "":
			if _, known := under[name]; known {
				repeat()
			}
			if !pending {
				name, open = "", false
			}
		default:
			if !open {
				out = append(out, verse{heading: name})
				open, pending = true, false
			}
			v := &out[len(out)-1]
			v.lines = append(v.lines, line)
			if name != "" {
				under[name] = *v
			}
		}
	}
	repeat()
	return splitAtRefrains(out)
}

// longestVerse is how many lines a verse without a heading may have before its
// refrain is looked for. Common practice: four to eight.
const longestVerse = 8

// splitAtRefrains divides long verses without headings where lines that are sung
// again elsewhere begin or end: the text was pasted without its blank lines.
func splitAtRefrains(verses []verse) []verse {
	sung := map[string]int{}
	for _, v := range verses {
		for _, line := range v.lines {
			sung[plain(line)]++
		}
	}
	var out []verse
	for _, v := range verses {
		first := 0
		for i := 1; i < len(v.lines) && v.heading == "" && len(v.lines) > longestVerse; i++ {
			if (sung[plain(v.lines[i])] > 1) != (sung[plain(v.lines[i-1])] > 1) {
				out = append(out, verse{lines: v.lines[first:i]})
				first = i
			}
		}
		out = append(out, verse{v.heading, v.lines[first:]})
	}
	return out
}

// mostLyrics is how many lines a pasted text may have: the longest ballads have
// some two hundred.
const mostLyrics = 500

// laid is a pasted text laid on the lines of a song.
type laid struct {
	texts [][]string // of each line of the song
	left  []string   // what did not fit
}

func (e Lyrics) apply(d *draft) (string, error) {
	verses := versesOf(printable(e.Text))
	total := 0
	for _, v := range verses {
		for _, line := range v.lines {
			if _, err := oneLine(line); err != nil {
				return "", err
			}
		}
		total += len(v.lines)
	}
	if total > mostLyrics {
		return "", badEdit(count(total, "line")+" of text are more than a song has", fmt.Sprintf("paste %d at most", mostLyrics))
	}
	if total == 0 {
		return "", badEdit("the text has no lines to sing", "paste the lyrics, a line of text for each line that is sung")
	}
	all := layLyrics(d, verses)
	var several, bare []string
	for i, texts := range all.texts {
		text := ""
		for _, t := range texts {
			text = joined(text, t)
		}
		switch len(texts) {
		case 0:
			bare = append(bare, d.LineName(i))
		case 1:
		default:
			several = append(several, d.LineName(i))
		}
		d.setText(i, text)
	}
	said := fmt.Sprintf("%s of text laid on %s", count(total-len(all.left), "line"), count(len(d.Lines)-len(bare), "line"))
	if len(several) > 0 {
		said += "; two or more on " + runs(several)
	}
	if len(bare) > 0 {
		said += "; none on " + runs(bare)
	}
	if len(all.left) > 0 {
		said += fmt.Sprintf("; %s did not fit: “%s”", count(len(all.left), "line"), strings.Join(all.left, " / "))
	}
	return said, nil
}

// runs lists names, a few of them.
func runs(names []string) string {
	const most = 6
	if len(names) > most {
		return fmt.Sprintf("%s and %d more", strings.Join(names[:most], ", "), len(names)-most)
	}
	return strings.Join(names, ", ")
}

// kindsOf numbers the verses: those under one heading have the same number, and
// so have, without headings, those with much the same text, and beside such a
// refrain those with as many lines.
func kindsOf(verses []verse) []int {
	out := make([]int, len(verses))
	for i := range out {
		out[i] = i
	}
	unite := func(same func(v, w verse) bool, only []int) {
		for i, v := range verses {
			for k, w := range verses[:i] {
				if out[i] == i && slices.Contains(only, i) && slices.Contains(only, k) && same(v, w) {
					out[i] = out[k]
				}
			}
		}
	}
	all := slices.Clone(out)
	unite(func(v, w verse) bool { return v.heading != "" && v.heading == w.heading }, all)
	bare := slices.DeleteFunc(slices.Clone(all), func(i int) bool { return verses[i].heading != "" })
	unite(func(v, w verse) bool { return alikeTexts(v.lines, w.lines) }, bare)
	often := repeated(out)
	if len(often) == 0 {
		return out // without a refrain nothing tells verses from it
	}
	once := slices.DeleteFunc(bare, func(i int) bool { return slices.Contains(often, out[i]) })
	unite(func(v, w verse) bool { return len(v.lines) == len(w.lines) }, once)
	return out
}

// alikeTexts reports whether half of the lines of the longer text or more stand
// in the other, too.
func alikeTexts(a, b []string) bool {
	if len(a) < len(b) {
		a, b = b, a
	}
	same := 0
	for _, line := range a {
		if slices.ContainsFunc(b, func(other string) bool { return plain(other) == plain(line) }) {
			same++
		}
	}
	return 2*same >= len(a)
}

// plain is a text without capitals and marks.
func plain(text string) string {
	words := wordsIn(strings.ToLower(text))
	for i, w := range words {
		words[i] = strings.Trim(w, ".,;:!?\"'()“”‘’…-–—")
	}
	return strings.Join(words, " ")
}
