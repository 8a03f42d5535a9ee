package workbench

import (
	"encoding/json"
	"fmt"
	"net/http"
	"sync"
	"time"
)

// live tells every open page what is new.
type live struct {
	mu      sync.Mutex
	rev     int64
	working *Work
	pages   map[chan event]bool
	closed  bool
}

type event struct {
	name string
	data []byte
}

func newLive() *live {
	// Revisions rise over restarts too, so that a page that was open sees that all
	// may be new.
	return &live{rev: time.Now().UnixMilli(), pages: map[chan event]bool{}}
}

// changed raises the revision and tells all pages.
func (l *live) changed() int64 {
	l.mu.Lock()
	defer l.mu.Unlock()
	l.rev++
	l.tell("rev", l.rev)
	return l.rev
}

// now returns the revision and the work that runs.
func (l *live) now() (int64, *Work) {
	l.mu.Lock()
	defer l.mu.Unlock()
	if l.working == nil {
		return l.rev, nil
	}
	w := *l.working
	return l.rev, &w
}

// works tells how the work goes; nil when none runs.
func (l *live) works(w *Work) {
	l.mu.Lock()
	defer l.mu.Unlock()
	l.working = w
	if w != nil {
		if w.Ended || w.Failed != "" {
			l.working = nil
		}
		l.tell("work", w)
	}
}

// tell sends an event to every page. A page that does not keep up misses events
// about work, never one about a revision: it is cut off and comes back.
func (l *live) tell(name string, v any) {
	data, err := json.Marshal(v)
	if err != nil {
		return
	}
	for page := range l.pages {
		select {
		case page <- event{name, data}:
		default:
			if name == "rev" {
				delete(l.pages, page)
				close(page)
			}
		}
	}
}

func (l *live) close() {
	l.mu.Lock()
	defer l.mu.Unlock()
	l.closed = true
	for page := range l.pages {
		delete(l.pages, page)
		close(page)
	}
}

// stillThere is how often an idle page is told that the program is there.
const stillThere = 15 * time.Second

func (l *live) serve(w http.ResponseWriter, r *http.Request) {
	page := make(chan event, 64)
	l.mu.Lock()
	if l.closed {
		l.mu.Unlock()
		http.Error(w, "ending", http.StatusServiceUnavailable)
		return
	}
	l.pages[page] = true
	rev := l.rev
	l.mu.Unlock()
	defer func() {
		l.mu.Lock()
		delete(l.pages, page)
		l.mu.Unlock()
	}()
	w.Header().Set("Content-Type", "text/event-stream")
	w.Header().Set("Cache-Control", "no-store")
	out := http.NewResponseController(w)
	send := func(format string, a ...any) bool {
		_, err := fmt.Fprintf(w, format, a...)
		return err == nil && out.Flush() == nil
	}
	if !send("event: rev\ndata: %d\n\n", rev) {
		return
	}
	t := time.NewTicker(stillThere)
	defer t.Stop()
	for {
		select {
		case <-r.Context().Done():
			return
		case <-t.C:
			if !send(": still there\n\n") {
				return
			}
		case e, ok := <-page:
			if !ok || !send("event: %s\ndata: %s\n\n", e.name, e.data) {
				return
			}
		}
	}
}
