package workbench

import (
	"context"
	"errors"
	"net/http"
	"os"
	"path/filepath"
	"strconv"
	"sync"

	"takeweave/internal/film"
	"takeweave/internal/job"
)

// clipKinds knows how each clip is played in a browser, looked into once.
type clipKinds struct {
	mu   sync.Mutex
	info map[string]bool // by digest: the browser plays the original
}

func newClipKinds() *clipKinds { return &clipKinds{info: map[string]bool{}} }

// clipKind is how a clip is played.
type clipKind struct{ small, mime string }

func (k *clipKinds) of(ctx context.Context, w *job.Work, c film.Clip) clipKind {
	k.mu.Lock()
	plays, known := k.info[c.Digest]
	k.mu.Unlock()
	if !known {
		info, err := w.Info(ctx, c)
		plays = err == nil && job.InBrowser(info)
		if err == nil {
			k.mu.Lock()
			k.info[c.Digest] = plays
			k.mu.Unlock()
		}
	}
	switch {
	case plays:
		return clipKind{"none", mimeOf(c.Path)}
	case there(w.SmallPath(c)):
		return clipKind{"ready", "video/mp4"}
	}
	return clipKind{"wanted", mimeOf(c.Path)}
}

func there(path string) bool {
	_, err := os.Stat(path)
	return err == nil
}

// makeSmallCopies makes the copies that browsers need.
func (v *Server) makeSmallCopies(ctx context.Context, w *job.Work) error { return w.SmallCopies(ctx) }

// record answers GET /media/record.
func (v *Server) record(w http.ResponseWriter, r *http.Request) error {
	ctx, k := v.known(r)
	path, err := k.RecordPath(ctx)
	if err != nil {
		return err
	}
	return serveFile(w, r, path, "")
}

// serveFile serves a file with ranges.
func serveFile(w http.ResponseWriter, r *http.Request, path, mime string) error {
	f, err := os.Open(path)
	if err != nil {
		return &film.Error{Code: film.CodeNotFound, Path: path, Msg: "cannot be read", Hint: "check that the card or disk is still connected", Err: err}
	}
	defer f.Close()
	st, err := f.Stat()
	if err != nil {
		return err
	}
	if mime != "" {
		w.Header().Set("Content-Type", mime)
	}
	w.Header().Set("Cache-Control", "private, max-age=3600")
	http.ServeContent(w, r, filepath.Base(path), st.ModTime(), f)
	return nil
}

// clip answers GET /media/clip/{id}.
func (v *Server) clip(w http.ResponseWriter, r *http.Request) error {
	ctx, k := v.known(r)
	id, err := strconv.ParseInt(r.PathValue("id"), 10, 64)
	if err != nil {
		return usage("%q is no clip", r.PathValue("id"))
	}
	clips, err := v.store.Clips(ctx)
	if err != nil {
		return err
	}
	for _, c := range clips {
		if c.ID != id {
			continue
		}
		if small := k.SmallPath(c); there(small) {
			return serveFile(w, r, small, "video/mp4")
		}
		return serveFile(w, r, c.Path, mimeOf(c.Path))
	}
	return &film.Error{Code: film.CodeNotFound, Msg: "there is no clip " + r.PathValue("id"), Hint: "reload the page"}
}

// ear answers GET /media/ear/{pass}.
func (v *Server) ear(w http.ResponseWriter, r *http.Request) error {
	_, k := v.known(r)
	path, err := k.Ear(r.Context(), r.PathValue("pass"))
	if err != nil {
		return err
	}
	return serveFile(w, r, path, "audio/wav")
}

// mostStill is the widest still that is made, in pixels.
const mostStill = 1920

// still answers GET /media/still/{pass}.
func (v *Server) still(w http.ResponseWriter, r *http.Request) error {
	ctx, k := v.known(r)
	at, err := number(r, "at")
	if err != nil {
		return err
	}
	width, err := number(r, "w")
	if err != nil {
		return err
	}
	path, err := k.PassStill(ctx, r.PathValue("pass"), film.PassTime(at), int(min(max(width, 32), mostStill)))
	if errors.Is(err, context.Canceled) {
		return nil // the page no longer wants it
	}
	if err != nil {
		return err
	}
	return serveFile(w, r, path, "image/jpeg")
}

// finished answers GET /media/film/{order}.
func (v *Server) finished(w http.ResponseWriter, r *http.Request) error {
	ctx, k := v.known(r)
	path, err := k.FilmPath(ctx, r.PathValue("order"))
	if err != nil {
		return err
	}
	return serveFile(w, r, path, "video/mp4")
}

// wave answers GET /media/wave.
func (v *Server) wave(r *http.Request) (any, error) {
	_, k := v.known(r)
	step, peaks, err := k.Wave(r.Context())
	return Wave{Step: step, Peaks: peaks}, err
}
