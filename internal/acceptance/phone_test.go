package acceptance

import (
	"context"
	"encoding/json"
	"fmt"
	"net"
	"net/http"
	"net/http/cookiejar"
	"net/url"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
)

// phoneName is a name that no network knows: the browser is told where it is. Its
// page is no secure context, as on a phone; that of localhost would be.
const phoneName = "phone.test"

// set is a film day being filmed: the program, and the network between it and the
// phones.
type set struct {
	t     *testing.T
	dir   string
	phone string // the address with the code, as it is scanned
	cable *cable
}

// onTheDay serves a film that has its song and nothing else.
func onTheDay(t *testing.T) set {
	t.Helper()
	dir := filepath.Join(t.TempDir(), "film")
	takeweave(t, "new", dir, "--song", practice(t, "day01", "song.flac")).want(t, 0)
	said := serveTelling(t, exec.Command(program, "serve", dir, "--json", "--on-the-day="+phoneName, "--room-until", "23:59"))
	u, err := url.Parse(said.Phone)
	if err != nil {
		t.Fatal(err)
	}
	return set{t, dir, said.Phone, newCable(t, "127.0.0.1:"+u.Port())}
}

// newPhone is a phone that has scanned the code.
func (s set) newPhone(width, height int64) window {
	s.t.Helper()
	w := newWindow(s.t, width, height, chromedp.Flag("host-resolver-rules", "MAP "+phoneName+" "+s.cable.address))
	w.t = s.t
	w.do(chromedp.EmulateViewport(width, height))
	w.address = s.phone
	return w
}

func (w window) scan() window {
	w.t.Helper()
	w.do(chromedp.Navigate(w.address))
	w.until("the page of the day", hasTarget("Rolling"))
	w.until("it is connected", `!document.body.innerText.includes("offline")`)
	return w
}

func target(word string) string {
	return fmt.Sprintf(`[...document.querySelectorAll("button, label")].find(b => b.innerText.trim() === %q || b.ariaLabel === %q)`, word, word)
}

func hasTarget(word string) string { return "(" + target(word) + ")" }

// mends mends the network, and the phones notice as phones do.
func (s set) mends(phones ...window) {
	s.t.Helper()
	s.cable.mends()
	for _, w := range phones {
		eval[bool](w, `dispatchEvent(new Event("online"))`)
	}
}

// songIsKnown waits until the program has mapped the song.
func (w window) songIsKnown() {
	w.t.Helper()
	w.until("the song is mapped", `document.querySelector(".bars > *")`)
}

// tap taps a word with a real touch in its middle.
func (w window) tap(words ...string) {
	w.t.Helper()
	for _, word := range words {
		w.until(word+" is there", hasTarget(word))
		at := eval[[]float64](w, `(b => { const r = b.getBoundingClientRect(); return [r.x + r.width / 2, r.y + r.height / 2]; })(`+target(word)+`)`)
		w.do(chromedp.TapXY(at[0], at[1]))
	}
}

func eval[T any](w window, js string) T {
	w.t.Helper()
	v, err := chromedp.Run(w.ctx, chromedp.Evaluate[T](js, chromedp.EvalAwaitPromise))
	if err != nil {
		w.t.Fatalf("%s: %v", js, err)
	}
	return v
}

// logged is an event of the log, as far as the tests look.
type logged struct {
	ID, Phone, Kind, Entry, Setup, Verdict, Text string
	Number                                       int
	Struck                                       *struckThing
}

// struckThing is what was noted of something that was taken down.
type struckThing struct {
	Name, Photo, Dial, Gel string
	HeightCM               float64 `json:"height_cm"`
	DistanceCM             float64 `json:"distance_cm"`
}

func quoted(words string) string { return fmt.Sprintf("%q", words) }

