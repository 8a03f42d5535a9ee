package job

import (
	"bytes"
	"context"
	"encoding/base64"
	"image"
	"image/png"

	"takeweave/internal/film"
	"takeweave/internal/look"
	"takeweave/internal/media"
)

// ScopesAsk asks for a picture to be measured.
type ScopesAsk struct {
	Pass string        `json:"pass"`
	At   film.PassTime `json:"at_s"`
	// Look and Trim are what it is measured with; nil measures it as it was filmed.
	Look *look.Look `json:"look,omitempty"`
	Trim look.Trim  `json:"trim,omitzero"`
}

// Scopes are a picture in pictures and numbers.
type Scopes struct {
	Waveform    string      `json:"waveform"` // data: addresses of PNG pictures
	Vectorscope string      `json:"vectorscope"`
	Histogram   string      `json:"histogram"`
	Levels      look.Levels `json:"levels"`
	Face        *FaceRead   `json:"face,omitempty"` // where one is known
}

// FaceRead is the face of a picture in numbers.
type FaceRead struct {
	Box     look.Box     `json:"box"`
	Reading look.Reading `json:"reading"`
}

// How large pictures are measured, and their scopes drawn.
const (
	scopesWidth  = 320
	scopeWidth   = 320
	scopeHeight  = 180
	vectorHeight = 220
)

// Scopes measures a picture. As filmed, levels beyond black and white are those of
// the camera; with a look, those that the look makes before the film is held
// within black and white.
func (w *Work) Scopes(ctx context.Context, ask ScopesAsk) (Scopes, error) {
	passes, err := w.Agree(ctx)
	if err != nil {
		return Scopes{}, err
	}
	p, err := w.passCalled(ctx, ask.Pass)
	if err != nil {
		return Scopes{}, err
	}
	viewed, err := w.viewedOf(ctx, passes)
	if err != nil {
		return Scopes{}, err
	}
	pix, height, err := w.frameOf(ctx, p, ask.At, scopesWidth, media.YUV444P)
	if err != nil {
		return Scopes{}, err
	}
	picture := fromYUV444(scopesWidth, height, pix)
	if ask.Look != nil {
		if picture, err = w.graded(picture, *ask.Look, ask.Trim); err != nil {
			return Scopes{}, err
		}
	}
	s := Scopes{
		Waveform:    pngAddress(picture.Waveform(scopeWidth, scopeHeight)),
		Vectorscope: pngAddress(picture.Vectorscope(vectorHeight)),
		Histogram:   pngAddress(picture.HistogramPicture(scopeWidth, scopeHeight)),
		Levels:      picture.Measure(),
	}
	if face, known := p.faceAt(ask.At, viewed); known {
		s.Face = &FaceRead{face, picture.Read(face)}
	}
	return s, nil
}

// fromYUV444 takes planes of BT.709 at limited range.
func fromYUV444(width, height int, pix []byte) *look.Picture {
	n := width * height
	return look.FromYCbCr(&image.YCbCr{
		Y: pix[:n], Cb: pix[n : 2*n], Cr: pix[2*n : 3*n], YStride: width, CStride: width,
		SubsampleRatio: image.YCbCrSubsampleRatio444, Rect: image.Rect(0, 0, width, height),
	})
}

// graded returns a picture with a look, without holding it within black and white,
// and without its bars, which are no picture.
func (w *Work) graded(p *look.Picture, l look.Look, t look.Trim) (*look.Picture, error) {
	c, err := w.chain(l, t)
	if err != nil {
		return nil, err
	}
	out := &look.Picture{Width: p.Width, Height: p.Height, Pix: make([]float32, len(p.Pix))}
	width, height := float64(p.Width), float64(p.Height)
	for i := range p.Width * p.Height {
		x, y := i%p.Width, i/p.Width
		var v look.RGB
		for k := range v {
			v[k] = float64(min(max(p.Pix[3*i+k], 0), 1)) // the table begins and ends there
		}
		v = c.Apply(v)
		factor := 1.0
		if l.On(look.StepEdge) {
			factor = l.Edge.Factor((float64(x)+0.5)/width, (float64(y)+0.5)/height, width/height)
		}
		for k := range v {
			out.Pix[3*i+k] = float32(v[k] * factor)
		}
	}
	return out, nil
}

func pngAddress(img image.Image) string {
	var b bytes.Buffer
	_ = png.Encode(&b, img) // a buffer takes everything
	return "data:image/png;base64," + base64.StdEncoding.EncodeToString(b.Bytes())
}
