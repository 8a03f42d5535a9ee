package acceptance

import (
	"bufio"
	"context"
	"encoding/json"
	"fmt"
	"net/http"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
)

// sheetFilm makes a film of practice passes in two setups, ready to be served.
func sheetFilm(t *testing.T) string {
	t.Helper()
	day := t.TempDir()
	for file, setup := range map[string]string{"C0059.MP4": "face", "C0062.MP4": "hands", "C0065.MP4": "hands", "C0066.MP4": "wide"} {
		if err := os.MkdirAll(filepath.Join(day, setup), 0o777); err != nil {
			t.Fatal(err)
		}
		if err := os.Link(practice(t, filepath.Join("day01", file)), filepath.Join(day, setup, file)); err != nil {
			native(t, "cp", practice(t, filepath.Join("day01", file)), filepath.Join(day, setup, file))
		}
	}
	dir := filepath.Join(t.TempDir(), "film")
	takeweave(t, "new", dir, "--song", practice(t, "day01", "song.flac")).want(t, 0)
	takeweave(t, "cut", dir, "--clips", day).want(t, 0, 3)
	return dir
}

// serve runs the program on a film and returns its address. The program is ended
// as a person ends it.
func serve(t *testing.T, dir string) string {
	t.Helper()
	return serveWith(t, exec.Command(program, "serve", dir, "--json"))
}

func serveWith(t *testing.T, cmd *exec.Cmd) string {
	t.Helper()
	return serveTelling(t, cmd).Address
}

// served is what the program says of its pages.
type served struct{ Address, Phone string }

func serveTelling(t *testing.T, cmd *exec.Cmd) served {
	t.Helper()
	out, err := cmd.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		_ = cmd.Process.Signal(os.Interrupt)
		done := make(chan error, 1)
		go func() { done <- cmd.Wait() }()
		select {
		case <-done:
			if c := cmd.ProcessState.ExitCode(); c != 0 && c != 130 {
				t.Errorf("serve ended with %d", c)
			}
		case <-time.After(20 * time.Second):
			_ = cmd.Process.Kill()
			t.Error("serve does not end")
		}
	})
	line, err := bufio.NewReader(out).ReadString('\n')
	if err != nil {
		t.Fatal(err)
	}
	var a served
	if err := json.Unmarshal([]byte(line), &a); err != nil {
		t.Fatalf("%q: %v", line, err)
	}
	return a
}

// window is one open page.
type window struct {
	t       *testing.T
	ctx     context.Context
	address string
}

// browse opens a browser with nothing but the page and waits for the sheet. The
// test is skipped where there is no browser.
func browse(t *testing.T, address string, width, height int64) window {
	t.Helper()
	w := open(t, address, width, height)
	w.until("the sheet is there", sheetIsThere)
	return w
}

// open opens the page and waits for nothing.
func open(t *testing.T, address string, width, height int64) window {
	t.Helper()
	w := newWindow(t, width, height)
	w.address = address
	wantQuiet(t, w.ctx)
	w.do(chromedp.EmulateViewport(width, height), chromedp.Navigate(address))
	return w
}

// newWindow opens a browser without a page.
func newWindow(t *testing.T, width, height int64, flags ...chromedp.ExecAllocatorOption) window {
	t.Helper()
	path := ""
	for _, name := range []string{"chromium", "chromium-browser", "google-chrome", "chrome"} {
		if p, err := exec.LookPath(name); err == nil {
			path = p
			break
		}
	}
	if path == "" {
		t.Skip("no Chromium here (make test installs it on Debian)")
	}
	ctx, cancel := chromedp.NewContext(context.Background(), chromedp.WithAllocatorOptions(append(flags,
		chromedp.ExecPath(path), chromedp.NoSandbox, chromedp.UserDataDir(t.TempDir()), chromedp.WindowSize(int(width), int(height)),
		chromedp.Flag("disable-quic", true), chromedp.Flag("no-first-run", true), chromedp.Flag("disable-background-networking", true),
		chromedp.Flag("disable-component-update", true), chromedp.Flag("disable-sync", true), chromedp.Flag("autoplay-policy", "no-user-gesture-required"),
	)...))
	t.Cleanup(cancel)
	return window{t: t, ctx: ctx}
}

