package acceptance

import (
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// focused tells of the element that has the keys: what it is, whether it is on the
// sheet, whether its focus can be seen.
const focused = `(() => {
	const e = document.activeElement;
	if (!e || e === document.body) return { is: "", seen: true };
	const s = getComputedStyle(e), box = e.getBoundingClientRect();
	window.reached ??= new Set();
	window.reached.add(e);
	const seen = (s.outlineStyle !== "none" && parseFloat(s.outlineWidth) > 0) || s.boxShadow !== "none";
	return { is: e.tagName + " " + (e.getAttribute("aria-label") ?? e.innerText ?? "").slice(0, 60), seen: seen && box.width > 0 && box.height > 0 };
})()`

// missed are the elements that can have the keys and were not reached.
const missed = `Array.from(document.querySelectorAll("a[href], button, input, select, textarea, summary, [tabindex]"))
	.filter(e => e.tabIndex >= 0 && !e.disabled && e.checkVisibility({ checkVisibilityCSS: true }) && !e.closest("dialog:not([open])") && !window.reached.has(e))
	.map(e => e.tagName + " " + (e.getAttribute("aria-label") ?? e.innerText ?? e.name ?? "").slice(0, 60))`

// With the tabulator alone everything is reached, and one always sees where one is.
func TestKeyboardOnlyInTheBrowser(t *testing.T) {
	address := serve(t, sheetFilm(t))
	w := browse(t, address, 1440, 900)
	tabAround := func() {
		t.Helper()
		before := w.number(`(window.reached = new Set()).size`)
		for range 400 {
			w.do(chromedp.KeyEvent(kb.Tab))
			at, err := chromedp.Run(w.ctx, chromedp.Evaluate[struct {
				Is   string
				Seen bool
			}](focused))
			if err != nil {
				t.Fatal(err)
			}
			if !at.Seen {
				t.Errorf("the focus on %q cannot be seen", at.Is)
			}
			now := w.number("window.reached.size")
			if now == before && at.Is != "" {
				break // round again
			}
			before = now
		}
		left, err := chromedp.Run(w.ctx, chromedp.Evaluate[[]string](missed))
		if err != nil {
			t.Fatal(err)
		}
		for _, e := range left {
			t.Errorf("not reached: %s", e)
		}
		if before < 10 {
			t.Errorf("only %g places reached", before)
		}
	}
	tabAround()

	// The list says in words what the drawing shows.
	w.do(blur)
	w.press("d/")
	w.until("the list is there", `document.querySelectorAll(".tw-list h3 button").length > 5`)
	w.until("it tells of the cut and the passes", `/The cut from/.test(document.querySelector(".tw-twin").innerText) && /holds|refused|doubtful/.test(document.querySelector(".tw-twin").innerText)`)
	tabAround()

	// The keys open and close by a key, and the keys stay within meanwhile.
	w.do(blur)
	w.press("?")
	w.until("the keys are shown", `document.querySelector("dialog.tw-keys[open]")`)
	w.do(chromedp.KeyEvent(kb.Tab))
	w.until("the focus is within", `document.activeElement === document.body || document.activeElement.closest("dialog")`)
	w.do(chromedp.KeyEvent(kb.Escape))
	w.until("the keys are put away", `!document.querySelector("dialog.tw-keys[open]")`)
}
