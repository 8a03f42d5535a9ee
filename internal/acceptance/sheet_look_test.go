package acceptance

import (
	"bytes"
	"encoding/base64"
	"encoding/json"
	"fmt"
	"image"
	"image/color"
	"image/png"
	"math"
	"math/rand/v2"
	"net/http"
	"net/http/httptest"
	"net/http/httputil"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"takeweave/internal/crop"
	"takeweave/internal/film"
	"takeweave/internal/interchange"
	"takeweave/internal/look"
	"takeweave/internal/media"
)

// fullLook has every step of a look that needs no file.
func fullLook() look.Look {
	cdl := film.CDL{Slope: [3]float64{1.08, 1, 0.94}, Offset: [3]float64{0.01, 0, -0.01}, Power: [3]float64{1.05, 1, 0.97}, Saturation: 1.12}
	return look.Look{
		ExposureStops: 0.35, White: look.White{ShiftMired: 22, Tint: 4}, CDL: &cdl,
		Curve: []look.Knot{{In: 0, Out: 0.01}, {In: 0.25, Out: 0.2}, {In: 0.75, Out: 0.81}, {In: 1, Out: 0.98}},
		Edge:  look.Edge{Stops: 1.3, X: 0.1}, Letterbox: "2.39:1",
	}
}

// decideLook decides a look as the page does.
func decideLook(t *testing.T, address string, l look.Look) {
	t.Helper()
	body, err := json.Marshal(map[string]any{"do": "look", "look": l})
	if err != nil {
		t.Fatal(err)
	}
	res, err := http.Post(address+"api/decide", "application/json", bytes.NewReader(body))
	if err != nil {
		t.Fatal(err)
	}
	defer res.Body.Close()
	if res.StatusCode != http.StatusOK {
		t.Fatalf("the look is not decided: %s", res.Status)
	}
}

// behind is the address of a page whose stills are all the given picture; all else
// is the program's.
func behind(t *testing.T, address string, still []byte) string {
	t.Helper()
	to, err := url.Parse(address)
	if err != nil {
		t.Fatal(err)
	}
	program := &httputil.ReverseProxy{FlushInterval: -1, Rewrite: func(r *httputil.ProxyRequest) {
		r.SetURL(to) // and with it the host
		r.Out.Header.Del("Origin")
	}}
	h := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if strings.HasPrefix(r.URL.Path, "/media/still/") {
			w.Header().Set("Content-Type", "image/png")
			_, _ = w.Write(still)
			return
		}
		program.ServeHTTP(w, r)
	}))
	t.Cleanup(func() {
		h.CloseClientConnections()
		h.Close()
	})
	return h.URL + "/"
}

// patch is the side of the patches of a test picture in pixels. Only their middle
// is compared, which the coarser colour of a coded film leaves alone.
const patch, margin = 16, 6

// patches is a picture of patches of all colours.
func patches(w, h int) *image.NRGBA {
	chance := rand.New(rand.NewPCG(3, 4))
	img := image.NewNRGBA(image.Rect(0, 0, w, h))
	for y := 0; y < h; y += patch {
		for x := 0; x < w; x += patch {
			c := color.NRGBA{uint8(chance.IntN(256)), uint8(chance.IntN(256)), uint8(chance.IntN(256)), 255}
			for i := range patch * patch {
				img.SetNRGBA(x+i%patch, y+i/patch, c)
			}
		}
	}
	return img
}

// rendered renders a picture as a shot of a film with a look, and decodes it again.
func rendered(t *testing.T, still []byte, w, h int, l look.Look) ([]byte, look.Bars) {
	t.Helper()
	dir := t.TempDir()
	file := func(name string, content []byte) string {
		path := filepath.Join(dir, name)
		if err := os.WriteFile(path, content, 0o600); err != nil {
			t.Fatal(err)
		}
		return path
	}
	clip, shot := filepath.Join(dir, "clip.mp4"), filepath.Join(dir, "shot.mp4")
	native(t, "ffmpeg", "-v", "error", "-loop", "1", "-r", "25", "-i", file("still.png", still), "-frames:v", "5",
		"-vf", "scale=out_color_matrix=bt709:out_range=tv:flags=accurate_rnd+full_chroma_int,format=yuv444p10", "-c:v", "libx264", "-qp", "0", "-preset", "ultrafast",
		"-color_range", "tv", "-colorspace", "bt709", "-color_primaries", "bt709", "-color_trc", "bt709", clip)
	chain, err := look.NewChain(l, look.Trim{}, nil, nil)
	if err != nil {
		t.Fatal(err)
	}
	cube, err := interchange.WriteCube(chain.BakeWell().LUT("look"))
	if err != nil {
		t.Fatal(err)
	}
	ratio, err := crop.Ratio(l.Letterbox)
	if err != nil {
		t.Fatal(err)
	}
	bars := look.Letterbox(w, h, ratio)
	e, err := media.Find(t.Context(), media.Options{})
	if err != nil {
		t.Fatal(err)
	}
	if err := e.CanEncode(media.HEVC); err != nil {
		t.Skip(err)
	}
	info, err := e.Probe(t.Context(), clip)
	if err != nil {
		t.Fatal(err)
	}
	err = e.Shot(t.Context(), media.ShotSpec{
		Source: clip, Info: info, Frames: 2, Rate: film.Rate{Num: 25, Den: 1}, Width: w, Height: h, Out: shot,
		Grade:   media.Grade{Table: file("look.cube", cube), EdgeAngle: l.Edge.Angle(), EdgeX: l.Edge.X, EdgeY: l.Edge.Y, BarsTop: bars.Top, BarsLeft: bars.Left},
		Encoder: media.EncoderSettings{Codec: media.HEVC, Bits: 10, Preset: "ultrafast", CRF: 1},
	}, nil)
	if err != nil {
		t.Fatal(err)
	}
	return native(t, "ffmpeg", "-v", "error", "-i", shot, "-frames:v", "1", "-vf", "scale=in_color_matrix=bt709:in_range=tv:flags=accurate_rnd+full_chroma_int,format=rgb24", "-f", "rawvideo", "-"), bars
}

