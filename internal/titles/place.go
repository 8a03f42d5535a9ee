package titles

import (
	"fmt"

	"takeweave/internal/captions"
	"takeweave/internal/film"
)

// Stay is when a card is shown, in film frames.
type Stay struct {
	First film.Frames `json:"first_frame"`
	End   film.Frames `json:"end_frame"` // exclusive
	Fade  film.Frames `json:"fade_frames"`
}

// Opacity returns how much of the card is seen in a frame: 0 outside of its stay,
// rising and falling over the fades.
func (s Stay) Opacity(frame film.Frames) float64 {
	in, out := frame-s.First+1, s.End-frame
	if in <= 0 || out <= 0 {
		return 0
	}
	return min(1, float64(min(in, out))/float64(s.Fade+1))
}

// How long cards are shown. Source: common practice.
const (
	readPerSecond = 17.0 // characters
	shortestS     = 3.0  // a card with its fades
	longestS      = 7.0  // the title
	fadeS         = 0.5
	// marginS is kept free before and after sung words. Our own.
	marginS = 0.25
)

// seconds returns how long a card must be shown, its fades included: long enough
// to read it while it is seen in full.
func seconds(letters int) float64 {
	return max(shortestS, float64(letters)/readPerSecond+2*fadeS)
}

// PlaceTitle returns when the title is shown: in the first stretch of the film
// without a sung word that is long enough to read it, before the last one. The
// error, a *film.Error, says that there is none.
func PlaceTitle(song *film.Song, f captions.Film, title Card) (Stay, error) {
	sung, err := sungIn(song, f)
	if err != nil {
		return Stay{}, err
	}
	need := seconds(title.Letters)
	longest, at := 0.0, f.From
	for _, s := range sung {
		free := film.SongSpan{From: at + marginS, To: s.From - marginS}
		if free.Len() >= need {
			free.To = min(free.To, free.From+film.SongTime(max(need, longestS)))
			return stayIn(free, f), nil
		}
		longest, at = max(longest, free.Len()), max(at, s.To)
	}
	return Stay{}, noRoom("title", need, longest, "leave it out, or let the film begin earlier")
}

// PlaceCredits returns when each credit card is shown: one after the other from the
// last sung word to the end of the film, for as long as there is. The error, a
// *film.Error, says that they do not all fit.
func PlaceCredits(song *film.Song, f captions.Film, credits []Card) ([]Stay, error) {
	sung, err := sungIn(song, f)
	if err != nil {
		return nil, err
	}
	at := f.From
	for _, s := range sung {
		at = max(at, s.To)
	}
	at += marginS
	need := 0.0
	for _, c := range credits {
		need += seconds(c.Letters)
	}
	there := float64(f.End() - at)
	if there < need {
		return nil, noRoom("credits", need, max(0, there), "name fewer, put them into the text beside the film, or let it end later")
	}
	// More time is shared out, up to twice what is needed.
	stretch := film.SongTime(min(2, there/need))
	var stays []Stay
	for _, c := range credits {
		to := at + stretch*film.SongTime(seconds(c.Letters))
		stays = append(stays, stayIn(film.SongSpan{From: at, To: to}, f))
		at = to
	}
	return stays, nil
}

func noRoom(what string, need, there float64, hint string) error {
	return &film.Error{
		Code: film.CodeUsage,
		Msg:  fmt.Sprintf("there is no room for the %s: reading takes %.1f s, and no more than %.1f s are free of sung words", what, need, there),
		Hint: hint,
	}
}

// sungIn returns the stretches of song that are sung within a film, in order. The
// error says that no words are known: then no stretch is known to be free.
func sungIn(song *film.Song, f captions.Film) ([]film.SongSpan, error) {
	var sung []film.SongSpan
	known := false
	for _, l := range song.Lines {
		if l.Text == "" && len(l.Words) == 0 {
			continue
		}
		known = true
		span := l.Span
		if n := len(l.Words); n > 0 {
			span = film.SongSpan{From: l.Words[0].Span.From, To: l.Words[n-1].Span.To}
		}
		if span.To > f.From && span.From < f.End() {
			sung = append(sung, span)
		}
	}
	if !known {
		return nil, &film.Error{Code: film.CodeNeedsStep, Msg: "where words are sung is not known", Hint: "type the lyrics, then cards find their places"}
	}
	return sung, nil
}

// stayIn returns the frames that lie wholly in a stretch of song.
func stayIn(s film.SongSpan, f captions.Film) Stay {
	first := f.Rate.FramesToHold(s.From - f.From)
	return Stay{
		First: first,
		End:   max(first, min(f.Frames, film.Frames(float64(s.To-f.From)*f.Rate.PerSecond()+1e-6))),
		Fade:  f.Rate.FramesToHold(fadeS),
	}
}
