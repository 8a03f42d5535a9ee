package workbench

import (
	"context"
	"encoding/json"
	"fmt"
	"net/http"
	"strconv"
	"strings"
	"time"

	"takeweave/internal/cut"
	"takeweave/internal/film"
	"takeweave/internal/job"
	"takeweave/internal/songmap"
)

func itoa(n int) string { return strconv.Itoa(n) }

func usage(format string, a ...any) error {
	return &film.Error{Code: film.CodeUsage, Msg: fmt.Sprintf(format, a...), Hint: "reload the page"}
}

// mostBody is the largest request that is read: pasted lyrics are some kilobytes.
const mostBody = 1 << 20

// read reads the JSON body of a request; unknown fields are refused.
func read(r *http.Request, v any) error {
	d := json.NewDecoder(http.MaxBytesReader(nil, r.Body, mostBody))
	d.DisallowUnknownFields()
	if err := d.Decode(v); err != nil {
		return usage("the page asked for something unknown: %v", err)
	}
	return nil
}

// known is a work that only tells what is worked out, under ctx.
func (v *Server) known(r *http.Request) (context.Context, *job.Work) {
	return job.Peek(r.Context()), v.base.Again(nil)
}

// decide answers POST /api/decide.
func (v *Server) decide(r *http.Request) (any, error) {
	var d Decision
	if err := read(r, &d); err != nil {
		return nil, err
	}
	ctx, w := v.known(r)
	return v.decided(func() (job.Decided, error) {
		switch {
		case d.Do == "pin" && (d.Pin != nil || len(d.Pins) > 0):
			pins := d.Pins
			if d.Pin != nil {
				pins = append(pins, *d.Pin)
			}
			return w.Repin(ctx, pins, d.Unpins)
		case d.Do == "unpin":
			return w.Unpin(ctx, d.ID)
		case d.Do == "wishes" && d.Wishes != nil:
			return w.Wish(ctx, cut.Options{MinShot: d.Wishes.Shortest, MaxShot: d.Wishes.Longest, WantShot: d.Wishes.Wanted, MaxSpeed: d.Wishes.Speed})
		case d.Do == "setup" && d.Setup != nil:
			name, u := d.Setup.Name, *d.Setup
			if d.Rename != "" {
				u.Name = d.Rename
			}
			return w.ChangeSetup(ctx, name, u)
		case d.Do == "song":
			var e songmap.Edit
			if err := json.Unmarshal(d.Edit, &e); err != nil {
				return job.Decided{}, err
			}
			return w.EditSong(ctx, e)
		case d.Do == "order" && d.Order != nil:
			o, err := w.AddOrder(ctx, job.Order{Shape: d.Order.Shape, Part: d.Order.Part, Seconds: d.Most})
			return job.Decided{Words: "a film in " + string(o.Shape) + " is ordered"}, err
		case d.Do == "drop-order":
			return job.Decided{Words: "no film " + d.Drop + " any more"}, w.DropOrder(ctx, d.Drop)
		case d.Do == "look" && d.Look != nil:
			return w.SetLook(ctx, *d.Look)
		case d.Do == "trim" && d.Trim != nil:
			return w.SetTrim(ctx, d.Of, *d.Trim)
		}
		return job.Decided{}, usage("there is no decision called %q, or it lacks something", d.Do)
	})
}

func (v *Server) undo(r *http.Request) (any, error) {
	ctx, w := v.known(r)
	return v.decided(func() (job.Decided, error) { return w.Undo(ctx) })
}

func (v *Server) redo(r *http.Request) (any, error) {
	ctx, w := v.known(r)
	return v.decided(func() (job.Decided, error) { return w.Redo(ctx) })
}

// decided decides something, one at a time, and tells all pages.
func (v *Server) decided(do func() (job.Decided, error)) (any, error) {
	v.mu.Lock()
	defer v.mu.Unlock()
	d, err := do()
	if err != nil {
		return nil, err
	}
	rev := v.live.changed()
	v.seenVersion()
	return Decided{Rev: rev, Words: d.Words, Changes: orEmpty(d.Changes)}, nil
}

func orEmpty(s []string) []string {
	if s == nil {
		return []string{}
	}
	return s
}

// watch looks for decisions and results that another program made in the same
// film, and tells the pages.
func (v *Server) watch(ctx context.Context) {
	t := time.NewTicker(time.Second)
	defer t.Stop()
	for {
		select {
		case <-ctx.Done():
			return
		case <-t.C:
			if v.seenVersion() {
				v.live.changed()
			}
		}
	}
}

// seenVersion reports whether another program wrote to the film since the last
// call.
func (v *Server) seenVersion() bool {
	changed, err := v.store.ChangedElsewhere(context.Background())
	return err == nil && changed
}

// others answers GET /api/others.
func (v *Server) others(r *http.Request) (any, error) {
	ctx, w := v.known(r)
	span, err := spanOf(r)
	if err != nil {
		return nil, err
	}
	const most = 6
	found, err := w.Others(ctx, orderOf(r), span, most)
	if err != nil {
		return nil, err
	}
	all := Others{Others: []Other{}}
	for _, f := range found {
		n := Other{Shots: []film.Shot{}, Cost: f.Costs.Says, Words: []string{f.Says}, Pins: f.Pins}
		longest := film.Frames(0)
		for _, s := range f.Cut.Shots {
			if f.Cut.At(s.First) < span.To && f.Cut.At(s.End) > span.From {
				n.Shots = append(n.Shots, s)
				if s.End-s.First > longest {
					longest, n.Pass = s.End-s.First, s.Pass
				}
			}
		}
		all.Others = append(all.Others, n)
	}
	return all, nil
}

// why answers GET /api/why.
func (v *Server) why(r *http.Request) (any, error) {
	ctx, w := v.known(r)
	at, err := number(r, "at")
	if err != nil {
		return nil, err
	}
	pass := r.FormValue("pass")
	words, err := w.WhyNot(ctx, orderOf(r), pass, film.SongTime(at))
	if err != nil {
		return nil, err
	}
	passes, err := w.Agree(ctx)
	if err != nil {
		return nil, err
	}
	return Why{Words: words, Overrulable: refusedAt(passes, pass, film.SongTime(at))}, nil
}

// refusedAt reports whether a lined-up pass does not agree at a moment.
func refusedAt(passes []job.Pass, name string, at film.SongTime) bool {
	for i := range passes {
		if passes[i].Name != name {
			continue
		}
		for k := range passes[i].Agreement {
			if score, why, _ := passes[i].Agreement[k].At(at); why != film.WhyNotCovered && score < film.Agrees {
				return true
			}
		}
	}
	return false
}

func orderOf(r *http.Request) string {
	if of := r.FormValue("of"); of != "" {
		return of
	}
	return job.WholeFilm
}

func number(r *http.Request, name string) (float64, error) {
	v, err := strconv.ParseFloat(strings.TrimSpace(r.FormValue(name)), 64)
	if err != nil || v != v || v > 1e9 || v < -1e9 {
		return 0, usage("%s is no number", name)
	}
	return v, nil
}

func spanOf(r *http.Request) (film.SongSpan, error) {
	from, err := number(r, "from")
	if err != nil {
		return film.SongSpan{}, err
	}
	to, err := number(r, "to")
	return film.SongSpan{From: film.SongTime(from), To: film.SongTime(to)}, err
}
