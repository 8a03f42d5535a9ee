package workbench

import (
	"context"
	"errors"
	"net/http"
	"sync"

	"takeweave/internal/cut"
	"takeweave/internal/film"
	"takeweave/internal/job"
)

// worker runs one piece of long work at a time.
type worker struct {
	v      *Server
	mu     sync.Mutex
	cancel context.CancelFunc // of what runs; nil when nothing does
	wg     sync.WaitGroup
}

func newWorker(v *Server) *worker { return &worker{v: v} }

// start begins a piece of work; it is refused while another runs.
func (k *worker) start(name string, do func(ctx context.Context, w *job.Work) error) error {
	k.mu.Lock()
	defer k.mu.Unlock()
	if k.cancel != nil {
		return &film.Error{Code: film.CodeUsage, Msg: "other work is running", Hint: "wait for it, or stop it"}
	}
	release, err := k.v.store.Lock()
	if err != nil {
		return err
	}
	ctx, cancel := context.WithCancel(context.Background())
	k.cancel = cancel
	last := Work{Do: name, Remaining: -1}
	k.v.live.works(&last)
	w := k.v.base.Again(job.NewProgress(func(e job.Event) {
		last = Work{Do: name, Stage: e.Stage, Done: e.Done, Total: e.Total, Unit: e.Unit, Remaining: e.Remaining, Note: e.Note}
		told := last
		k.v.live.works(&told)
	}))
	w.Found = func() { k.v.live.changed() }
	k.wg.Go(func() {
		err := do(ctx, w)
		release()
		cancel()
		k.mu.Lock()
		k.cancel = nil
		k.mu.Unlock()
		end := last
		end.Ended = true
		switch {
		case errors.Is(err, context.Canceled):
			end.Failed = "stopped; what is done is kept"
		case err != nil:
			end.Failed = err.Error()
			if h := film.HintOf(err); h != "" {
				end.Failed += ": " + h
			}
		}
		k.v.live.works(&end)
		k.v.live.changed()
	})
	return nil
}

func (k *worker) stop() {
	k.mu.Lock()
	defer k.mu.Unlock()
	if k.cancel != nil {
		k.cancel()
	}
}

func (k *worker) wait() { k.wg.Wait() }

// startWork answers POST /api/work.
func (v *Server) startWork(r *http.Request) (any, error) {
	var s Start
	if err := read(r, &s); err != nil {
		return nil, err
	}
	switch s.Do {
	case "lineup":
		return struct{}{}, v.LineUp(s.Clips)
	case "small":
		return struct{}{}, v.work.start(s.Do, v.makeSmallCopies)
	case "films":
		return struct{}{}, v.work.start(s.Do, func(ctx context.Context, w *job.Work) error {
			_, err := w.Handover(ctx, cut.Options{})
			return err
		})
	}
	return nil, usage("there is no work called %q", s.Do)
}

// LineUp begins to take in the clips, line them up and judge them; clips, when
// not "", is the folder in which they lie from now on.
func (v *Server) LineUp(clips string) error {
	return v.work.start("lineup", func(ctx context.Context, w *job.Work) error {
		if clips != "" {
			if err := w.SetClips(ctx, clips); err != nil {
				return err
			}
		}
		if _, err := w.Song(ctx); err != nil {
			return err
		}
		if _, err := w.Agree(ctx); err != nil {
			return err
		}
		if _, err := w.Cut(ctx, job.WholeFilm, cut.Options{}); err != nil {
			return err
		}
		if err := v.makeSmallCopies(ctx, w); err != nil {
			return err
		}
		return w.View(ctx)
	})
}

func (v *Server) stopWork(*http.Request) (any, error) {
	v.work.stop()
	return struct{}{}, nil
}
