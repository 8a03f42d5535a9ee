package plan

import (
	"slices"
	"strings"

	"takeweave/internal/film"
)

// ToRecord returns a plan whose song was typed for the record that is there now:
// its addresses are those of the record's lines, found by their words, and the
// typed lines are gone. words says what became another address. It is an error
// when the lines have too few words in common.
func (p Plan) ToRecord(record *film.Song) (Plan, []string, error) {
	typed := p.Song.typed()
	if typed == nil || len(typed.Lines) == 0 {
		return p, nil, &film.Error{Code: film.CodeUsage, Msg: "no lines of the song were typed in the plan", Hint: "nothing needs to be carried over"}
	}
	anchors := sameWords(verses(typed), verses(record))
	texts := 0
	for _, l := range typed.Lines {
		if l.Text != "" {
			texts++
		}
	}
	if len(anchors) == 0 || 2*len(anchors) < texts {
		return p, nil, &film.Error{
			Code: film.CodeUsage, Msg: "the lines of the record have too few words in common with those typed in the plan",
			Hint: "give the record its lyrics first, or change the addresses in the plan by hand",
		}
	}
	out, words := Carry(p, typed, record, timesAlong(anchors, typed.Duration, record.Duration))
	out.Song.Lines, out.Song.DurationS, out.Song.TempoBPM = nil, 0, 0
	return out, words, nil
}

// sungWords is a stretch of a song with its words.
type sungWords struct {
	text string
	span film.SongSpan
}

// verses are the lines of a song that have words. A line that holds several lines
// of a lyric, with a stroke between them, is several, each with its share.
func verses(s *film.Song) (all []sungWords) {
	for _, l := range s.Lines {
		letters := 0
		parts := strings.Split(l.Text, " / ")
		for _, part := range parts {
			letters += len(part)
		}
		from := l.Span.From
		for _, part := range parts {
			if plain := plainWords(part); plain != "" {
				to := from + film.SongTime(l.Span.Len()*float64(len(part))/float64(letters))
				all = append(all, sungWords{plain, film.SongSpan{From: from, To: to}})
				from = to
			}
		}
	}
	return all
}

// plainWords is a text as it is compared: without signs, in small letters.
func plainWords(text string) string {
	keep := func(r rune) rune {
		if strings.ContainsRune(".,;:!?-–—'’\"“”", r) {
			return -1
		}
		return r
	}
	return strings.Join(strings.Fields(strings.ToLower(strings.Map(keep, text))), " ")
}

// anchor is a stretch of one song that is sung in the other.
type anchor struct{ a, b film.SongSpan }

// sameWords matches the lines of two songs by their words, in order, as many as
// there can be: the longest common subsequence. Source: [Wagner1974].
func sameWords(a, b []sungWords) (found []anchor) {
	most := make([][]int, len(a)+1)
	for i := range most {
		most[i] = make([]int, len(b)+1)
	}
	for i := len(a) - 1; i >= 0; i-- {
		for j := len(b) - 1; j >= 0; j-- {
			most[i][j] = max(most[i+1][j], most[i][j+1])
			if a[i].text == b[j].text {
				most[i][j] = max(most[i][j], 1+most[i+1][j+1])
			}
		}
	}
	for i, j := 0, 0; i < len(a) && j < len(b); {
		switch {
		case a[i].text == b[j].text && most[i][j] == 1+most[i+1][j+1]:
			found = append(found, anchor{a[i].span, b[j].span})
			i, j = i+1, j+1
		case most[i][j] == most[i+1][j]:
			i++
		default:
			j++
		}
	}
	return found
}

// timesAlong returns where the second song has what the first has at a time: along
// the anchors and, between them, in proportion. Where one song has far more than
// the other between two anchors there is no such place.
func timesAlong(anchors []anchor, aEnd, bEnd film.SongTime) func(film.SongTime) (film.SongTime, bool) {
	var all []anchor
	var a, b film.SongTime // where the last one ended
	for _, x := range append(slices.Clip(anchors), anchor{film.SongSpan{From: aEnd, To: aEnd}, film.SongSpan{From: bEnd, To: bEnd}}) {
		all = append(all, anchor{film.SongSpan{From: a, To: x.a.From}, film.SongSpan{From: b, To: x.b.From}}, x)
		a, b = x.a.To, x.b.To
	}
	const most = 3 // times as long
	return func(t film.SongTime) (film.SongTime, bool) {
		i := slices.IndexFunc(all, func(x anchor) bool { return x.a.Holds(t) })
		if i < 0 {
			return 0, false
		}
		x := all[i]
		slope := x.b.Len() / x.a.Len()
		return x.b.From + film.SongTime(slope)*(t-x.a.From), slope >= 1.0/most && slope <= most
	}
}
