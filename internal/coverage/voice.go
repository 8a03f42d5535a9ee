package coverage

import (
	"cmp"
	"slices"

	"takeweave/internal/film"
)

// voiceFree returns the stretches of the music in which nobody sings, longer than
// [Limits.VoiceFreeS]. Where words have places, those are sung; else lines with a
// text are; in a song without any text every line is taken for sung.
func (p *Plan) voiceFree() []film.SongSpan {
	sung := sungSpans(p.Song)
	if len(sung) == 0 {
		return nil // nothing is known
	}
	music := p.Song.Music
	if music.Len() <= 0 {
		music = film.SongSpan{To: p.Song.Duration}
	}
	var free []film.SongSpan
	from := music.From
	for _, s := range append(sung, film.SongSpan{From: music.To, To: music.To}) {
		if to := min(s.From, music.To); float64(to-from) > p.Limits.VoiceFreeS {
			free = append(free, film.SongSpan{From: from, To: to})
		}
		from = max(from, s.To)
	}
	return free
}

func sungSpans(song *film.Song) []film.SongSpan {
	anyText := slices.ContainsFunc(song.Lines, func(l film.Line) bool { return l.Text != "" || len(l.Words) > 0 })
	var sung []film.SongSpan
	for _, l := range song.Lines {
		switch {
		case len(l.Words) > 0:
			for _, w := range l.Words {
				sung = append(sung, w.Span)
			}
		case l.Text != "" || !anyText:
			sung = append(sung, l.Span)
		}
	}
	slices.SortFunc(sung, func(a, b film.SongSpan) int { return cmp.Compare(a.From, b.From) })
	return sung
}
