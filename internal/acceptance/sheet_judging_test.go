package acceptance

import (
	"fmt"
	"net/url"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
)

// text is what an element of the page says.
func (w window) text(selector string) string {
	w.t.Helper()
	s, err := chromedp.Run(w.ctx, chromedp.Evaluate[string](fmt.Sprintf(`document.querySelector(%q)?.innerText ?? ""`, selector)))
	if err != nil {
		w.t.Fatal(err)
	}
	return s
}

// leaf opens a leaf under the picture by its name.
func (w window) leaf(name string) {
	w.t.Helper()
	w.do(chromedp.Evaluate[chromedp.Void](fmt.Sprintf(`Array.from(document.querySelectorAll(".tw-leaf-names button")).find(b => b.innerText === %q).click()`, name)))
	w.until("the leaf "+name+" lies open", fmt.Sprintf(`document.querySelector(".tw-leaf-names [aria-pressed=true]").innerText === %q`, name))
}

// fileOf is a pass's file as the page writes it.
func fileOf(pass string) string {
	return strings.TrimSuffix(pass[strings.LastIndex(pass, "/")+1:], ".MP4")
}

// Other ways to show a line are walked with their cost and taken; one step takes
// it all back.
func TestOtherWaysInTheBrowser(t *testing.T) {
	address := serve(t, sheetFilm(t))
	w := browse(t, address, 1440, 900)
	lines := 0
	for ; lines < 8; lines++ { // some line has another way
		w.press("dh")
		w.until("the other ways are found", `document.querySelector(".tw-others") || document.querySelector(".tw-leaf").innerText.includes("no other way")`)
		if w.number(`document.querySelectorAll(".tw-others li").length`) > 1 {
			break
		}
	}
	const atHand = `Array.from(document.querySelectorAll(".tw-others li")).findIndex(l => l.hasAttribute("data-at-hand"))`
	w.until("the first is tried", atHand+` === 1`)
	w.until("each has its cost", `Array.from(document.querySelectorAll(".tw-others li button")).slice(1).every(b => b.innerText.replace(b.querySelector("b").innerText, "").trim() !== "")`)
	w.press("i")
	w.until("as it is", atHand+` === 0`)
	w.press("k")
	w.until("tried again", atHand+` === 1`)
	pass := w.text(".tw-others [data-at-hand] b")

	w.press("l")
	waitFor(t, address, "pinned", func(f servedFilm) bool { return len(f.Pins) > 0 && f.Pins[0].Kind == "show-pass" })
	if p := pinsOf(t, address).Pins[0].Pass; !strings.Contains(pass, fileOf(p)) {
		t.Errorf("took %q and pinned %q", pass, p)
	}
	w.until("what was decided is said", `document.querySelector(".tw-slip") && !document.querySelector(".tw-slip[data-refused]")`)
	w.until("the pin is listed", `document.querySelectorAll(".tw-pins li").length > 0`)
	w.press("u")
	waitFor(t, address, "taken back in one step", func(f servedFilm) bool { return len(f.Pins) == 0 })
	w.until("nothing is listed", `document.querySelectorAll(".tw-pins li").length === 0`)
}

// judged is of the film what tells where a pass is refused.
type judged struct {
	Song struct {
		Beats []struct{ At float64 }
	}
	Orders []struct{ ID string }
	Passes []struct {
		Name    string
		Ribbons []struct {
			First int
			Cells []struct{ State string }
		}
	}
}

// refused finds the earliest beat on which a pass is refused.
func (f judged) refused(t *testing.T) (pass string, beat int) {
	t.Helper()
	beat = len(f.Song.Beats)
	for _, p := range f.Passes {
		for _, r := range p.Ribbons {
			for i, c := range r.Cells {
				if b := r.First + i; c.State == "refused" && b >= 0 && b < beat {
					pass, beat = p.Name, b
				}
			}
		}
	}
	if pass == "" {
		t.Fatal("the film has no refused beat to try this on")
	}
	return pass, beat
}

// A refusal is given with its figure, is overruled by one key, and the word of
// the person still stands when the page is opened anew.
func TestOverrulingInTheBrowser(t *testing.T) {
	address := serve(t, sheetFilm(t))
	var f judged
	answer(t, address, "api/film", &f)
	pass, beat := f.refused(t)
	at := f.Song.Beats[beat].At
	var why struct {
		Words       string
		Overrulable bool
	}
	answer(t, address, "api/why?"+url.Values{"of": {f.Orders[0].ID}, "pass": {pass}, "at": {fmt.Sprint(at)}}.Encode(), &why)
	if !why.Overrulable || !strings.ContainsAny(why.Words, "0123456789") {
		t.Errorf("why %s is refused at %.2f s: %+v", pass, at, why)
	}

	w := browse(t, address, 1440, 900)
	file := fileOf(pass)
	beatsBefore := beat
	if f.Song.Beats[0].At > 0.02 {
		beatsBefore++ // the page opens before the first beat
	}
	w.press(strings.Repeat("f", beatsBefore))
	for range f.Passes { // to its ribbon
		w.press("k")
		if strings.Contains(w.text(".tw-what b"), file) {
			break
		}
	}
	w.press("j")
	w.until("why not is said with a figure", `/\d/.test(document.querySelector(".tw-why")?.innerText ?? "")`)
	w.press("o")
	waitFor(t, address, "overruled", func(f servedFilm) bool {
		return len(f.Pins) == 1 && f.Pins[0].Kind == "overrule" && f.Pins[0].Pass == pass
	})
	words := pinsOf(t, address).Pins[0].Words
	w.do(chromedp.Reload())
	w.until("the sheet is there again", sheetIsThere)
	w.leaf("decided")
	w.until("it is told what was decided", `document.querySelectorAll(".tw-told li").length === 1`)
	if got := pinsOf(t, address).Pins; len(got) != 1 || got[0].Words != words {
		t.Errorf("after a reload: %+v, was %q", got, words)
	}
}