// log asks the program for the log, as another phone.
func (s set) log() []logged {
	s.t.Helper()
	jar, err := cookiejar.New(nil)
	if err != nil {
		s.t.Fatal(err)
	}
	u, err := url.Parse(s.phone)
	if err != nil {
		s.t.Fatal(err)
	}
	direct := &net.Dialer{}
	c := &http.Client{Jar: jar, Transport: &http.Transport{DialContext: func(ctx context.Context, network, _ string) (net.Conn, error) {
		return direct.DialContext(ctx, network, "127.0.0.1:"+u.Port())
	}}}
	defer c.CloseIdleConnections()
	var answer struct{ Events []logged }
	for _, path := range []string{s.phone, "http://" + u.Host + "/state"} {
		res, err := c.Get(path)
		if err != nil {
			s.t.Fatal(err)
		}
		defer res.Body.Close()
		if res.StatusCode != 200 {
			s.t.Fatalf("%s: %s", path, res.Status)
		}
		if strings.HasSuffix(path, "/state") {
			if err := json.NewDecoder(res.Body).Decode(&answer); err != nil {
				s.t.Fatal(err)
			}
		}
	}
	return answer.Events
}

// untilLogged waits until the program has so many events, and gives a moment for
// more than that to arrive.
func (s set) untilLogged(want int) []logged {
	s.t.Helper()
	var got []logged
	for end := time.Now().Add(20 * time.Second); time.Now().Before(end); time.Sleep(100 * time.Millisecond) {
		if got = s.log(); len(got) >= want {
			break
		}
	}
	if len(got) != want {
		s.t.Fatalf("the log has %d events, want %d: %+v", len(got), want, got)
	}
	return got
}

// Two taps log a pass: its number, setup, times and verdict. In the middle of one
// the page comes back as it was, with the network and without.
func TestTwoTapsAndAReload(t *testing.T) {
	s := onTheDay(t)
	w := s.newPhone(390, 844)
	w.scan()
	if eval[bool](w, `isSecureContext`) {
		t.Error("the test's page is a secure context, as a phone's would not be")
	}
	w.tap("setup", "hands")
	w.tap("Rolling")
	w.tap("Keep")
	w.until("the next number", `document.querySelector(".figure").innerText === "2"`)
	got := s.untilLogged(3)
	if b := got[1]; b.Kind != "begin" || b.Number != 1 || b.Setup != "hands" {
		t.Errorf("the first tap logged %+v", b)
	}
	if e := got[2]; e.Kind != "end" || e.Verdict != "keep" || e.Entry != got[1].Entry {
		t.Errorf("the second tap logged %+v", e)
	}
	foreign := eval[string](w, `performance.getEntriesByType("resource").map(r => r.name).filter(n => !n.startsWith(location.origin) && !n.startsWith("data:")).join(" ")`)
	if foreign != "" {
		t.Errorf("the page asks elsewhere: %s", foreign)
	}
	if got := eval[float64](w, `performance.getEntriesByType("resource").filter(r => !/\/(state|events|live)$/.test(r.name)).length`); got != 0 {
		t.Errorf("the page needs %g files beside itself", got)
	}

	w.tap("Rolling", "there!")
	as := func(what string) {
		t.Helper()
		w.until(what, `document.querySelector(".figure")?.innerText === "2" && document.body.innerText.includes("there! 1") && `+hasTarget("Keep"))
	}
	as("rolling")
	w.do(chromedp.Reload())
	as("rolling after a reload")
	t.Logf("the same state %.0f ms after it was asked for", eval[float64](w, `performance.getEntriesByType("navigation")[0].domContentLoadedEventEnd`))
	s.cable.breaks(silence)
	w.do(chromedp.Navigate("about:blank"), chromedp.Navigate("http://"+strings.Split(strings.TrimPrefix(s.phone, "http://"), "/")[0]+"/"))
	as("rolling after it was opened without a network")
	w.tap("Lost")
	w.until("what waits is said", `document.body.innerText.includes("lost")`)
	s.mends(w)
	s.untilLogged(6)
}

