package songmap

import "takeweave/internal/film"

// draft is a song while it is edited.
type draft struct {
	film.Song
}

// Apply returns song with e done to it and what was decided, in words. song is
// left as it is. It returns a *film.Error with CodeUsage when e cannot be done.
func Apply(song film.Song, e Edit) (film.Song, string, error) {
	d := &draft{song}
	words, err := e.apply(d)
	return d.Song, words, err
}
