package job

import (
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"

	"takeweave/internal/captions"
	"takeweave/internal/checks"
	"takeweave/internal/film"
	"takeweave/internal/interchange"
)

// captionsOf returns the captions of the lyrics for a cut.
func captionsOf(song *film.Song, c *film.Cut, faces []captions.Seen) []captions.Caption {
	made := captions.Make(song, captions.Film{Rate: c.Rate, From: c.From, Frames: c.Frames}, captions.Usual)
	captions.Place(made, faces)
	return made
}

// writeCaptions writes the captions beside the film; a song without lyrics has
// none, and old ones are taken away.
func (w *Work) writeCaptions(order Order, song *film.Song, c *film.Cut, faces []captions.Seen) error {
	path := w.captionsPath(order)
	made := captionsOf(song, c, faces)
	if len(made) == 0 {
		if err := os.Remove(path); err != nil && !os.IsNotExist(err) {
			return err
		}
		return nil
	}
	var cues []interchange.Cue
	for _, m := range made {
		cues = append(cues, interchange.Cue{From: c.Rate.FrameStart(m.First), To: c.Rate.FrameStart(m.End), Rows: m.Rows, Top: m.Top})
	}
	return writeWhole(path, func(to io.Writer) error { return interchange.WriteWebVTT(to, cues) })
}

func (w *Work) captionsPath(order Order) string {
	return filepath.Join(w.Store.Dir, "out", fileOf(order, "captions", ".vtt"))
}

// checkCaptions looks at the captions that lie beside the film.
func (w *Work) checkCaptions(order Order, c *film.Cut, faces []captions.Seen) (checks.Report, error) {
	path := w.captionsPath(order)
	file, err := os.Open(path)
	if errors.Is(err, fs.ErrNotExist) {
		return checks.Report{NotChecked: []checks.Unchecked{{Kind: checks.Captions, Why: "the film has none"}}}, nil
	}
	if err != nil {
		return checks.Report{}, err
	}
	defer file.Close()
	cues, err := interchange.ReadWebVTT(file, path)
	if err != nil {
		return checks.Report{}, err
	}
	var read []captions.Caption
	for _, q := range cues {
		read = append(read, captions.Caption{Line: -1, First: c.Rate.NearestFrame(q.From), End: c.Rate.NearestFrame(q.To), Rows: q.Rows, Top: q.Top})
	}
	return checks.OfCaptions(read, c.Rate, captions.Usual, faces), nil
}
