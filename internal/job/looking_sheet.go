package job

import (
	"bytes"
	"context"
	"encoding/base64"
	"fmt"
	"html/template"
	"image"
	"image/jpeg"
	"io"
	"path/filepath"

	"takeweave/internal/film"
	"takeweave/internal/look"
	"takeweave/internal/media"
)

// sheetWidth is how wide the stills of the sheet for sending are.
const sheetWidth = 640

// sheetRow is an instant before and after.
type sheetRow struct {
	Instant
	Before, After template.URL
	TrimWords     string
}

// LookSheet writes the hardest instants before and after, with the look in words,
// as one HTML file that needs nothing else.
func (w *Work) LookSheet(ctx context.Context, of string, out io.Writer) error {
	l, trims, err := w.Look(ctx)
	if err != nil {
		return err
	}
	instants, err := w.HardInstants(ctx, of)
	if err != nil {
		return err
	}
	var rows []sheetRow
	painters := map[look.Trim]*look.Painter{}
	for _, n := range instants {
		t := trims[n.Setup]
		if painters[t] == nil {
			c, err := w.chain(l, t)
			if err != nil {
				return err
			}
			painters[t] = c.BakeWell().Painter()
		}
		row, err := w.sheetRow(ctx, n, l, painters[t])
		if film.CodeOf(err) == film.CodeUnreadable && err != nil {
			continue
		}
		if err != nil {
			return err
		}
		if t != (look.Trim{}) {
			row.TrimWords = SayTrim(t)
		}
		rows = append(rows, row)
	}
	return lookSheet.Execute(out, map[string]any{
		"Film": filepath.Base(w.Store.Dir), "Words": sayLook(l), "Rows": rows,
	})
}

func (w *Work) sheetRow(ctx context.Context, n Instant, l look.Look, p *look.Painter) (sheetRow, error) {
	pass, err := w.passCalled(ctx, n.Pass)
	if err != nil {
		return sheetRow{}, err
	}
	pix, height, err := w.frameOf(ctx, pass, n.At, sheetWidth, media.RGB24)
	if err != nil {
		return sheetRow{}, err
	}
	row := sheetRow{Instant: n, Before: jpegAddress(sheetWidth, height, pix)}
	p.Paint8(pix, pix, 1)
	if err := layPlaces(pix, sheetWidth, height, l); err != nil {
		return row, err
	}
	row.After = jpegAddress(sheetWidth, height, pix)
	return row, nil
}

// layPlaces does what a look does by the place in the picture: edges and bars.
func layPlaces(pix []byte, width, height int, l look.Look) error {
	bars, err := barsOf(l, width, height)
	if err != nil {
		return err
	}
	edge := l.Edge
	if !l.On(look.StepEdge) {
		edge = look.Edge{}
	}
	w, h := float64(width), float64(height)
	for i := range width * height {
		x, y := i%width, i/width
		factor := edge.Factor((float64(x)+0.5)/w, (float64(y)+0.5)/h, w/h)
		if x < bars.Left || x >= width-bars.Left || y < bars.Top || y >= height-bars.Top {
			factor = 0
		}
		for k := 3 * i; k < 3*i+3; k++ {
			pix[k] = uint8(float64(pix[k])*factor + 0.5)
		}
	}
	return nil
}

func jpegAddress(width, height int, pix []byte) template.URL {
	img := image.NewRGBA(image.Rect(0, 0, width, height))
	for i := range width * height {
		img.Pix[4*i], img.Pix[4*i+1], img.Pix[4*i+2], img.Pix[4*i+3] = pix[3*i], pix[3*i+1], pix[3*i+2], 255
	}
	var b bytes.Buffer
	_ = jpeg.Encode(&b, img, &jpeg.Options{Quality: 90}) // a buffer takes everything
	return template.URL("data:image/jpeg;base64," + base64.StdEncoding.EncodeToString(b.Bytes()))
}

// SayTrim says a trim in words.
func SayTrim(t look.Trim) string {
	return fmt.Sprintf("%+.2f stops, %+.0f mired, tint %+.0f, saturation %+.2f", t.ExposureStops, t.TemperatureMired, t.Tint, t.Saturation)
}

var lookSheet = template.Must(template.New("look").Parse(`<!doctype html>
<html lang="en">
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>{{.Film}}: the look, before and after</title>
<style>
body { margin: 2rem auto; max-width: 84rem; padding: 0 1rem; background: #1a1a1a; color: #ddd; font: 1rem/1.5 Georgia, serif; }
h1 { font-weight: normal; font-style: italic; }
figure { margin: 0 0 2rem; display: grid; grid-template-columns: 1fr 1fr; gap: 0.4rem; }
@media (max-width: 40rem) { figure { grid-template-columns: 1fr; } }
img { width: 100%; display: block; }
figcaption { grid-column: 1 / -1; }
small { color: #aaa; }
</style>
<h1>{{.Film}}</h1>
<p>The look: {{.Words}}. Left, or above, as filmed; right, or below, with the look.</p>
{{range .Rows}}<figure>
<img src="{{.Before}}" alt="as filmed: {{.Name}}"><img src="{{.After}}" alt="with the look: {{.Name}}">
<figcaption>{{.Name}}, {{.Address}} <small>{{.Setup}}; {{.Why}}{{if .TrimWords}}; trim of the setup: {{.TrimWords}}{{end}}</small></figcaption>
</figure>
{{else}}<p>There is no cut yet to take stills from.</p>
{{end}}</html>
`))