const sheetIsThere = `document.querySelectorAll(".tw-rows *").length > 20`

func (w window) do(steps ...chromedp.Action[chromedp.Void]) {
	w.t.Helper()
	if err := chromedp.Do(w.ctx, steps...); err != nil {
		w.t.Fatal(err)
	}
}

func (w window) press(keys string) {
	w.t.Helper()
	for _, k := range keys {
		w.do(chromedp.KeyEvent(string(k)))
		time.Sleep(50 * time.Millisecond) // a person's pace: keys pressed within it count as one gesture
	}
}

// until waits for a condition, a JavaScript expression, for up to 20 s.
func (w window) until(what, condition string) {
	w.t.Helper()
	for end := time.Now().Add(20 * time.Second); time.Now().Before(end); time.Sleep(100 * time.Millisecond) {
		ok, err := chromedp.Run(w.ctx, chromedp.Evaluate[bool]("!!("+condition+")"))
		if err != nil {
			w.t.Fatalf("%s: %v", what, err)
		}
		if ok {
			return
		}
	}
	text, _ := chromedp.Run(w.ctx, chromedp.Evaluate[string]("document.body.innerText.slice(0, 2000)"))
	w.t.Fatalf("%s: never\n%s", what, text)
}

// said reports what the page said last, for those who hear it.
const said = `Array.from(document.querySelectorAll("[role=status],[aria-live]")).map(e => e.innerText).join(" ")`

// answer asks the program as the page does.
func answer(t *testing.T, address, path string, v any) {
	t.Helper()
	res, err := http.Get(address + path)
	if err != nil {
		t.Fatal(err)
	}
	defer res.Body.Close()
	if res.StatusCode != 200 {
		t.Fatalf("%s: %s", path, res.Status)
	}
	if err := json.NewDecoder(res.Body).Decode(v); err != nil {
		t.Fatal(err)
	}
}

type servedFilm struct {
	Pins []struct {
		Kind, Pass, Words string
	}
	Done, Undone []string
}

func pinsOf(t *testing.T, address string) servedFilm {
	t.Helper()
	var f servedFilm
	answer(t, address, "api/film", &f)
	return f
}

// waitFor waits for the film to be as told.
func waitFor(t *testing.T, address, what string, ok func(servedFilm) bool) {
	t.Helper()
	var f servedFilm
	for end := time.Now().Add(20 * time.Second); time.Now().Before(end); time.Sleep(100 * time.Millisecond) {
		if f = pinsOf(t, address); ok(f) {
			return
		}
	}
	t.Fatalf("%s: never; it is %+v", what, f)
}

// The whole of deciding by keys alone: walk to a line and a pass, never show it
// here, take it back, redo it, and find it again after a reload and in a second
// window.
func TestDecidingByKeysInTheBrowser(t *testing.T) {
	address := serve(t, sheetFilm(t))
	a := browse(t, address, 1440, 900)
	b := browse(t, address, 390, 844)

	// How often a window has asked for the film.
	const looked = `performance.getEntriesByType("resource").filter(r => r.name.endsWith("/api/film")).length`
	before, err := chromedp.Run(b.ctx, chromedp.Evaluate[float64](looked))
	if err != nil {
		t.Fatal(err)
	}

	a.press("dd") // two lines on
	a.press("k")  // the first ribbon
	a.press("n")  // never this pass here
	waitFor(t, address, "the pin", func(f servedFilm) bool { return len(f.Pins) == 1 && f.Pins[0].Kind == "not-pass" })
	pass := pinsOf(t, address).Pins[0].Pass
	a.until("what changed is said", said+`.includes("never")`)
	b.until("the other window has looked again", fmt.Sprintf("%s > %g", looked, before))

	a.press("u")
	waitFor(t, address, "taken back", func(f servedFilm) bool { return len(f.Pins) == 0 && len(f.Undone) == 1 })
	a.press("y")
	waitFor(t, address, "done again", func(f servedFilm) bool { return len(f.Pins) == 1 && f.Pins[0].Pass == pass })

	a.do(chromedp.Reload())
	a.until("the sheet is there again", sheetIsThere)
	a.press("u")
	waitFor(t, address, "taken back after a reload", func(f servedFilm) bool { return len(f.Pins) == 0 })

	// From the other window, on a phone.
	b.press("ddkk")
	b.press("n")
	waitFor(t, address, "a pin from the phone", func(f servedFilm) bool { return len(f.Pins) == 1 && f.Pins[0].Pass != pass })
}

