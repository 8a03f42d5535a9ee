package acceptance

import (
	"crypto/sha256"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
)

// axe is the published set of accessibility rules, as testdata/axe/README.md names it.
func axe(t *testing.T) string {
	t.Helper()
	code, err := os.ReadFile(filepath.Join("testdata", "axe", "axe.min.js"))
	if err != nil {
		t.Fatal(err)
	}
	readme, err := os.ReadFile(filepath.Join("testdata", "axe", "README.md"))
	if err != nil {
		t.Fatal(err)
	}
	if sum := fmt.Sprintf("%x", sha256.Sum256(code)); !strings.Contains(string(readme), sum) {
		t.Fatalf("axe.min.js is another than that of the README: %s", sum)
	}
	return string(code)
}

// findings are what the rules call serious or critical on the page as it is now.
const findings = `axe.run(document, {}).then(r => {
	if (r.passes.length + r.violations.length === 0) return ["no rule was tried"];
	return r.violations
		.filter(v => v.impact === "serious" || v.impact === "critical")
		.map(v => v.id + ": " + v.help + ": " + v.nodes.slice(0, 3).map(n => n.html.slice(0, 160) + " " + n.any.map(a => a.message).join("; ")).join(" | "));
})`

// The sheet, its list, its leaves and the keys hold to the accessibility rules of
// axe-core, in light and dark and on a phone.
//
// Source: axe-core 4.14.1, whose rules are those of the Web Content Accessibility
// Guidelines 2.2 and good practice beside them.
func TestAccessibilityRulesInTheBrowser(t *testing.T) {
	rules := axe(t)
	address := serve(t, sheetFilm(t))
	for _, page := range []struct {
		name          string
		width, height int64
		light         string
		keys          string
		leaf          string
		look, there   string // a part of the leaf of the look, and what says that it is there
	}{
		{name: "sheet", width: 1440, height: 900, light: "light", keys: "ddk"},
		{name: "sheet, dark", width: 1440, height: 900, light: "dark", keys: "ddkj"},
		{name: "whole song", width: 1440, height: 900, light: "light", keys: "z"},
		{name: "list", width: 1440, height: 900, light: "light", keys: "dd/"},
		{name: "keys", width: 1440, height: 900, light: "light", keys: "?"},
		{name: "keys, dark", width: 1440, height: 900, light: "dark", keys: "?"},
		{name: "phone", width: 390, height: 844, light: "light", keys: "dd"},
		{name: "phone, dark", width: 390, height: 844, light: "dark", keys: "dd"},
		{name: "the song", width: 1440, height: 900, light: "light", leaf: "the song"},
		{name: "setups", width: 1440, height: 900, light: "dark", leaf: "setups"},
		{name: "films", width: 1440, height: 900, light: "light", leaf: "films"},
		{name: "clips", width: 1440, height: 900, light: "light", leaf: "clips"},
		{name: "decided", width: 1440, height: 900, light: "light", leaf: "decided"},
		{name: "look", width: 1440, height: 900, light: "light", leaf: "the look", look: "steps", keys: "'", there: `document.querySelector(".tw-split input")`},
		{name: "look, dark", width: 1440, height: 900, light: "dark", leaf: "the look", look: "steps", there: `!document.querySelector(".tw-look").innerText.includes("Measuring")`},
		{name: "trims", width: 1440, height: 900, light: "light", leaf: "the look", look: "trims", there: `document.querySelector(".tw-steps input[type=range]")`},
		{name: "hardest instants", width: 1440, height: 900, light: "dark", leaf: "the look", look: "hardest instants", there: `document.querySelector(".tw-hardest canvas")`},
		{name: "blind pair", width: 1440, height: 900, light: "light", leaf: "the look", look: "blind pair", there: `document.querySelector(".tw-pair button")`},
		{name: "scopes", width: 1440, height: 900, light: "dark", leaf: "the look", look: "scopes", there: `document.querySelector(".tw-scopes img")`},
	} {
		t.Run(page.name, func(t *testing.T) {
			w := browse(t, address, page.width, page.height)
			w.do(chromedp.Evaluate[chromedp.Void](fmt.Sprintf(`localStorage.setItem("takeweave light", %q)`, page.light)), chromedp.Reload())
			w.until("the sheet is there", sheetIsThere)
			w.press(page.keys)
			if page.leaf != "" {
				w.leaf(page.leaf)
			}
			if page.look != "" {
				w.inLook(page.look)
				w.until("it is there", page.there)
			}
			w.do(chromedp.Evaluate[chromedp.Void](rules))
			found, err := chromedp.Run(w.ctx, chromedp.Evaluate[[]string](findings, chromedp.EvalAwaitPromise))
			if err != nil {
				t.Fatal(err)
			}
			for _, f := range found {
				t.Error(f)
			}
		})
	}
}
