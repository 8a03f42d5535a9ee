package job

import (
	"context"
	"errors"
	"fmt"
	"image"
	"image/png"
	"io"
	"slices"

	"takeweave/internal/captions"
	"takeweave/internal/film"
	"takeweave/internal/fingerprint"
	"takeweave/internal/handover"
	"takeweave/internal/titles"
)

// lettering draws what is written into one film.
type lettering struct {
	work  *Work
	song  *film.Song
	cut   *film.Cut
	f     Format
	facts titles.Facts
	faces []captions.Seen

	laid   []handover.Overlay
	left   []string // what had no place, in words
	failed error
}

// letters returns the pictures that are laid on a film for what its order writes
// into it, and in words what had no place.
func (w *Work) letters(ctx context.Context, o Order, f Format, song *film.Song, c *film.Cut, faces []captions.Seen) ([]handover.Overlay, []string, error) {
	if len(o.Letters) == 0 {
		return nil, nil, nil
	}
	facts, err := w.Facts(ctx)
	if err != nil {
		return nil, nil, err
	}
	l := lettering{work: w, song: song, cut: c, f: f, facts: facts, faces: faces}
	if slices.Contains(o.Letters, WithTitle) {
		l.title()
	}
	if slices.Contains(o.Letters, WithCredits) {
		l.credits()
	}
	if slices.Contains(o.Letters, WithCaptions) {
		l.captions()
	}
	return l.laid, l.left, l.failed
}

func (l *lettering) title() {
	card, err := titles.Title(&l.facts, l.f.Width, l.f.Height)
	if l.cannot("title", err) {
		return
	}
	stay, err := titles.PlaceTitle(l.song, filmOf(l.cut), card)
	if !l.cannot("title", err) {
		l.lay(card.Image, stay)
	}
}

func (l *lettering) credits() {
	cards, err := titles.Credits(&l.facts, l.f.Width, l.f.Height)
	if l.cannot("credits", err) {
		return
	}
	stays, err := titles.PlaceCredits(l.song, filmOf(l.cut), cards)
	if l.cannot("credits", err) {
		return
	}
	for i, card := range cards {
		l.lay(card.Image, stays[i])
	}
}

func (l *lettering) captions() {
	made := captions.Make(l.song, filmOf(l.cut), captions.UsualFor(l.f.Width, l.f.Height))
	if len(made) == 0 {
		l.left = append(l.left, "captions: the song has no lyrics")
	} else if l.faces == nil {
		l.left = append(l.left, "captions: nobody looked where the mouth is, they may lie over it; takeweave picture looks")
	}
	for i := range made {
		c := &made[i]
		picture, err := titles.Caption(c, l.f.Width, l.f.Height, l.faces)
		var none *captions.NoPlaceError
		if errors.As(err, &none) {
			err = &film.Error{Code: film.CodeUsage, Msg: none.Error()}
		}
		if !l.cannot("caption at "+l.song.Address(l.cut.At(c.First)), err) {
			l.lay(picture, titles.Stay{First: c.First, End: c.End})
		}
	}
}

// cannot notes why something is not written: a refusal is told, anything else
// fails the work.
func (l *lettering) cannot(what string, err error) bool {
	var refused *film.Error
	switch {
	case err == nil:
		return false
	case errors.As(err, &refused):
		l.left = append(l.left, fmt.Sprintf("%s: %v", what, err))
	default:
		l.failed = errors.Join(l.failed, err)
	}
	return true
}

// lay keeps a picture in the cache and lays it on the film.
func (l *lettering) lay(picture *image.NRGBA, s titles.Stay) {
	at := picture.Bounds().Min
	name := fingerprint.Of("letters", picture.Bounds().Size(), picture.Pix) + ".png"
	path, err := l.work.kept("letters", name, func(out io.Writer) error { return png.Encode(out, picture) })
	if err != nil {
		l.failed = errors.Join(l.failed, err)
		return
	}
	l.laid = append(l.laid, handover.Overlay{Picture: path, X: at.X, Y: at.Y, First: s.First, End: s.End, Fade: s.Fade})
}