// Nothing on the page asks for anything beyond the program, nothing fails, and
// the page fits a phone.
func TestThePageNeedsNothingElse(t *testing.T) {
	address := serve(t, sheetFilm(t))
	w := browse(t, address, 390, 844)
	w.press("d")
	w.press("?")
	time.Sleep(500 * time.Millisecond)
	foreign, err := chromedp.Run(w.ctx, chromedp.Evaluate[string](fmt.Sprintf(`performance.getEntriesByType("resource").map(r => r.name).filter(n => !n.startsWith(%q) && !n.startsWith("blob:") && !n.startsWith("data:")).join(" ")`, strings.TrimSuffix(address, "/"))))
	if err != nil {
		t.Fatal(err)
	}
	if foreign != "" {
		t.Errorf("the page asks elsewhere: %s", foreign)
	}
	w.until("nothing sticks out of a phone", `document.documentElement.scrollWidth <= innerWidth + 1`)
	size, err := chromedp.Run(w.ctx, chromedp.Evaluate[float64](`performance.getEntriesByType("resource").filter(r => r.name.endsWith(".js") || r.name.endsWith(".css")).reduce((s, r) => s + r.decodedBodySize, 0)`))
	if err != nil {
		t.Fatal(err)
	}
	if size == 0 || size > 900e3 { // 300 kB compressed is about three times as much
		t.Errorf("the page is %.0f bytes", size)
	}
}

// TestScreens takes the pictures of docs/screens from the demo film; only when
// asked, by make screens.
func TestScreens(t *testing.T) {
	out, film := os.Getenv("TAKEWEAVE_SCREENS"), os.Getenv("TAKEWEAVE_FILM")
	if out == "" || film == "" {
		t.Skip("make screens takes them")
	}
	said := serveTelling(t, exec.Command(program, "serve", film, "--json", "--on-the-day="+phoneName))
	for _, s := range []struct {
		name          string
		width, height int64
		dark          bool
		keys, then    string // then is run after the keys
	}{
		{"sheet-light", 1440, 900, false, "ddk", ""},
		{"sheet-dark", 1440, 900, true, "ddkkj", ""},
		{"song-light", 1440, 900, false, "zd", ""},
		{"line-dark", 1440, 900, true, "xdd", ""},
		{"others-light", 1440, 900, false, "ddh", ""},
		{"keys-light", 1440, 900, false, "?", ""},
		{"look-light", 1440, 900, false, "dd;'", ""},
		{"before-light", 1440, 1100, false, "", `location.hash = "#before"`},
		{"before-dark", 1440, 1100, true, "", `location.hash = "#before"`},
		{"phone-light", 390, 844, false, "d", ""},
		{"phone-dark", 390, 844, true, "dd", ""},
	} {
		w := browse(t, said.Address, s.width, s.height)
		if s.dark {
			if _, err := chromedp.Run(w.ctx, chromedp.Evaluate[any](`localStorage.setItem("takeweave light", "dark")`)); err != nil {
				t.Fatal(err)
			}
			w.do(chromedp.Reload())
			w.until("the sheet is there again", sheetIsThere)
		}
		w.press(s.keys)
		if s.then != "" {
			eval[any](w, s.then)
		}
		w.keep(filepath.Join(out, s.name+".png"))
	}
	u, err := url.Parse(said.Phone)
	if err != nil {
		t.Fatal(err)
	}
	day := set{t, film, said.Phone, newCable(t, "127.0.0.1:"+u.Port())}
	day.newPhone(390, 844).scan().keep(filepath.Join(out, "day-phone.png"))
}

// keep takes a picture of the page, once its own pictures had time to come.
func (w window) keep(path string) {
	w.t.Helper()
	time.Sleep(3 * time.Second)
	png, err := chromedp.Run(w.ctx, chromedp.CaptureScreenshot())
	if err != nil {
		w.t.Fatal(err)
	}
	if err := os.WriteFile(path, png, 0o666); err != nil {
		w.t.Fatal(err)
	}
}
