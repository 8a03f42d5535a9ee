package workbench

import (
	"context"
	"encoding/json"
	"errors"
	"net"
	"net/http"
	"strings"
	"sync"

	"takeweave/internal/film"
	"takeweave/internal/job"
	"takeweave/internal/media"
	"takeweave/internal/store"
	"takeweave/internal/workbench/page"
)

// Server serves one film. Close it when done.
type Server struct {
	store  *store.Store
	engine *media.Engine
	live   *live
	work   *worker
	clips  *clipKinds

	mu   sync.Mutex // held while something is decided: one decision at a time
	base *job.Work  // what is known of the film's files; each answer is a new work on it

	stop context.CancelFunc
	done sync.WaitGroup
}

// New returns the server of the film in s. It watches the film for decisions
// that are made elsewhere, until Close.
func New(s *store.Store, e *media.Engine) *Server {
	ctx, stop := context.WithCancel(context.Background())
	v := &Server{store: s, engine: e, live: newLive(), base: job.New(s, e, nil), stop: stop}
	v.work = newWorker(v)
	v.clips = newClipKinds()
	v.done.Go(func() { v.watch(ctx) })
	return v
}

// Close stops what runs and waits for it.
func (v *Server) Close() {
	v.work.stop()
	v.stop()
	v.done.Wait()
	v.work.wait()
	v.live.close()
}

// Listen opens a port of this machine; port 0 finds a free one. Nothing beyond
// this machine can reach it.
func Listen(ctx context.Context, port int) (net.Listener, error) {
	var c net.ListenConfig
	l, err := c.Listen(ctx, "tcp", net.JoinHostPort("127.0.0.1", itoa(port)))
	if err != nil {
		return nil, &film.Error{Code: film.CodeFailed, Msg: "cannot open port " + itoa(port) + " of this machine", Hint: "choose another with --port, or 0 for any free one", Err: err}
	}
	return l, nil
}

// Handler returns the handler for a server that listens at addr ("127.0.0.1:4321").
// It refuses every other host and origin, so that no page from elsewhere can
// reach the film through the browser.
func (v *Server) Handler(addr string) http.Handler {
	mux := http.NewServeMux()
	mux.Handle("GET /", http.FileServerFS(page.Files))
	v.routes(mux)
	return guard(addr, mux)
}

func (v *Server) routes(mux *http.ServeMux) {
	answer := func(pattern string, f func(r *http.Request) (any, error)) { mux.HandleFunc(pattern, answering(f)) }
	answer("GET /api/film", v.film)
	answer("GET /api/cut", v.cut)
	answer("GET /api/others", v.others)
	answer("GET /api/why", v.why)
	answer("GET /api/look", v.looked)
	answer("GET /api/instants", v.instants)
	answer("POST /api/scopes", v.scopes)
	answer("POST /api/match", v.match)
	answer("POST /api/lut", v.takeLUT)
	answer("GET /api/plan", v.planned)
	answer("POST /api/plan", v.setPlan)
	answer("POST /api/plan/told", v.tellPlan)
	answer("POST /api/plan/to-record", v.planToRecord)
	answer("POST /api/decide", v.decide)
	answer("POST /api/undo", v.undo)
	answer("POST /api/redo", v.redo)
	answer("POST /api/work", v.startWork)
	answer("POST /api/stop", v.stopWork)
	answer("GET /media/wave", v.wave)
	mux.HandleFunc("GET /api/live", v.live.serve)
	media := func(pattern string, f func(w http.ResponseWriter, r *http.Request) error) {
		mux.HandleFunc(pattern, func(w http.ResponseWriter, r *http.Request) {
			if err := f(w, r); err != nil {
				fail(w, err)
			}
		})
	}
	media("GET /media/record", v.record)
	media("GET /media/clip/{id}", v.clip)
	media("GET /media/ear/{pass...}", v.ear)
	media("GET /media/still/{pass...}", v.still)
	media("GET /media/film/{order}", v.finished)
	media("GET /media/look-sheet", v.lookSheet)
	media("GET /print/{page}", v.planPage)
	media("POST /api/table", v.table)
}

// answering answers a request with what f gives, as JSON.
func answering(f func(r *http.Request) (any, error)) http.HandlerFunc {
	return func(w http.ResponseWriter, r *http.Request) {
		a, err := f(r)
		if err != nil {
			fail(w, err)
			return
		}
		w.Header().Set("Content-Type", "application/json")
		w.Header().Set("Cache-Control", "no-store")
		_ = json.NewEncoder(w).Encode(a)
	}
}

// sheetPolicy lets the song sheet have what the program itself serves.
const sheetPolicy = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data: blob:; media-src 'self' blob:; connect-src 'self'; font-src 'none'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'"

// guard lets through only what comes from the sheet itself.
func guard(addr string, next http.Handler) http.Handler {
	_, port, _ := net.SplitHostPort(addr)
	return onlyFrom(map[string]bool{addr: true, "localhost:" + port: true}, sheetPolicy, next)
}

// onlyFrom lets through only what a page asks that was loaded under one of the
// hosts, and gives it a security policy.
func onlyFrom(hosts map[string]bool, policy string, next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if !hosts[r.Host] {
			http.Error(w, "this page is not served under that name", http.StatusForbidden)
			return
		}
		if o := r.Header.Get("Origin"); o != "" && !hosts[strings.TrimPrefix(o, "http://")] {
			http.Error(w, "another page may not ask", http.StatusForbidden)
			return
		}
		if site := r.Header.Get("Sec-Fetch-Site"); site != "" && site != "same-origin" && site != "none" {
			http.Error(w, "another page may not ask", http.StatusForbidden)
			return
		}
		if r.Method == http.MethodPost && !strings.HasPrefix(r.Header.Get("Content-Type"), "application/json") {
			http.Error(w, "JSON is needed", http.StatusUnsupportedMediaType)
			return
		}
		h := w.Header()
		h.Set("Content-Security-Policy", policy)
		h.Set("X-Content-Type-Options", "nosniff")
		h.Set("Referrer-Policy", "no-referrer")
		h.Set("Cross-Origin-Resource-Policy", "same-origin")
		next.ServeHTTP(w, r)
	})
}

// fail answers with what happened and what to do.
func fail(w http.ResponseWriter, err error) {
	status := http.StatusInternalServerError
	switch film.CodeOf(err) {
	case film.CodeUsage:
		status = http.StatusUnprocessableEntity
	case film.CodeNotFound, film.CodeNoCoverage, film.CodeNoClips, film.CodeNeedsStep:
		status = http.StatusNotFound
	}
	f := Failure{Message: err.Error(), Hint: film.HintOf(err)}
	if errors.Is(err, job.ErrNotYet) {
		status = http.StatusNotFound
		f = Failure{Message: "this is not worked out yet", Hint: "let the passes be lined up first"}
	}
	w.Header().Set("Content-Type", "application/json")
	w.WriteHeader(status)
	_ = json.NewEncoder(w).Encode(f)
}
