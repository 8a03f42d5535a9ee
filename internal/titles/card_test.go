package titles

import (
	"bytes"
	"errors"
	"fmt"
	"image"
	"image/color"
	"strings"
	"testing"

	"takeweave/internal/captions"
	"takeweave/internal/film"
)

// shapes are film sizes to draw for.
var shapes = []image.Point{{1920, 1080}, {1080, 1920}, {1080, 1080}, {1080, 1350}, {2048, 858}, {640, 360}, {3840, 2160}}

// longNames need smaller type and more rows in most shapes.
func longNames() *Facts {
	f := ferry()
	f.Title = "Všechny lodě, které jsme kdy uvázali, odplouvají před ÅĤŮŽ domů"
	f.Artist = "Žofie Ångström-Łukasiewicz and the Harbour Orchestra of Vik"
	for i := range 12 {
		f.Thanks = append(f.Thanks, fmt.Sprintf("Quayside Neighbour No. %d", i))
	}
	return f
}

// drawn returns everything that is drawn for a film of a size.
func drawn(t *testing.T, size image.Point) map[string]*image.NRGBA {
	t.Helper()
	all := map[string]*image.NRGBA{}
	for name, f := range map[string]*Facts{"": ferry(), "long ": longNames()} {
		title, err := Title(f, size.X, size.Y)
		if err != nil {
			t.Fatalf("%v: %v", size, err)
		}
		all[name+"title"] = title.Image
		credits, err := Credits(f, size.X, size.Y)
		if err != nil {
			t.Fatalf("%v: %v", size, err)
		}
		for i, c := range credits {
			all[fmt.Sprintf("%scredits %d", name, i+1)] = c.Image
		}
	}
	c := captions.Caption{First: 0, End: 50, Rows: []string{"and every rope we tied,", "slips before the slow ferry"}}
	caption, err := Caption(&c, size.X, size.Y, nil)
	if err != nil {
		t.Fatalf("%v: %v", size, err)
	}
	all["caption"] = caption
	return all
}

// groundMax is the alpha of the ground where it is full; above it there is ink.
const groundMax = 174

// over returns a pixel laid over a grey, in coded values as a film is mixed.
func over(p color.NRGBA, grey float64) color.RGBA {
	mix := func(v uint8) uint8 { return uint8((float64(v)*float64(p.A)+grey*float64(255-p.A))/255 + 0.5) }
	return color.RGBA{mix(p.R), mix(p.G), mix(p.B), 255}
}

// Over black, white and what lies between, letters stand out from what is around
// them by 4.5:1. [WCAG22] 1.4.3.
func TestContrastOverAnyPicture(t *testing.T) {
	for _, size := range shapes[:4] {
		for name, img := range drawn(t, size) {
			letters := 0
			b := img.Bounds()
			// As far from ink as a stroke is wide.
			away := min(size.X, size.Y) / 150
			for y := b.Min.Y + away; y < b.Max.Y-away; y++ {
				for x := b.Min.X + away; x < b.Max.X-away; x++ {
					ink := img.NRGBAAt(x, y)
					if ink.A != 255 || ink.R == amber.R {
						continue
					}
					letters++
					for _, d := range []image.Point{{away, 0}, {-away, 0}, {0, away}, {0, -away}} {
						beside := img.NRGBAAt(x+d.X, y+d.Y)
						if beside.A > groundMax {
							continue
						}
						for _, grey := range []float64{0, 64, 118, 128, 192, 255} {
							if r := Contrast(over(ink, grey), over(beside, grey)); r < 4.5 {
								t.Fatalf("%v, %s: at %d, %d over %g the contrast is %.2f", size, name, x, y, grey, r)
							}
						}
					}
				}
			}
			if letters < 500 {
				t.Errorf("%v, %s: only %d pixels of letters", size, name, letters)
			}
		}
	}
}

// All ink lies within 5 % of the edges ([EBUR95], graphics safe area), in upright
// films also outside of what phones lay over them.
func TestInkIsSafe(t *testing.T) {
	for _, size := range shapes {
		w, h := float64(size.X), float64(size.Y)
		safe := image.Rect(int(0.05*w), int(0.05*h), int(0.95*w+1), int(0.95*h+1))
		if h > w {
			safe = image.Rect(int(0.05*w), int(0.12*h), int(0.86*w+1), int(0.78*h+1))
		}
		for name, img := range drawn(t, size) {
			b := img.Bounds()
			if !b.In(image.Rectangle{Max: size}) {
				t.Errorf("%v, %s: it covers %v", size, name, b)
			}
			for y := b.Min.Y; y < b.Max.Y; y++ {
				for x := b.Min.X; x < b.Max.X; x++ {
					// Half covered: the edge of a letter may touch the border.
					if img.NRGBAAt(x, y).A > 220 && !image.Pt(x, y).In(safe) {
						t.Fatalf("%v, %s: ink at %d, %d, safe is %v", size, name, x, y, safe)
					}
				}
			}
		}
	}
}

