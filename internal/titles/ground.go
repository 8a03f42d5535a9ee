package titles

import (
	"image"
	"image/color"
	"math"
)

// Colours of letters, and of the ground that is laid between them and the picture.
var (
	bright = color.RGBA{246, 243, 236, 255}
	softer = color.RGBA{224, 218, 207, 255}
	amber  = color.RGBA{228, 182, 116, 255}
	dark   = color.RGBA{10, 10, 12, 255}
)

// groundAlpha is how much of the picture the ground hides under letters. Over
// white, the softer letters then have a contrast of 5.0:1 and the bright ones of
// 6.3:1; 4.5:1 is asked for. Source: [WCAG22] 1.4.3.
const groundAlpha = 0.68

// Contrast returns the contrast ratio of two opaque colours, 1 to 21. Source:
// [WCAG22], definitions of contrast ratio and relative luminance.
func Contrast(a, b color.RGBA) float64 {
	la, lb := luminance(a), luminance(b)
	return (max(la, lb) + 0.05) / (min(la, lb) + 0.05)
}

func luminance(c color.RGBA) float64 {
	linear := func(v uint8) float64 {
		s := float64(v) / 255
		if s <= 0.04045 {
			return s / 12.92
		}
		return math.Pow((s+0.055)/1.055, 2.4)
	}
	return 0.2126*linear(c.R) + 0.7152*linear(c.G) + 0.0722*linear(c.B)
}

// groundUnder returns the ground for letters in core: full there, then fading out
// over so many pixels to the sides and up and down, cut off at the frame.
func groundUnder(core image.Rectangle, sidewards, upright float64, frame image.Rectangle) *image.NRGBA {
	reach := image.Pt(int(math.Ceil(sidewards)), int(math.Ceil(upright)))
	img := image.NewNRGBA(image.Rectangle{core.Min.Sub(reach), core.Max.Add(reach)}.Intersect(frame))
	b := img.Bounds()
	beside := make([]float64, b.Dx())
	for i := range beside {
		beside[i] = groundAlpha * fadeOut(outside(b.Min.X+i, core.Min.X, core.Max.X)/sidewards)
	}
	var before []uint8
	faded := -1.0
	for y := b.Min.Y; y < b.Max.Y; y++ {
		start := img.PixOffset(b.Min.X, y)
		pixels := img.Pix[start : start+4*b.Dx()]
		if f := fadeOut(outside(y, core.Min.Y, core.Max.Y) / upright); f != faded {
			faded = f
			for i, a := range beside {
				pixels[4*i], pixels[4*i+1], pixels[4*i+2] = dark.R, dark.G, dark.B
				pixels[4*i+3] = uint8(a*f*255 + 0.5)
			}
		} else {
			copy(pixels, before)
		}
		before = pixels
	}
	return img
}

// outside returns how far the pixel at v lies outside of [from, to), 0 within.
func outside(v, from, to int) float64 { return float64(max(from-v, v-(to-1), 0)) }

// fadeOut falls from 1 at 0 to 0 at 1 without a visible edge at either end.
func fadeOut(u float64) float64 {
	u = min(u, 1)
	return 1 - u*u*u*(10-u*(15-6*u))
}

// layOver lays a colour over the picture as far as a mask covers it.
func layOver(img *image.NRGBA, mask *image.RGBA, c color.RGBA) {
	b := mask.Bounds().Intersect(img.Bounds())
	for y := b.Min.Y; y < b.Max.Y; y++ {
		m, p := mask.PixOffset(b.Min.X, y), img.PixOffset(b.Min.X, y)
		for range b.Dx() {
			if cover := uint32(mask.Pix[m+3]); cover > 0 {
				under := uint32(img.Pix[p+3]) * (255 - cover) / 255
				sum := cover + under
				for k, v := range [3]uint8{c.R, c.G, c.B} {
					img.Pix[p+k] = uint8((uint32(v)*cover + uint32(img.Pix[p+k])*under + sum/2) / sum)
				}
				img.Pix[p+3] = uint8(sum)
			}
			m, p = m+4, p+4
		}
	}
}
