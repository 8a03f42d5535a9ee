package captions

import (
	"slices"
	"strings"

	"takeweave/internal/film"
)

// closedGapSeconds is the longest gap that is closed by letting the first of two
// captions stay: a shorter blink only disturbs. Source: common practice.
const closedGapSeconds = 0.5

// Film is the film that captions are for.
type Film struct {
	Rate   film.Rate
	From   film.SongTime // at which frame 0 begins
	Frames film.Frames
}

// End returns the song time at which the film ends.
func (f Film) End() film.SongTime { return f.From + f.Rate.FrameStart(f.Frames) }

func (f Film) frame(t film.SongTime) film.Frames {
	return min(max(f.Rate.NearestFrame(t-f.From), 0), f.Frames)
}

func (f Film) frames(seconds float64) film.Frames {
	return f.Rate.FramesToHold(film.SongTime(seconds))
}

// Make returns the captions of a song's lines, in order. Every caption begins
// with its first word and stays at least as long as it takes to read, where the
// next one leaves room. A line that is too long for one caption becomes several.
// Lines without text have none, nor have those outside the film.
func Make(song *film.Song, f Film, l Limits) []Caption {
	var out []Caption
	for i, line := range song.Lines {
		for _, p := range l.pieces(wordsOf(line)) {
			c := Caption{Line: i, First: f.frame(p[0].Span.From), End: f.frame(p[len(p)-1].Span.To)}
			if c.Rows, _ = l.rows(texts(p)); c.End > c.First {
				out = append(out, c)
			}
		}
	}
	for i := range out {
		next := f.Frames
		if i+1 < len(out) {
			next = out[i+1].First - l.GapFrames
		}
		l.stay(&out[i], next, f)
	}
	return out
}

// stay sets when a caption ends, at most at next.
func (l Limits) stay(c *Caption, next film.Frames, f Film) {
	read := max(l.ShortestS, float64(c.Letters())/l.PerSecond)
	end := max(c.End, c.First+f.frames(read))
	if next-end < f.frames(closedGapSeconds) && next < f.Frames {
		end = next
	}
	longest := film.Frames(l.LongestS * f.Rate.PerSecond())
	c.End = max(min(end, next, c.First+longest), c.First+1)
}

// wordsOf returns the words of a line with their times, but for the stroke that
// stands where two lines of lyrics lie on one line of the song.
func wordsOf(line film.Line) []film.Word {
	return slices.DeleteFunc(slices.Clone(allWordsOf(line)), func(w film.Word) bool { return w.Text == "/" })
}

// allWordsOf returns the words of a line with their times. Where they are not
// known they are spread by length.
func allWordsOf(line film.Line) []film.Word {
	text := strings.Fields(line.Text)
	if len(line.Words) > 0 && len(line.Words) != len(text) {
		return line.Words
	}
	out := make([]film.Word, len(text))
	total, before := letters(strings.Join(text, " ")), 0
	at := func(n int) film.SongTime {
		return line.Span.From + film.SongTime(line.Span.Len()*float64(n)/float64(max(total, 1)))
	}
	for i, t := range text {
		out[i] = film.Word{Text: t, Span: film.SongSpan{From: at(before), To: at(before + letters(t))}}
		before += letters(t) + 1
		if len(line.Words) > 0 {
			out[i].Span = line.Words[i].Span // Text has the punctuation
		}
	}
	return out
}

// pieces cuts words into captions that fit in their rows and in time.
func (l Limits) pieces(words []film.Word) [][]film.Word {
	if len(words) == 0 {
		return nil
	}
	_, fits := l.rows(texts(words))
	seconds := float64(words[len(words)-1].Span.To - words[0].Span.From)
	at := middle(texts(words))
	if at == 0 || (fits && seconds <= l.LongestS) {
		return [][]film.Word{words}
	}
	return append(l.pieces(words[:at]), l.pieces(words[at:])...)
}

func texts(words []film.Word) []string {
	out := make([]string, len(words))
	for i, w := range words {
		out[i] = w.Text
	}
	return out
}