func TestDrawnTwiceIsTheSame(t *testing.T) {
	again := drawn(t, shapes[0])
	for name, img := range drawn(t, shapes[0]) {
		if !bytes.Equal(img.Pix, again[name].Pix) {
			t.Errorf("%s: another picture the second time", name)
		}
	}
}

func TestCreditsTakeAsManyCardsAsTheyNeed(t *testing.T) {
	few, err := Credits(&Facts{Artist: "a", Title: "b"}, 1920, 1080)
	if err != nil || len(few) != 1 || few[0].Letters != 2 {
		t.Errorf("%d cards (%v), want one with two letters", len(few), err)
	}
	many, err := Credits(longNames(), 1920, 1080)
	if err != nil || len(many) < 2 {
		t.Errorf("%d cards (%v), want more than one", len(many), err)
	}
	letters := 0
	for _, c := range many {
		letters += c.Letters
		if c.Letters < many[0].Letters/3 {
			t.Errorf("a card has %d letters, the first %d", c.Letters, many[0].Letters)
		}
	}
	want := 0
	for _, c := range longNames().credits() {
		want += len([]rune(c.role)) + len([]rune(c.text()))
	}
	// Where a row is broken no space is read.
	if letters > want || letters < want-30 {
		t.Errorf("%d letters on all cards, want %d", letters, want)
	}
}

func TestTooLongNames(t *testing.T) {
	f := ferry()
	f.Artist = strings.Repeat("Nordatlanterhav", 5)
	if _, err := Title(f, 1080, 1920); err == nil || !strings.Contains(err.Error(), f.Artist) {
		t.Errorf("%v, want the name that does not fit", err)
	}
	if _, err := Credits(f, 1080, 1920); err == nil || !strings.Contains(err.Error(), f.Artist) {
		t.Errorf("%v, want the name that does not fit", err)
	}
	f = ferry()
	f.Thanks = append(f.Thanks, strings.Repeat("Nordatlanterhav", 5))
	if _, err := Credits(f, 1080, 1920); err == nil || !strings.Contains(err.Error(), f.Thanks[3]) {
		t.Errorf("%v, want the name among many that does not fit", err)
	}
	f.Title = ""
	if _, err := Title(f, 1920, 1080); film.CodeOf(err) != film.CodeUsage {
		t.Errorf("%v, want that the title is empty", err)
	}
}

func TestCaption(t *testing.T) {
	c := &captions.Caption{First: 0, End: 50, Rows: []string{"Home"}}
	low, err := Caption(c, 1920, 1080, nil)
	if err != nil || low.Bounds().Min.Y < 850 {
		t.Fatalf("%v (%v), want it at the bottom", low.Bounds(), err)
	}
	hand := captions.Seen{First: 10, End: 20, Box: captions.Box{X: 0.2, Y: 0.6, W: 0.6, H: 0.4}}
	moved, err := Caption(c, 1920, 1080, []captions.Seen{hand})
	if err != nil || moved.Bounds().Overlaps(image.Rect(384, 648, 1536, 1080).Inset(20)) {
		t.Errorf("%v (%v), want it off the hand", moved.Bounds(), err)
	}
	var none *captions.NoPlaceError
	everywhere := captions.Seen{First: 0, End: 50, Box: captions.Box{W: 1, H: 1}}
	if _, err := Caption(c, 1920, 1080, []captions.Seen{everywhere}); !errors.As(err, &none) || none.Why == "" {
		t.Errorf("%v, want no place", err)
	}
	c.Rows = []string{strings.Repeat("MW", 30)}
	if _, err := Caption(c, 1080, 1920, nil); film.CodeOf(err) != film.CodeUsage || film.HintOf(err) == "" {
		t.Errorf("%v, want that the row is too long", err)
	}
}

// Rows at the limit of letters fit with ordinary words.
func TestFullRowsFit(t *testing.T) {
	for _, size := range shapes {
		n := captions.UsualFor(size.X, size.Y).RowLetters
		row := "we tied the moorings, warm and moonlit how they sway"[:n]
		if _, err := Caption(&captions.Caption{End: 50, Rows: []string{row, row}}, size.X, size.Y, nil); err != nil {
			t.Errorf("%v: %v", size, err)
		}
	}
}

// Rows of a block stand one below the other, and every fact is on one of them.
func TestCreditBlocks(t *testing.T) {
	for _, size := range shapes {
		p := newPage(size.X, size.Y)
		f := longNames()
		blocks, err := p.creditBlocks(f.credits())
		if err != nil {
			t.Fatal(err)
		}
		var read []string
		for _, b := range blocks {
			before := 0.0
			for _, r := range b.rows {
				read = append(read, r.text)
				if r.y < before+r.size || r.y > b.down {
					t.Errorf("%v: %q at %g after %g, in a block of %g", size, r.text, r.y, before, b.down)
				}
				before = r.y
			}
			if b.down > p.safe.H*float64(size.Y) {
				t.Errorf("%v: a block of %g pixels", size, b.down)
			}
		}
		whole := strings.Join(read, " ")
		for _, c := range f.credits() {
			for _, said := range append(c.names, c.role) {
				if !strings.Contains(whole, said) {
					t.Errorf("%v: %q is on no card", size, said)
				}
			}
		}
	}
}
