package songmap

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"unicode"

	"takeweave/internal/film"
)

// besideEachOther stands between two lines of text on one line of the song.
const besideEachOther = "/"

func (e Words) apply(d *draft) (string, error) {
	if err := place(e.Line, len(d.Lines), "line"); err != nil {
		return "", err
	}
	l, name := &d.Lines[e.Line], d.LineName(e.Line)
	if len(e.Words) == 0 {
		if len(wordsIn(l.Text)) == 0 {
			return "", badEdit(name+" has no text", "give its text first, or words with their times")
		}
		l.Words = spread(l.Text, l.Span)
		return fmt.Sprintf("%s of %s spread over it by their syllables, as estimates", count(len(l.Words), "word"), name), nil
	}
	words := slices.Clone(e.Words)
	at := l.Span.From
	for i, w := range words {
		if len(strings.Fields(w.Text)) != 1 || len(wordsIn(w.Text)) != 1 {
			return "", badEdit(fmt.Sprintf("%q is not one word", w.Text), "give each word by itself")
		}
		if !(w.Span.From >= at && w.Span.To > w.Span.From && w.Span.To <= l.Span.To) {
			return "", badEdit(fmt.Sprintf("%q from %.2f to %.2f s is not in %s, after the word before", w.Text, float64(w.Span.From), float64(w.Span.To), name),
				fmt.Sprintf("give rising times from %.2f to %.2f s", float64(l.Span.From), float64(l.Span.To)))
		}
		words[i].Text = strings.TrimSpace(w.Text)
		at = w.Span.To
	}
	text, err := oneLine(strings.Join(textsOf(words), " "))
	if err != nil {
		return "", err
	}
	if !slices.Equal(textsOf(words), wordsIn(l.Text)) {
		if l.Text != "" {
			d.also = append(d.also, fmt.Sprintf("its text was “%s” and is “%s”", l.Text, text))
		}
		l.Text = text
	}
	l.Words = words
	return fmt.Sprintf("%s of %s have their times", count(len(words), "word"), name), nil
}

// wordsIn returns the words of a text: what stands between spaces and has a
// letter or a digit.
func wordsIn(text string) []string {
	var out []string
	for _, f := range strings.Fields(text) {
		if isWord(f) {
			out = append(out, f)
		}
	}
	return out
}

func isWord(s string) bool {
	return strings.ContainsFunc(s, func(c rune) bool { return unicode.IsLetter(c) || unicode.IsDigit(c) })
}

func textsOf(words []film.Word) []string {
	var out []string
	for _, w := range words {
		out = append(out, w.Text)
	}
	return out
}

// spread lays the words of a text evenly over a span, each as long as it has
// syllables, as estimates.
func spread(text string, span film.SongSpan) []film.Word {
	var out []film.Word
	var total int
	for _, w := range wordsIn(text) {
		total += syllables(w)
	}
	sung, at := 0, span.From
	for _, w := range wordsIn(text) {
		sung += syllables(w)
		to := span.To
		if sung < total {
			to = span.From + (span.To-span.From)*film.SongTime(sung)/film.SongTime(total)
		}
		out = append(out, film.Word{Span: film.SongSpan{From: at, To: to}, Text: w, Estimated: true})
		at = to
	}
	return out
}

// vowels of the Latin alphabet, with their accents.
const vowels = "aeiouyàáâãäåæèéêëìíîïòóôõöøùúûüýœāēīōūęąůőű"

