package workbench

import (
	"encoding/base64"
	"encoding/json"
	"fmt"
	"net/http"
	"net/http/cookiejar"
	"net/http/httptest"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"takeweave/internal/daylog"
	"takeweave/internal/store"
)

// onTheDay serves a film without a record to phones, and returns its pairing.
func onTheDay(t *testing.T) (*Server, *httptest.Server, *Pairing) {
	t.Helper()
	s, err := store.Create(t.Context(), filepath.Join(t.TempDir(), "film"))
	if err != nil {
		t.Fatal(err)
	}
	v := New(s, nil)
	p, err := NewPairing(t.Context(), s)
	if err != nil {
		t.Fatal(err)
	}
	h := httptest.NewUnstartedServer(nil)
	port := h.Listener.Addr().String()[strings.LastIndex(h.Listener.Addr().String(), ":")+1:]
	h.Config.Handler = v.OnTheDay([]string{"127.0.0.1"}, port, p)
	h.Start()
	t.Cleanup(func() {
		h.CloseClientConnections()
		h.Close()
		v.Close()
		if err := s.Close(); err != nil {
			t.Error(err)
		}
	})
	return v, h, p
}

// routes of the phone, as the page asks for them.
var phoneRoutes = []struct{ method, path string }{
	{"GET", "/"}, {"GET", "/state"}, {"POST", "/events"}, {"POST", "/photo"}, {"GET", "/live"},
}

// asPhone shows what a paired phone shows.
func asPhone(p *Pairing) func(*http.Request) {
	return func(r *http.Request) { r.AddCookie(&http.Cookie{Name: cookie, Value: p.pass}) }
}

func TestNobodyGetsInWithoutTheCode(t *testing.T) {
	_, h, p := onTheDay(t)
	for _, route := range append(phoneRoutes, struct{ method, path string }{"GET", "/pair"}, struct{ method, path string }{"GET", "/pair?code="}) {
		if res := ask(t, route.method, h.URL+route.path, "{}", nil); res.StatusCode != http.StatusForbidden {
			t.Errorf("%s %s without anything: %d", route.method, route.path, res.StatusCode)
		}
	}
	for name, value := range map[string]string{"a wrong one": strings.Repeat("0", 64), "the code": p.code, "a part": p.pass[:63], "none": ""} {
		res := ask(t, "GET", h.URL+"/state", "", func(r *http.Request) { r.AddCookie(&http.Cookie{Name: cookie, Value: value}) })
		if res.StatusCode != http.StatusForbidden {
			t.Errorf("with %s for a cookie: %d", name, res.StatusCode)
		}
	}
}

func TestPairing(t *testing.T) {
	v, h, p := onTheDay(t)
	jar, err := cookiejar.New(nil)
	if err != nil {
		t.Fatal(err)
	}
	phone := &http.Client{Jar: jar}
	res, err := phone.Get(p.Address("127.0.0.1", h.URL[strings.LastIndex(h.URL, ":")+1:]))
	if err != nil {
		t.Fatal(err)
	}
	defer res.Body.Close()
	if res.StatusCode != 200 || res.Request.URL.Path != "/" || res.Request.URL.RawQuery != "" {
		t.Errorf("scanning the code leads to %s: %d", res.Request.URL, res.StatusCode)
	}
	for _, c := range jar.Cookies(res.Request.URL) {
		if strings.Contains(c.Value, p.code) || c.Value != p.pass {
			t.Errorf("the cookie is %q", c.Value)
		}
	}
	// Another start of the program knows the same phones.
	again, err := NewPairing(t.Context(), v.store)
	if err != nil || again.pass != p.pass {
		t.Errorf("the next start has another code: %v", err)
	}
}

// A page from elsewhere that made its own name point to this machine is refused,
// with the cookie too; so is another page's request.
func TestOtherNamesAndPagesAreRefused(t *testing.T) {
	_, h, p := onTheDay(t)
	port := h.URL[strings.LastIndex(h.URL, ":"):]
	for name, change := range map[string]func(*http.Request){
		"a name that points here": func(r *http.Request) { r.Host = "evil.example" + port },
		"localhost":               func(r *http.Request) { r.Host = "localhost" + port },
		"another port":            func(r *http.Request) { r.Host = "127.0.0.1:1" },
		"another origin":          func(r *http.Request) { r.Header.Set("Origin", "http://evil.example") },
		"another site":            func(r *http.Request) { r.Header.Set("Sec-Fetch-Site", "cross-site") },
	} {
		res := ask(t, "GET", h.URL+"/state", "", func(r *http.Request) {
			asPhone(p)(r)
			change(r)
		})
		if res.StatusCode != http.StatusForbidden {
			t.Errorf("%s: %d", name, res.StatusCode)
		}
	}
}

func TestGuessingIsSlowed(t *testing.T) {
	_, h, p := onTheDay(t)
	now := time.Now()
	p.now = func() time.Time { return now }
	guess := func() int { return ask(t, "GET", h.URL+"/pair?code=00", "", nil).StatusCode }
	for range int(mostGuesses) {
		if got := guess(); got != http.StatusForbidden {
			t.Fatalf("a wrong code: %d", got)
		}
	}
	if got := guess(); got != http.StatusTooManyRequests {
		t.Errorf("one more wrong code: %d", got)
	}
	if res := ask(t, "GET", h.URL+"/state", "", asPhone(p)); res.StatusCode != 200 {
		t.Errorf("a paired phone behind the same address: %d", res.StatusCode)
	}
	now = now.Add(secondsPerGuess * time.Second)
	if got := guess(); got != http.StatusForbidden {
		t.Errorf("after a while: %d", got)
	}
	if got := guess(); got != http.StatusTooManyRequests {
		t.Errorf("the one after that: %d", got)
	}
}

