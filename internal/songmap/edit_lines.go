package songmap

import (
	"fmt"
	"slices"
	"strings"
	"unicode"

	"takeweave/internal/film"
)

func (e SplitLine) apply(d *draft) (string, error) {
	if err := place(e.Line, len(d.Lines), "line"); err != nil {
		return "", err
	}
	l, name := d.Lines[e.Line], d.LineName(e.Line)
	if !l.Span.Holds(e.At) {
		return "", badEdit(fmt.Sprintf("%.2f s does not lie in %s", float64(e.At), name), fmt.Sprintf("give a time from %.2f to %.2f s", float64(l.Span.From), float64(l.Span.To)))
	}
	from, to := d.beatsIn(e.Line)
	if to-from < 2 {
		return "", badEdit(name+" has only 1 beat", "add a beat first, or split another line")
	}
	beat := min(max(d.beatNear(e.At), from+1), to-1)
	at := d.Beats[beat].At
	second := film.Line{Section: l.Section, Span: film.SongSpan{From: at}}
	first := &d.Lines[e.Line]
	share := float64(at-l.Span.From) / l.Span.Len()
	first.Text, second.Text = splitText(l, at, share)
	k := len(wordsIn(first.Text))
	if len(l.Words) > 0 {
		first.Words, second.Words = slices.Clone(l.Words[:k]), slices.Clone(l.Words[k:])
	}
	words := fmt.Sprintf("%s split at its beat %d", name, beat-from+1)
	if second.Text != "" {
		words += fmt.Sprintf(", before “%s”", wordsIn(second.Text)[0])
	}
	d.Lines = slices.Insert(d.Lines, e.Line+1, second)
	return words, nil
}

func (e JoinLine) apply(d *draft) (string, error) {
	if err := place(e.Line, len(d.Lines), "line"); err != nil {
		return "", err
	}
	name := d.LineName(e.Line)
	if e.Line+1 == len(d.Lines) {
		return "", badEdit(name+" is the last line", "join the line before with it")
	}
	a, b := &d.Lines[e.Line], d.Lines[e.Line+1]
	if a.Section != b.Section {
		return "", badEdit(fmt.Sprintf("%s and %s lie in two sections", name, d.LineName(e.Line+1)), "join the sections first, or move the edge of the line")
	}
	d.joinTexts(e.Line, b)
	words := fmt.Sprintf("%s joined with %s", name, d.LineName(e.Line+1))
	d.Lines = slices.Delete(d.Lines, e.Line+1, e.Line+2)
	return words, nil
}

// joinTexts adds the text and the words of b to line i. Words of which only one
// of both lines knows the times are estimated.
func (d *draft) joinTexts(i int, b film.Line) {
	a := &d.Lines[i]
	switch {
	case (a.Text == "" || len(a.Words) > 0) && (b.Text == "" || len(b.Words) > 0):
		a.Words = append(a.Words, b.Words...)
	case len(a.Words) > 0 || len(b.Words) > 0:
		d.also = append(d.also, "the times of its words are estimates")
		a.Words = spread(joined(a.Text, b.Text), film.SongSpan{From: a.Span.From, To: b.Span.To})
	}
	a.Text = joined(a.Text, b.Text)
}

func (e MoveLine) apply(d *draft) (string, error) {
	if err := place(e.Line, len(d.Lines), "line"); err != nil {
		return "", err
	}
	name := d.LineName(e.Line)
	type edge struct {
		to   *film.SongTime
		line int // that begins there
		does string
	}
	edges := []edge{{e.From, e.Line, "begins"}, {e.To, e.Line + 1, "ends"}}
	if e.From != nil && *e.From > d.Lines[e.Line].Span.From {
		slices.Reverse(edges) // its end gives way first
	}
	var said []string
	for _, edge := range edges {
		if edge.to == nil {
			continue
		}
		if edge.line == 0 || edge.line == len(d.Lines) {
			return "", badEdit(fmt.Sprintf("the song %s with %s", edge.does, name), "move the other edge, or add or drop beats there")
		}
		// The neighbour keeps a beat, and so does the line.
		least, _ := d.beatsIn(edge.line - 1)
		was, most := d.beatsIn(edge.line)
		beat := d.beatNear(*edge.to)
		if beat <= least || beat >= most {
			return "", badEdit(fmt.Sprintf("%s cannot %s at %.2f s: no beat would be left for a line", name, strings.TrimSuffix(edge.does, "s"), float64(*edge.to)),
				fmt.Sprintf("give a time from %.2f to %.2f s", float64(d.Beats[least+1].At), float64(d.Beats[most-1].At)))
		}
		if beat == was {
			continue
		}
		d.Lines[edge.line].Span.From = d.Beats[beat].At
		by := count(beat-was, "beat") + " later"
		if beat < was {
			by = count(was-beat, "beat") + " earlier"
		}
		said = append(said, edge.does+" "+by)
	}
	if len(said) == 0 {
		return "", badEdit(name+" lies there already", "give another time for its beginning or its end")
	}
	return name + " " + strings.Join(said, " and "), nil
}

// beatsIn returns the places of the beats of line i, [from, to).
func (d *draft) beatsIn(i int) (from, to int) {
	from, _ = slices.BinarySearchFunc(d.Beats, d.Lines[i].Span.From, beatBefore)
	to = len(d.Beats)
	if i+1 < len(d.Lines) {
		to, _ = slices.BinarySearchFunc(d.Beats, d.Lines[i+1].Span.From, beatBefore)
	}
	return from, to
}

func (e LineText) apply(d *draft) (string, error) {
	if err := place(e.Line, len(d.Lines), "line"); err != nil {
		return "", err
	}
	text, err := oneLine(e.Text)
	if err != nil {
		return "", err
	}
	name := d.LineName(e.Line)
	if text == d.Lines[e.Line].Text {
		return "", badEdit(name+" has that text already", "give another text")
	}
	d.setText(e.Line, text)
	if text == "" {
		return name + " has no text", nil
	}
	return fmt.Sprintf("%s is “%s”", name, text), nil
}

// longestText is the longest text of a line or a mark, in bytes.
const longestText = 500

// oneLine returns text with single spaces and without control characters.
func oneLine(text string) (string, error) {
	text = strings.Join(strings.Fields(printable(text)), " ")
	if len(text) > longestText {
		return "", badEdit(fmt.Sprintf("a text of %d letters is too long for one line", len(text)), fmt.Sprintf("give %d at most; the whole text is laid by the edit lyrics", longestText))
	}
	return text, nil
}

// printable returns text without control characters but white space.
func printable(text string) string {
	return strings.Map(func(c rune) rune {
		if unicode.IsControl(c) && !unicode.IsSpace(c) {
			return -1
		}
		return c
	}, text)
}