// syllables estimates how many syllables a word has: its groups of vowels, less
// a silent e at its end; in a script without these letters every letter is one.
// Common practice; English spelling misleads it now and then.
func syllables(word string) int {
	groups, letters, latin := 0, 0, false
	inGroup := false
	runes := []rune(strings.ToLower(word))
	for len(runes) > 0 && !unicode.IsLetter(runes[len(runes)-1]) {
		runes = runes[:len(runes)-1]
	}
	for _, c := range runes {
		isVowel := strings.ContainsRune(vowels, c)
		if isVowel && !inGroup {
			groups++
		}
		inGroup = isVowel
		if unicode.IsLetter(c) {
			letters++
		}
		latin = latin || unicode.Is(unicode.Latin, c)
	}
	if !latin {
		return max(1, letters)
	}
	if n := len(runes); groups > 1 && runes[n-1] == 'e' && !strings.ContainsRune(vowels, runes[n-2]) &&
		!(runes[n-2] == 'l' && n > 2 && !strings.ContainsRune(vowels, runes[n-3])) { // but "little"
		groups--
	}
	return max(1, groups)
}

// joined puts two texts on one line.
func joined(a, b string) string {
	if a == "" || b == "" {
		return a + b
	}
	return a + " " + besideEachOther + " " + b
}

// splitText returns what of the text of l is sung before and from at on: by the
// times of its words, else between two texts that share the line, else by
// syllables. share is where at lies in the line, 0..1.
func splitText(l film.Line, at film.SongTime, share float64) (before, after string) {
	words := wordsIn(l.Text)
	timed := l.Words
	if len(timed) == 0 {
		timed = spread(l.Text, l.Span)
	}
	k := 0 // words before
	for k < len(timed) && (timed[k].Span.From+timed[k].Span.To)/2 < at {
		k++
	}
	if len(l.Words) == 0 {
		if seams := seamsOf(l.Text); len(seams) > 0 {
			k = slices.MinFunc(seams, func(a, b int) int {
				x := math.Abs(float64(a)/float64(len(words)) - share)
				y := math.Abs(float64(b)/float64(len(words)) - share)
				return int(math.Copysign(1, x-y))
			})
		}
	}
	var parts [2][]string
	seen, part := 0, 0
	for _, f := range strings.Fields(l.Text) {
		if seen == k && (isWord(f) || f == besideEachOther) {
			part = 1
		}
		if isWord(f) {
			seen++
		}
		if seam := seen == k && f == besideEachOther; !seam {
			parts[part] = append(parts[part], f)
		}
	}
	return strings.Join(parts[0], " "), strings.Join(parts[1], " ")
}

// seamsOf returns after how many words one text ends and another begins.
func seamsOf(text string) []int {
	var out []int
	words := 0
	for _, f := range strings.Fields(text) {
		switch {
		case isWord(f):
			words++
		case f == besideEachOther:
			out = append(out, words)
		}
	}
	return out
}

// setText sets the text of line i. Words whose number stays keep their times.
func (d *draft) setText(i int, text string) {
	l := &d.Lines[i]
	l.Text = text
	words := wordsIn(text)
	switch {
	case len(l.Words) == 0:
	case len(words) == len(l.Words):
		for k, w := range words {
			l.Words[k].Text = w
		}
	default:
		l.Words = spread(text, l.Span)
		if len(words) > 0 {
			d.also = append(d.also, "the times of the words of "+d.LineName(i)+" are estimates")
		}
	}
}

// leastWord is the shortest time that a word keeps when its line gets shorter,
// in seconds.
const leastWord = 0.02

// keepWordsInside cuts the words of line i to the line. Estimates are made anew,
// and so are times that no longer lie in the line.
func (d *draft) keepWordsInside(i int) {
	l := &d.Lines[i]
	if len(l.Words) == 0 {
		return
	}
	if !slices.ContainsFunc(l.Words, func(w film.Word) bool { return !w.Estimated }) {
		l.Words = spread(l.Text, l.Span)
		return
	}
	at := l.Span.From
	for k := range l.Words {
		w := &l.Words[k].Span
		from, to := max(w.From, at), min(w.To, l.Span.To)
		if whole := from == w.From && to == w.To; !whole && to-from < leastWord {
			l.Words = spread(l.Text, l.Span)
			d.also = append(d.also, "the times of the words of "+d.LineName(i)+" are estimates")
			return
		}
		w.From, w.To = from, to
		at = to
	}
}