// The look that the page paints, in the browser's own graphics, is that of the
// rendered film: a mean of at most one code of 255, and never more than three. The
// film is rendered in 10 bits and as finely as it can be, so that little of what is
// measured is its coding.
func TestThePageShowsTheLookOfTheFilm(t *testing.T) {
	address := serve(t, sheetFilm(t))
	var f struct {
		Orders []struct{ Width, Height int }
	}
	answer(t, address, "api/film", &f)
	w, h := f.Orders[0].Width, f.Orders[0].Height
	img := patches(w, h)
	var still bytes.Buffer
	if err := png.Encode(&still, img); err != nil {
		t.Fatal(err)
	}
	l := fullLook()
	decideLook(t, address, l)
	page := browse(t, behind(t, address, still.Bytes()), 1440, 900)
	page.leaf("the look")
	page.inLook("hardest instants")
	page.until("an instant is painted with the film's own table", fmt.Sprintf(`document.querySelector(".tw-hardest canvas[data-exact]")?.width === %d`, w))
	address64, err := chromedp.Run(page.ctx, chromedp.Evaluate[string](`document.querySelector(".tw-hardest canvas[data-exact]").toDataURL("image/png").split(",")[1]`))
	if err != nil {
		t.Fatal(err)
	}
	file, err := base64.StdEncoding.DecodeString(address64)
	if err != nil {
		t.Fatal(err)
	}
	painted, err := png.Decode(bytes.NewReader(file))
	if err != nil {
		t.Fatal(err)
	}
	film, bars := rendered(t, still.Bytes(), w, h, l)
	compareCodes(t, painted, film, img, bars)
}

// compareCodes compares the middles of patches, but for lines beside the bars.
func compareCodes(t *testing.T, painted image.Image, film []byte, plain *image.NRGBA, bars look.Bars) {
	t.Helper()
	const mostMean, most = 1, 3
	b := painted.Bounds()
	var sum, worst, moved float64
	n := 0
	besideBar := func(y int) bool {
		fromTop := min(y, b.Dy()-1-y)
		return fromTop >= bars.Top-margin && fromTop < bars.Top+margin
	}
	for y := range b.Dy() {
		if besideBar(y) {
			continue
		}
		for x := range b.Dx() {
			if x%patch < margin || x%patch >= patch-margin || y%patch < margin || y%patch >= patch-margin {
				continue
			}
			r, g, bl, _ := painted.At(x, y).RGBA()
			before := plain.NRGBAAt(x, y)
			for k, v := range []uint32{r, g, bl} {
				code := float64(v >> 8)
				d := math.Abs(code - float64(film[3*(y*b.Dx()+x)+k]))
				sum, worst, n = sum+d, max(worst, d), n+1
				moved += math.Abs(code - float64([]uint8{before.R, before.G, before.B}[k]))
			}
		}
	}
	t.Logf("%d values: %.3f codes of 255 apart on average, %.0f at most; the look itself moves them by %.1f", n, sum/float64(n), worst, moved/float64(n))
	if sum/float64(n) > mostMean || worst > most {
		t.Errorf("page and film are %.3f codes apart on average, %.0f at most; want %d and %d", sum/float64(n), worst, mostMean, most)
	}
	if moved/float64(n) < 10 {
		t.Error("the look is not laid on")
	}
}

// inLook opens a part of the leaf of the look.
func (w window) inLook(part string) {
	w.t.Helper()
	w.click(".tw-look button", part)
}

