package workbench

import (
	"bufio"
	"encoding/json"
	"net/http"
	"net/http/httptest"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"takeweave/internal/film"
	"takeweave/internal/store"
)

// emptyFilm serves a film that has no record yet.
func emptyFilm(t *testing.T) (*Server, *httptest.Server) {
	t.Helper()
	s, err := store.Create(t.Context(), filepath.Join(t.TempDir(), "film"))
	if err != nil {
		t.Fatal(err)
	}
	v := New(s, nil)
	h := httptest.NewUnstartedServer(nil)
	h.Config.Handler = v.Handler(h.Listener.Addr().String())
	h.Start()
	t.Cleanup(func() {
		h.CloseClientConnections()
		h.Close()
		v.Close()
		if err := s.Close(); err != nil {
			t.Error(err)
		}
	})
	return v, h
}

func ask(t *testing.T, method, url, body string, change func(*http.Request)) *http.Response {
	t.Helper()
	r, err := http.NewRequestWithContext(t.Context(), method, url, strings.NewReader(body))
	if err != nil {
		t.Fatal(err)
	}
	if method == http.MethodPost {
		r.Header.Set("Content-Type", "application/json")
	}
	if change != nil {
		change(r)
	}
	res, err := http.DefaultClient.Do(r)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { res.Body.Close() })
	return res
}

// What a page from elsewhere can make a browser send is refused; what our own
// page sends is not.
func TestOnlyOurOwnPageIsAnswered(t *testing.T) {
	_, h := emptyFilm(t)
	port := h.Listener.Addr().String()[strings.LastIndex(h.Listener.Addr().String(), ":"):]
	for name, c := range map[string]struct {
		method string
		change func(*http.Request)
		want   int
	}{
		"itself":                    {"GET", nil, 200},
		"by the name localhost":     {"GET", func(r *http.Request) { r.Host = "localhost" + port }, 200},
		"its own origin":            {"GET", func(r *http.Request) { r.Header.Set("Origin", h.URL) }, 200},
		"a name that points here":   {"GET", func(r *http.Request) { r.Host = "evil.example" + port }, 403},
		"another port":              {"GET", func(r *http.Request) { r.Host = "127.0.0.1:1" }, 403},
		"another origin":            {"GET", func(r *http.Request) { r.Header.Set("Origin", "http://evil.example") }, 403},
		"a sandboxed frame":         {"GET", func(r *http.Request) { r.Header.Set("Origin", "null") }, 403},
		"another site's picture":    {"GET", func(r *http.Request) { r.Header.Set("Sec-Fetch-Site", "cross-site") }, 403},
		"another port of this host": {"GET", func(r *http.Request) { r.Header.Set("Sec-Fetch-Site", "same-site") }, 403},
		"a form's post":             {"POST", func(r *http.Request) { r.Header.Set("Content-Type", "text/plain") }, 415},
	} {
		path := "/"
		if c.method == "POST" {
			path = "/api/undo"
		}
		if res := ask(t, c.method, h.URL+path, "{}", c.change); res.StatusCode != c.want {
			t.Errorf("%s: %d, want %d", name, res.StatusCode, c.want)
		}
	}
	res := ask(t, "GET", h.URL+"/", "", nil)
	policy := res.Header.Get("Content-Security-Policy")
	for _, words := range []string{"default-src 'none'", "script-src 'self'", "frame-ancestors 'none'"} {
		if !strings.Contains(policy, words) {
			t.Errorf("the policy lacks %q: %s", words, policy)
		}
	}
	if strings.Contains(policy, "unsafe") || strings.Contains(policy, "http:") {
		t.Errorf("the policy is loose: %s", policy)
	}
}

func TestWhatFailsSaysWhatToDo(t *testing.T) {
	_, h := emptyFilm(t)
	for name, c := range map[string]struct{ method, path, body string }{
		"no record":         {"GET", "/media/record", ""},
		"unknown decision":  {"POST", "/api/decide", `{"do":"dance"}`},
		"unknown field":     {"POST", "/api/decide", `{"do":"undo","colour":1}`},
		"no JSON":           {"POST", "/api/decide", `{`},
		"no number":         {"GET", "/api/why?pass=x&at=NaN", ""},
		"unknown work":      {"POST", "/api/work", `{"do":"dance"}`},
		"unknown clip":      {"GET", "/media/clip/99", ""},
		"no clip at all":    {"GET", "/media/clip/../../film.db", ""},
		"a span of nothing": {"GET", "/api/others", ""},
	} {
		res := ask(t, c.method, h.URL+c.path, c.body, nil)
		if res.StatusCode < 400 {
			t.Errorf("%s: %d", name, res.StatusCode)
			continue
		}
		if res.StatusCode == http.StatusNotFound && strings.Contains(c.path, "..") {
			continue // cleaned away by the router
		}
		var f Failure
		if err := json.NewDecoder(res.Body).Decode(&f); err != nil || f.Message == "" || f.Hint == "" {
			t.Errorf("%s: %+v, %v", name, f, err)
		}
	}
}

// A page is told of every decision, also of one that another program makes.
func TestPagesStayInStep(t *testing.T) {
	v, h := emptyFilm(t)
	live := func() chan string {
		res := ask(t, "GET", h.URL+"/api/live", "", nil)
		lines := make(chan string, 100)
		go func() {
			defer close(lines)
			for s := bufio.NewScanner(res.Body); s.Scan(); {
				if text, ok := strings.CutPrefix(s.Text(), "data: "); ok {
					lines <- text
				}
			}
		}()
		return lines
	}
	a, b := live(), live()
	next := func(c chan string) string {
		select {
		case l := <-c:
			return l
		case <-time.After(20 * time.Second):
			t.Fatal("nothing arrives")
			return ""
		}
	}
	if x, y := next(a), next(b); x != y {
		t.Errorf("the pages begin at %s and %s", x, y)
	}
	v.live.changed()
	if x, y := next(a), next(b); x != y {
		t.Errorf("the pages are at %s and %s", x, y)
	}
	// Another program decides something in the same film.
	other, err := store.Open(t.Context(), v.store.Dir)
	if err != nil {
		t.Fatal(err)
	}
	defer other.Close()
	v.seenVersion()
	change, err := store.Put("pin", "1", film.Pin{ID: 1})
	if err != nil {
		t.Fatal(err)
	}
	if _, err := other.Decide(t.Context(), "a pin", change); err != nil {
		t.Fatal(err)
	}
	if x, y := next(a), next(b); x != y {
		t.Errorf("the pages are at %s and %s", x, y)
	}
}

func TestAPageThatDoesNotReadIsLetGo(t *testing.T) {
	l := newLive()
	page := make(chan event, 1)
	l.pages[page] = true
	l.works(&Work{Do: "a"}) // fills the page's space
	l.works(&Work{Do: "b"}) // is dropped
	l.changed()
	if e := <-page; e.name != "work" {
		t.Errorf("got %s", e.name)
	}
	if _, open := <-page; open {
		t.Error("the page missed a revision and was not cut off")
	}
}
