package titles

import (
	"fmt"
	"image"
	"image/color"
	"sync"
	"unicode/utf8"

	"golang.org/x/image/font"
	"golang.org/x/image/font/gofont/gomedium"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/opentype"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"

	"takeweave/internal/film"
)

// The two weights in use, of the Go fonts by Bigelow & Holmes.
var (
	regular = sync.OnceValues(func() (*sfnt.Font, error) { return opentype.Parse(goregular.TTF) })
	medium  = sync.OnceValues(func() (*sfnt.Font, error) { return opentype.Parse(gomedium.TTF) })
)

type weight func() (*sfnt.Font, error)

// rowPitch is from one baseline to the next, of the type size. Source: common
// practice (1.2 to 1.3).
const rowPitch = 1.25

// Of the type size: how far letters reach above their baseline, accents among them,
// and below it, at most, in both weights.
const (
	ascent  = 1.01
	descent = 0.22
)

// face returns the letters in a size in pixels.
func (w weight) face(size float64) (font.Face, error) {
	f, err := w()
	if err != nil {
		return nil, err
	}
	return opentype.NewFace(f, &opentype.FaceOptions{Size: size, DPI: 72, Hinting: font.HintingNone})
}

// measured is the size in pixels in which widths are measured: unhinted letters
// grow evenly, so one size speaks for all.
const measured = 1000

// ruler measures text in a weight.
type ruler struct {
	face font.Face
	font *sfnt.Font
}

func (w weight) ruler() (ruler, error) {
	face, err := w.face(measured)
	if err != nil {
		return ruler{}, err
	}
	f, err := w()
	return ruler{face, f}, err
}

// width returns how wide text is at the type size 1.
func (r ruler) width(text string) float64 {
	return float64(font.MeasureString(r.face, text)) / 64 / measured
}

// canWrite returns a *film.Error naming the first character that the font lacks.
func (r ruler) canWrite(text string) error {
	var b sfnt.Buffer
	if !utf8.ValidString(text) {
		return &film.Error{Code: film.CodeUsage, Msg: fmt.Sprintf("%q is not text", text), Hint: "save it as UTF-8"}
	}
	for _, c := range text {
		if i, err := r.font.GlyphIndex(&b, c); i == 0 || err != nil {
			return &film.Error{
				Code: film.CodeUsage,
				Msg:  fmt.Sprintf("the letters have no %q (%U), which is in %q", string(c), c, text),
				Hint: "write it with Latin, Greek or Cyrillic letters, accented ones as one character",
			}
		}
	}
	return nil
}

// row is text on a baseline, in pixels of the film frame.
type row struct {
	text   string
	weight weight
	size   float64
	x, y   float64 // where its baseline begins
	colour color.RGBA
}

// write draws the row.
func (r row) write(on *image.NRGBA) error {
	face, err := r.weight.face(r.size)
	if err != nil {
		return err
	}
	at := fixed.Point26_6{X: fixed.Int26_6(r.x*64 + 0.5), Y: fixed.Int26_6(r.y*64 + 0.5)}
	ink, _ := font.BoundString(face, r.text)
	ink = ink.Add(at)
	mask := image.NewRGBA(image.Rect(ink.Min.X.Floor()-1, ink.Min.Y.Floor()-1, ink.Max.X.Ceil()+1, ink.Max.Y.Ceil()+1))
	d := font.Drawer{Dst: mask, Src: image.White, Face: face, Dot: at}
	d.DrawString(r.text)
	layOver(on, mask, r.colour)
	return nil
}