// The phones have their few routes and nothing of the sheet.
func TestPhonesReachNothingElse(t *testing.T) {
	_, h, p := onTheDay(t)
	for _, path := range []string{"/api/film", "/api/cut", "/media/record", "/media/clip/1", "/app.js", "/index.html", "/film.db", "/../film.db", "/pair"} {
		if res := ask(t, "GET", h.URL+path, "", asPhone(p)); res.StatusCode < 400 {
			t.Errorf("%s: %d", path, res.StatusCode)
		}
	}
	if res := ask(t, "POST", h.URL+"/api/decide", "{}", asPhone(p)); res.StatusCode < 400 {
		t.Errorf("deciding: %d", res.StatusCode)
	}
	res := ask(t, "GET", h.URL+"/", "", asPhone(p))
	policy := res.Header.Get("Content-Security-Policy")
	if strings.Contains(policy, "unsafe") || !strings.Contains(policy, "script-src 'sha256-") || !strings.Contains(policy, "default-src 'none'") {
		t.Errorf("the policy is %s", policy)
	}
}

func stateOf(t *testing.T, h *httptest.Server, p *Pairing) DayState {
	t.Helper()
	res := ask(t, "GET", h.URL+"/state", "", asPhone(p))
	var s DayState
	if err := json.NewDecoder(res.Body).Decode(&s); err != nil || res.StatusCode != 200 {
		t.Fatal(res.Status, err)
	}
	return s
}

// However often and in whatever order a phone sends its events, each is kept once
// as it was sent first.
func TestEventsAreKeptOnce(t *testing.T) {
	_, h, p := onTheDay(t)
	film := stateOf(t, h, p).Film
	send := func(want int, events ...daylog.Event) {
		t.Helper()
		body, err := json.Marshal(DayEvents{Film: film, Events: events})
		if err != nil {
			t.Fatal(err)
		}
		res := ask(t, "POST", h.URL+"/events", string(body), asPhone(p))
		var taken DayTaken
		if err := json.NewDecoder(res.Body).Decode(&taken); err != nil || res.StatusCode != 200 || taken.Added != want {
			t.Fatal(res.Status, taken, err)
		}
	}
	begin := daylog.Event{ID: "e1", Phone: "a", Count: 1, At: 1000, Kind: daylog.Begin, Entry: "p1", Number: 1, Setup: "hands"}
	end := daylog.Event{ID: "e2", Phone: "a", Count: 2, At: 201_000, Kind: daylog.End, Entry: "p1", Verdict: daylog.Keep}
	send(1, end)
	send(1, begin, end)
	changed := begin
	changed.Setup = "face"
	send(0, changed, begin, begin)
	s := stateOf(t, h, p)
	if len(s.Events) != 2 {
		t.Fatalf("kept %d events", len(s.Events))
	}
	entries := daylog.Replay(s.Events).Entries
	if len(entries) != 1 || entries[0].Setup != "hands" || entries[0].Verdict != daylog.Keep {
		t.Errorf("the log is %+v", entries)
	}
	for name, body := range map[string]string{"no id": `{"film":"` + film + `","events":[{"phone":"a","kind":"begin"}]}`, "another film": `{"film":"x","events":[]}`, "unknown field": `{"events":[],"x":1}`, "no JSON": `{`} {
		if res := ask(t, "POST", h.URL+"/events", body, asPhone(p)); res.StatusCode != http.StatusUnprocessableEntity {
			t.Errorf("%s: %d", name, res.StatusCode)
		}
	}
	if n := len(stateOf(t, h, p).Events); n != 2 {
		t.Errorf("what was refused left %d events", n)
	}
}

func TestPhotosAreKept(t *testing.T) {
	_, h, p := onTheDay(t)
	send := func(name string, jpeg []byte) int {
		body, err := json.Marshal(DayPhoto{name, base64.StdEncoding.EncodeToString(jpeg)})
		if err != nil {
			t.Fatal(err)
		}
		return ask(t, "POST", h.URL+"/photo", string(body), asPhone(p)).StatusCode
	}
	jpeg := []byte{0xff, 0xd8, 0xff, 0xe0, 1, 2, 3}
	for range 2 {
		if got := send("0123456789abcdef", jpeg); got != 200 {
			t.Errorf("a photo: %d", got)
		}
	}
	for i, bad := range []string{"", "../../film", "a/b", strings.Repeat("a", 65)} {
		if got := send(bad, jpeg); got != http.StatusUnprocessableEntity {
			t.Errorf("name %d: %d", i, got)
		}
	}
	if got := send("0123456789abcdef", []byte("<html>")); got != http.StatusUnprocessableEntity {
		t.Errorf("no photo: %d", got)
	}
}

// The port stays, for a browser keeps what was logged under it.
func TestThePortStays(t *testing.T) {
	v, _, _ := onTheDay(t)
	var ports []string
	for range 2 {
		l, err := v.ListenOnTheDay(t.Context())
		if err != nil {
			t.Fatal(err)
		}
		addr := l.Addr().String()
		ports = append(ports, addr[strings.LastIndex(addr, ":"):])
		if err := l.Close(); err != nil {
			t.Fatal(err)
		}
	}
	if ports[0] != ports[1] {
		t.Error(fmt.Sprint(ports))
	}
}