// However the network breaks around a tap, nothing is lost and nothing doubled.
func TestTheNetworkBreaksAtEachStep(t *testing.T) {
	s := onTheDay(t)
	w := s.newPhone(390, 844).scan()
	w.tap("setup", "face")
	steps := []string{"Rolling", "there!", "Perhaps", "note", "soft", "undo"}
	events := 1
	for k := range steps {
		for _, how := range []fault{silence, deaf} {
			for i, word := range steps {
				if i == k {
					s.cable.breaks(how)
				}
				w.tap(word)
				if word != "note" { // opens the choice of words
					events++
				}
				if i == k {
					time.Sleep(150 * time.Millisecond) // what is sent meets the fault
				}
				if i == k+1 || k == len(steps)-1 && i == k {
					s.mends(w)
				}
			}
		}
	}
	s.mends(w)
	got := s.untilLogged(events)
	seen := map[string]int{}
	kinds := map[string]int{}
	for _, e := range got {
		seen[e.ID]++
		kinds[e.Kind]++
	}
	passes := 2 * len(steps)
	for id, n := range seen {
		if n != 1 {
			t.Errorf("%s is there %d times", id, n)
		}
	}
	for _, kind := range []string{"begin", "flag", "end", "note", "undo"} {
		if kinds[kind] != passes {
			t.Errorf("%d events of %q, want %d", kinds[kind], kind, passes)
		}
	}
	w.until("the phone knows that all is sent", `!/to send|offline/.test(document.body.innerText)`)
	if n := eval[float64](w, `Number(document.querySelector(".figure").innerText)`); n != float64(passes+1) {
		t.Errorf("the next pass is %g, want %d", n, passes+1)
	}
}

// Two phones tell each other what they log; begun on both without a network, a
// pass is one pass.
func TestTwoPhones(t *testing.T) {
	s := onTheDay(t)
	a, b := s.newPhone(390, 844).scan(), s.newPhone(360, 640).scan()
	a.tap("setup", "wide")
	b.until("the other phone knows the setup", `document.body.innerText.includes("wide")`)
	a.tap("Rolling")
	b.until("the other phone rolls too", hasTarget("Keep"))
	b.tap("Keep")
	a.until("the first phone has the verdict", hasTarget("Rolling"))
	a.until("it says which", `document.body.innerText.includes("1: keep")`)

	s.cable.breaks(silence)
	a.tap("Rolling")
	b.tap("Rolling")
	a.tap("there!", "Perhaps")
	s.mends(a, b)
	s.untilLogged(3 + 4)
	for _, w := range []window{a, b} {
		w.until("one pass on both", `document.querySelector(".figure").innerText === "3" && document.body.innerText.includes("2: perhaps")`)
	}
}

// fault is how a network breaks.
type fault int

const (
	whole   fault = iota
	silence       // no connection at all
	deaf          // requests arrive, answers do not
)

// cable is the network between the phones and the program.
type cable struct {
	address, to string
	mu          sync.Mutex
	fault       fault
	open        map[net.Conn]bool
}

func newCable(t *testing.T, to string) *cable {
	t.Helper()
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	c := &cable{address: l.Addr().String(), to: to, open: map[net.Conn]bool{}}
	t.Cleanup(func() {
		l.Close()
		c.breaks(silence)
	})
	go func() {
		for {
			phone, err := l.Accept()
			if err != nil {
				return
			}
			go c.carry(phone)
		}
	}()
	return c
}

// breaks breaks the network; what is being carried is lost.
func (c *cable) breaks(how fault) {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.fault = how
	if how == silence {
		for conn := range c.open {
			conn.Close()
		}
	}
}

func (c *cable) mends() {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.fault = whole
	for conn := range c.open { // a broken connection does not come back
		conn.Close()
	}
}

func (c *cable) now() fault {
	c.mu.Lock()
	defer c.mu.Unlock()
	return c.fault
}

func (c *cable) carry(phone net.Conn) {
	defer phone.Close()
	if c.now() == silence {
		return
	}
	program, err := net.Dial("tcp", c.to)
	if err != nil {
		return
	}
	defer program.Close()
	c.mu.Lock()
	c.open[phone], c.open[program] = true, true
	c.mu.Unlock()
	defer func() {
		c.mu.Lock()
		delete(c.open, phone)
		delete(c.open, program)
		c.mu.Unlock()
	}()
	go c.pour(program, phone, func() bool { return c.now() != silence })
	c.pour(phone, program, func() bool { return c.now() == whole })
}

// pour carries bytes while passes says so, and swallows them while not.
func (c *cable) pour(to, from net.Conn, passes func() bool) {
	defer to.Close()
	buffer := make([]byte, 1<<16)
	for {
		n, err := from.Read(buffer)
		if n > 0 && passes() {
			if _, err := to.Write(buffer[:n]); err != nil {
				return
			}
		}
		if err != nil {
			return
		}
	}
}
