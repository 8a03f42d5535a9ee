package acceptance

import (
	"bytes"
	"image/png"
	"math"
	"testing"

	"github.com/chromedp/chromedp"
)

// tooSmall lists what on the page breaks its rules of size. A millimetre is taken
// for 6.3 px: the density-independent pixel is 1/160 inch on the phones that
// define it, and a CSS pixel there is one of those (from memory). Text is measured
// by its capitals, figures by their height. Source of the sizes: common practice
// for reading at arm's length, 20 minutes of arc and more.
const tooSmall = `(() => {
	const mm = 6.3, said = [], pen = document.createElement("canvas").getContext("2d");
	const seen = e => { const r = e.getBoundingClientRect(); return r.width > 1 && r.height > 1; };
	for (const e of document.querySelectorAll("#page *")) {
		if (!seen(e) || ![...e.childNodes].some(n => n.nodeType === 3 && n.data.trim())) continue;
		const s = getComputedStyle(e);
		pen.font = s.fontWeight + " " + s.fontSize + " " + s.fontFamily;
		const tall = pen.measureText(e.closest(".figure") ? "7" : "H").actualBoundingBoxAscent / mm;
		const least = e.closest(".figure") ? 12 : 4;
		if (tall < least - 0.05) said.push(e.innerText + ": " + tall.toFixed(2) + " mm high");
	}
	for (const b of document.querySelectorAll(".target")) {
		const r = b.getBoundingClientRect();
		if (Math.min(r.width, r.height) < 15 * mm - 0.5) said.push(b.innerText + ": a target of " + (r.width / mm).toFixed(1) + " by " + (r.height / mm).toFixed(1) + " mm");
		if (r.top < innerHeight / 2 - 1 || r.bottom > innerHeight || r.left < 0 || r.right > innerWidth) said.push(b.innerText + ": not in the lower half");
		if (b.scrollWidth > b.clientWidth || b.scrollHeight > b.clientHeight) said.push(b.innerText + ": its word is cut off");
	}
	for (const e of [document.documentElement, ...document.querySelectorAll(".above")])
		if (e.scrollHeight > e.clientHeight + 1 || e.scrollWidth > e.clientWidth + 1) said.push("what is told does not fit: " + e.innerText);
	return said;
})()`

// nits is the mean luminance of the page on a screen of 300 cd/m².
func (w window) nits() float64 {
	w.t.Helper()
	shot, err := chromedp.Run(w.ctx, chromedp.CaptureScreenshot())
	if err != nil {
		w.t.Fatal(err)
	}
	img, err := png.Decode(bytes.NewReader(shot))
	if err != nil {
		w.t.Fatal(err)
	}
	linear := func(v uint32) float64 { // IEC 61966-2-1, from memory
		c := float64(v) / 0xffff
		if c <= 0.04045 {
			return c / 12.92
		}
		return math.Pow((c+0.055)/1.055, 2.4)
	}
	sum, n := 0.0, 0
	for y := img.Bounds().Min.Y; y < img.Bounds().Max.Y; y += 2 {
		for x := img.Bounds().Min.X; x < img.Bounds().Max.X; x += 2 {
			r, g, b, _ := img.At(x, y).RGBA()
			sum += 0.2126*linear(r) + 0.7152*linear(g) + 0.0722*linear(b)
			n++
		}
	}
	return 300 * sum / float64(n)
}

// Every page of the phone can be read at arm's length and used with one thumb of
// either hand, lights up little, and holds to the rules of axe-core.
func TestThePhoneIsForOneThumb(t *testing.T) {
	rules := axe(t)
	s := onTheDay(t)
	const most = 6.0 // cd/m²
	for _, phone := range []struct {
		name          string
		width, height int64
		left          bool
	}{{"right hand", 390, 844, false}, {"left hand, small", 360, 640, true}} {
		t.Run(phone.name, func(t *testing.T) {
			s := s
			s.t = t
			w := s.newPhone(phone.width, phone.height)
			wantQuiet(t, w.ctx)
			w.scan()
			w.songIsKnown()
			if phone.left {
				w.tap("more", "next", "left", "close")
			}
			w.do(chromedp.Evaluate[chromedp.Void](rules))
			for _, page := range []struct {
				name string
				taps []string
			}{
				{"no setup", nil},
				{"setups", []string{"setup"}},
				{"ready", []string{"hands"}},
				{"rolling", []string{"Rolling"}},
				{"there", []string{"there!"}},
				{"kept", []string{"Keep"}},
				{"notes", []string{"note"}},
				{"more notes", []string{"next"}},
				{"loop", []string{"close", "loop"}},
				{"lines", []string{"A2"}},
				{"looped", []string{"A2.1", "A2.2"}},
				{"more", []string{"more"}},
				{"lamps", []string{"lamps"}},
				{"a lamp", []string{"back"}},
				{"put back", []string{"close", "more", "put back"}},
				{"things", []string{"add"}},
				{"a thing", []string{"fridge"}},
				{"card", []string{"close", "more", "card"}},
				{"new card", []string{"256"}},
				{"voice", []string{"more", "voice"}},
				{"add", []string{"full", "more", "add"}},
				{"added", []string{"face"}},
				{"its place", []string{"Perhaps"}},
				{"why", []string{"the last", "more", "why"}},
				{"stopped now", []string{"next"}},
				{"strike", []string{"close", "strike"}},
				{"leaving", []string{"close", "more", "leaving"}},
				{"tone", []string{"tone"}},
				{"cards", []string{"stop", "cards"}},
				{"too few cards", []string{"0"}},
			} {
				w.tap(page.taps...)
				w.until(page.name, `document.querySelector("main")`)
				for _, small := range eval[[]string](w, tooSmall) {
					t.Errorf("%s: %s", page.name, small)
				}
				if !phone.left { // the rules do not look at sizes
					for _, f := range eval[[]string](w, findings) {
						t.Errorf("%s: %s", page.name, f)
					}
				}
				if got := w.nits(); got > most {
					t.Errorf("%s: %.1f cd/m² on a screen of 300, want at most %g", page.name, got, most)
				}
			}
		})
	}
}
