package acceptance

import (
	"encoding/json"
	"fmt"
	"math"
	"net/http"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
)

type servedSong struct {
	Song struct {
		Beats    []struct{ At float64 }
		Sections []struct{ Name string }
		Lines    []struct{ Text string }
	}
}

func songOf(t *testing.T, address string) servedSong {
	t.Helper()
	var s servedSong
	answer(t, address, "api/film", &s)
	return s
}

// editSong corrects the song as the page's leaf does.
func editSong(t *testing.T, address string, edit map[string]any) {
	t.Helper()
	body, err := json.Marshal(map[string]any{"do": "song", "edit": edit})
	if err != nil {
		t.Fatal(err)
	}
	res, err := http.Post(address+"api/decide", "application/json", strings.NewReader(string(body)))
	if err != nil {
		t.Fatal(err)
	}
	defer res.Body.Close()
	if res.StatusCode != http.StatusOK {
		t.Fatalf("%v: %s", edit, res.Status)
	}
}

// filmAsked is how often the page has asked for the film.
const filmAsked = `performance.getEntriesByType("resource").filter(r => r.name.endsWith("/api/film")).length`

// blur leaves the field that has the keys.
var blur = chromedp.Evaluate[chromedp.Void](`document.activeElement?.blur()`)

// What is corrected of the song is on the page without a reload, whoever
// corrected it, and is taken back like every decision.
func TestSongEditsInTheBrowser(t *testing.T) {
	address := serve(t, sheetFilm(t))
	w := browse(t, address, 1440, 900)
	was := songOf(t, address)

	// By the page's own hands: the words of the whole song.
	w.press("dd") // into a section
	w.leaf("the song")
	var words []string
	for i := range was.Song.Lines {
		words = append(words, fmt.Sprintf("the heron waits on number %d", i+1))
	}
	fill := func(button, field, text string) {
		t.Helper()
		w.until(button, fmt.Sprintf(`(() => {
			const form = Array.from(document.querySelectorAll(".tw-song form")).find(f => Array.from(f.querySelectorAll("button")).some(b => b.innerText === %q));
			if (!form) return false;
			form.querySelector("[name=%s]").value = %q;
			form.requestSubmit();
			return true;
		})()`, button, field, text))
	}
	w.until("the whole text can be typed", `(b => b && (b.click(), true))(Array.from(document.querySelectorAll(".tw-song button")).find(b => b.innerText === "type or paste the whole text"))`)
	fill("lay them on the lines", "text", strings.Join(words, "\n"))
	w.until("the words are set", `/the\s+heron\s+waits\s+on\s+number\s+2/.test(document.querySelector(".tw-rows").textContent)`)
	laid := ""
	for _, l := range songOf(t, address).Song.Lines {
		laid += l.Text + " / "
	}
	for _, l := range words {
		if !strings.Contains(laid, l) {
			t.Errorf("%q is lost: %s", l, laid)
		}
	}

	// … and the name of a section.
	fill("name it", "name", "Windfall")
	w.until("the section has its name", `document.querySelector(".tw-rows").innerText.toLowerCase().includes("windfall")`)

	// By another hand, as a second window does it: a beat moves.
	const moved = 5
	at := was.Song.Beats[moved].At + 0.03
	looked := w.number(filmAsked)
	editSong(t, address, map[string]any{"kind": "move-beat", "index": moved, "at": at})
	w.until("the page has looked again", fmt.Sprintf("%s > %g", filmAsked, looked))
	if got := songOf(t, address).Song.Beats[moved].At; math.Abs(got-at) > 1e-3 {
		t.Errorf("the beat is at %.3f, want %.3f", got, at)
	}

	w.do(blur)
	w.press("u")
	waitFor(t, address, "one is taken back", func(f servedFilm) bool { return len(f.Done) == 2 })
	if got := songOf(t, address).Song.Beats[moved].At; math.Abs(got-was.Song.Beats[moved].At) > 1e-3 {
		t.Errorf("the beat is at %.3f, was %.3f", got, was.Song.Beats[moved].At)
	}
	w.press("u")
	w.until("the section has its old name", `!document.querySelector(".tw-rows").innerText.toLowerCase().includes("windfall")`)
	w.press("u")
	w.until("the words are gone", `!document.querySelector(".tw-rows").textContent.includes("heron")`)
	if got := songOf(t, address).Song; got.Lines[1].Text != was.Song.Lines[1].Text || got.Sections[0].Name != was.Song.Sections[0].Name {
		t.Errorf("not as it was: %q, %q", got.Lines[1].Text, got.Sections[0].Name)
	}
}
