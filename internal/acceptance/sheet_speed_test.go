package acceptance

import (
	"os"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
)

// timeKeys presses keys on the page itself and gives, sorted, the milliseconds from
// each to the picture that follows it.
const timeKeys = `(async keys => {
	const out = [];
	for (const key of keys) {
		const from = performance.now();
		document.dispatchEvent(new KeyboardEvent("keydown", { key, bubbles: true }));
		await new Promise(painted => requestAnimationFrame(() => { const c = new MessageChannel(); c.port1.onmessage = painted; c.port2.postMessage(0); }));
		out.push(performance.now() - from);
		await new Promise(r => setTimeout(r, 60));
	}
	return out.sort((a, b) => a - b);
})`

// TestSpeedInTheBrowser says how quick the page is; it judges nothing, for that the
// machines of the tests are too uneven.
func TestSpeedInTheBrowser(t *testing.T) {
	if os.Getenv("TAKEWEAVE_SOAK") == "" {
		t.Skip("TAKEWEAVE_SOAK=1 measures")
	}
	address := serve(t, sheetFilm(t))
	w := browse(t, address, 1440, 900)
	time.Sleep(3 * time.Second) // what the page gets ready
	ms, err := chromedp.Run(w.ctx, chromedp.Evaluate[[]float64](timeKeys+`("dfkkfdkiffkkdeiszxbbawr".repeat(5))`, chromedp.EvalAwaitPromise))
	if err != nil {
		t.Fatal(err)
	}
	t.Logf("key to picture: median %.0f ms, 95 of 100 within %.0f ms, worst %.0f ms, %d keys", ms[len(ms)/2], ms[len(ms)*95/100], ms[len(ms)-1], len(ms))

	w.press("dd")
	for _, key := range "nun" {
		heal, err := chromedp.Run(w.ctx, chromedp.Evaluate[float64](`new Promise(done => {
			const from = performance.now();
			new MutationObserver((_, o) => { o.disconnect(); requestAnimationFrame(() => done(performance.now() - from)); }).observe(document.querySelector(".tw-leaf"), { childList: true, subtree: true, characterData: true });
			document.dispatchEvent(new KeyboardEvent("keydown", { key: "`+string(key)+`", bubbles: true }));
		})`, chromedp.EvalAwaitPromise))
		if err != nil {
			t.Fatal(err)
		}
		t.Logf("%c: healed on the page after %.0f ms", key, heal)
		time.Sleep(time.Second)
	}
}