// click presses the button of a name.
func (w window) click(buttons, name string) {
	w.t.Helper()
	w.until(name+" can be pressed", fmt.Sprintf(`[...document.querySelectorAll(%q)].some(b => b.innerText.trim() === %q && !b.disabled)`, buttons, name))
	w.do(chromedp.Evaluate[chromedp.Void](fmt.Sprintf(`[...document.querySelectorAll(%q)].find(b => b.innerText.trim() === %q).click()`, buttons, name)))
}

// drag moves a slider as a hand does and says how many times a second the large
// picture was painted meanwhile with another table.
const drag = `(async name => {
	const slider = document.querySelector('input[type=range][aria-label="' + name + '"]');
	const picture = document.querySelector(".tw-graded");
	const asked = () => performance.getEntriesByType("resource").filter(r => r.name.endsWith("/api/table")).length;
	performance.clearResourceTimings();
	slider.dispatchEvent(new PointerEvent("pointerdown", { bubbles: true }));
	const from = performance.now();
	for (let i = 0; i < 120; i++) {
		slider.value = String(-1 + i / 60);
		slider.dispatchEvent(new Event("input", { bubbles: true }));
		await new Promise(r => setTimeout(r, 16));
	}
	const seconds = (performance.now() - from) / 1000;
	const tables = asked(), paints = Number(picture.dataset.paints ?? 0);
	slider.dispatchEvent(new PointerEvent("pointerup", { bubbles: true }));
	return [tables / seconds, paints / seconds];
})`

// The look by hand: dragged, seen, decided once, taken back; before and after by
// keys; five votes; the scopes.
func TestTheLookInTheBrowser(t *testing.T) {
	address := serve(t, sheetFilm(t))
	w := browse(t, address, 1440, 900)
	w.press("dd;")
	w.until("where nothing is set the plain picture is seen", `document.querySelector(".tw-graded").hidden`)
	rates, err := chromedp.Run(w.ctx, chromedp.Evaluate[[]float64](drag+`("lighter by, stops")`, chromedp.EvalAwaitPromise))
	if err != nil {
		t.Fatal(err)
	}
	t.Logf("while a hand drags: %.0f tables and %.0f pictures a second", rates[0], rates[1])
	w.until("the graded picture is seen", `!document.querySelector(".tw-graded").hidden`)
	waitFor(t, address, "one decision", func(f servedFilm) bool { return len(f.Done) == 1 && strings.Contains(f.Done[0], "stops") })
	w.until("what it does is said", `/\d\.\d, at most/.test(document.querySelector(".tw-steps").innerText)`)

	w.press("u")
	waitFor(t, address, "taken back", func(f servedFilm) bool { return len(f.Done) == 0 && len(f.Undone) == 1 })
	w.until("the plain picture again", `document.querySelector(".tw-graded").hidden`)
	w.press("y")
	w.until("the graded picture again", `!document.querySelector(".tw-graded").hidden`)

	w.press("'")
	w.do(chromedp.Evaluate[chromedp.Void](`document.querySelector(".tw-split input").focus()`), chromedp.KeyEvent(kb.ArrowRight))
	w.until("the line is moved by keys", `document.querySelector(".tw-split input").value !== "100"`)
	w.do(chromedp.Evaluate[chromedp.Void](`document.activeElement.blur()`))
	w.press("'")
	w.until("all of it with the look again", `!document.querySelector(".tw-split")`)

	w.inLook("blind pair")
	w.click(".tw-look button", "this look against none")
	worst := 0.0
	for range 5 {
		w.until("both are equally bright", `Number(document.querySelector(".tw-ballot")?.dataset.stopsApart ?? 1) <= 0.05 && !document.querySelector(".tw-ballot button").disabled`)
		apart, err := chromedp.Run(w.ctx, chromedp.Evaluate[float64](`Number(document.querySelector(".tw-ballot").dataset.stopsApart)`))
		if err != nil {
			t.Fatal(err)
		}
		worst = max(worst, apart)
		w.click(".tw-ballot button", "the left one")
	}
	t.Logf("the pairs are %.4f stops apart at most", worst)
	w.until("the answer", `/You chose the (new|other) one [345] of 5/.test(document.querySelector(".tw-pair").innerText)`)

	w.inLook("scopes")
	w.until("the scopes", `document.querySelectorAll(".tw-scopes img").length === 3 && document.querySelector(".tw-levels").innerText.includes("EBU R 103")`)

	// The picture follows while the film plays.
	const paints = `Number(document.querySelector(".tw-graded").dataset.paints)`
	w.do(chromedp.Evaluate[chromedp.Void](`document.activeElement?.blur()`))
	w.press("q")
	w.until("it plays", `document.querySelector(".tw-plate-picture").dataset.playing === ""`)
	time.Sleep(time.Second)
	before, err := chromedp.Run(w.ctx, chromedp.Evaluate[float64](paints))
	if err != nil {
		t.Fatal(err)
	}
	w.until("the graded picture goes along", fmt.Sprintf("%s > %g + 10", paints, before))
}
