package look

import "image"

// Picture is a frame to be measured: encoded BT.709 R, G, B, row by row, nominal
// 0..1. Values beyond are kept, because levels out of range are what one looks for.
type Picture struct {
	Width, Height int
	Pix           []float32 // 3 a pixel
}

// FromRGB8 takes interleaved full-range R, G, B of 8 bits.
func FromRGB8(width, height int, pix []byte) *Picture {
	p := &Picture{width, height, make([]float32, 3*width*height)}
	for i := range p.Pix {
		p.Pix[i] = float32(pix[i]) / 255
	}
	return p
}

// FromRGB16 takes the same with 16 bits.
func FromRGB16(width, height int, pix []uint16) *Picture {
	p := &Picture{width, height, make([]float32, 3*width*height)}
	for i := range p.Pix {
		p.Pix[i] = float32(pix[i]) / 65535
	}
	return p
}

// FromYCbCr takes 8-bit Y'CbCr of BT.709 in limited range, as films are
// delivered: 16 to 235 become 0 to 1, codes beyond stay beyond.
func FromYCbCr(in *image.YCbCr) *Picture {
	b := in.Bounds()
	p := &Picture{b.Dx(), b.Dy(), make([]float32, 0, 3*b.Dx()*b.Dy())}
	for y := b.Min.Y; y < b.Max.Y; y++ {
		for x := b.Min.X; x < b.Max.X; x++ {
			k := in.COffset(x, y)
			c := rgbOf(
				(float64(in.Y[in.YOffset(x, y)])-16)/219,
				(float64(in.Cb[k])-128)/224, (float64(in.Cr[k])-128)/224)
			p.Pix = append(p.Pix, float32(c[0]), float32(c[1]), float32(c[2]))
		}
	}
	return p
}

// ChromaOf returns Cb and Cr, -0.5..0.5. Source: [BT709], item 3.3.
func ChromaOf(c RGB) (cb, cr float64) {
	y := Luma(c)
	return (c[2] - y) / 1.8556, (c[0] - y) / 1.5748
}

// rgbOf is the inverse of Luma and ChromaOf.
func rgbOf(y, cb, cr float64) RGB {
	r, b := y+1.5748*cr, y+1.8556*cb
	return RGB{r, (y - 0.2126*r - 0.0722*b) / 0.7152, b}
}

// pixel returns the colour of a pixel.
func (p *Picture) pixel(i int) RGB {
	return RGB{float64(p.Pix[3*i]), float64(p.Pix[3*i+1]), float64(p.Pix[3*i+2])}
}

// At returns the colour at a place in shares of width and height, of the nearest
// pixel.
func (p *Picture) At(x, y float64) RGB {
	px := max(0, min(p.Width-1, int(x*float64(p.Width))))
	py := max(0, min(p.Height-1, int(y*float64(p.Height))))
	return p.pixel(py*p.Width + px)
}

// Sample returns about n pixels from regular places.
func (p *Picture) Sample(n int) []RGB {
	total := p.Width * p.Height
	// A stride without a factor in common with usual widths does not fall into columns.
	stride := max(1, total/max(1, n)) | 1
	var all []RGB
	for i := 0; i < total; i += stride {
		all = append(all, p.pixel(i))
	}
	return all
}
