package look

import (
	"image"
	"image/color"
	"math"
)

// Colours and brightness of the drawn scopes: our own choice.
var (
	scopeGround = color.RGBA{16, 16, 18, 255}
	scopeLine   = color.RGBA{70, 70, 78, 255}
	scopeAlarm  = color.RGBA{150, 60, 50, 255}
	scopeTrace  = [4]color.RGBA{{235, 90, 80, 255}, {90, 205, 110, 255}, {90, 140, 245, 255}, {220, 220, 210, 255}}
)

// The waveform shows from 10 % below black to 10 % above white.
const scopeFrom, scopeTo = -0.1, 1.1

// scopeRow is the line of a value in a scope of the given height.
func scopeRow(v float64, height int) int {
	share := (v - scopeFrom) / (scopeTo - scopeFrom)
	return max(0, min(height-1, int(math.Round((1-share)*float64(height-1)))))
}

// Waveform draws for each column of the picture how often each luma occurs there,
// black at the bottom. Lines mark 0, 25, 50, 75 and 100 %, and in another colour
// the limits of EBU R 103 [R103].
func (p *Picture) Waveform(width, height int) *image.RGBA {
	img := blank(width, height)
	for _, v := range []float64{0, 0.25, 0.5, 0.75, 1} {
		line(img, scopeRow(v, height), scopeLine)
	}
	line(img, scopeRow(r103Low, height), scopeAlarm)
	line(img, scopeRow(r103High, height), scopeAlarm)
	counts := make([]float64, width*height)
	for i := range p.Width * p.Height {
		x := i % p.Width * width / p.Width
		counts[scopeRow(Luma(p.pixel(i)), height)*width+x]++
	}
	// A column that is all one value is as bright as it gets.
	glow(img, counts, float64(p.Width*p.Height)/float64(width), scopeTrace[3])
	return img
}

// bars are the colours of the colour bars at 75 %: yellow, cyan, green, magenta,
// red, blue. Source: [RP219].
var bars = [6]RGB{
	{0.75, 0.75, 0}, {0, 0.75, 0.75}, {0, 0.75, 0}, {0.75, 0, 0.75}, {0.75, 0, 0}, {0, 0, 0.75},
}

// Vectorscope plots Cb to the right and Cr upwards, -0.5 to 0.5. Rings mark the
// six colours of the bars at 75 %, two rays the broad sector of skin.
func (p *Picture) Vectorscope(size int) *image.RGBA {
	img := blank(size, size)
	at := func(cb, cr float64) (int, int) {
		return max(0, min(size-1, int(math.Round((0.5+cb)*float64(size-1))))),
			max(0, min(size-1, int(math.Round((0.5-cr)*float64(size-1)))))
	}
	for i := range size {
		img.SetRGBA(i, size/2, scopeLine)
		img.SetRGBA(size/2, i, scopeLine)
		r := 0.5 * float64(i) / float64(size)
		for _, angle := range []float64{skinFrom, skinTo} {
			x, y := at(r*cosDegrees(angle), r*sinDegrees(angle))
			img.SetRGBA(x, y, scopeAlarm)
		}
	}
	for _, c := range bars {
		cb, cr := ChromaOf(c)
		for turn := range 90 {
			x, y := at(cb+0.025*cosDegrees(float64(4*turn)), cr+0.025*sinDegrees(float64(4*turn)))
			img.SetRGBA(x, y, scopeLine)
		}
	}
	counts := make([]float64, size*size)
	for i := range p.Width * p.Height {
		x, y := at(ChromaOf(p.pixel(i)))
		counts[y*size+x]++
	}
	glow(img, counts, float64(p.Width*p.Height)/20, scopeTrace[3])
	return img
}

// HistogramPicture draws the histogram of R, G and B over each other, with luma
// as a line, black at the left.
func (p *Picture) HistogramPicture(width, height int) *image.RGBA {
	img := blank(width, height)
	h := p.Histogram()
	most := 1.0
	for _, channel := range h {
		for _, n := range channel[1:255] { // clipped pixels would press the rest flat
			most = math.Max(most, float64(n))
		}
	}
	for x := range width {
		bin := x * 256 / width
		for k := range 4 {
			top := height - int(math.Min(1, float64(h[k][bin])/most)*float64(height))
			if k == 3 {
				if h[k][bin] > 0 {
					img.SetRGBA(x, top, scopeTrace[3])
				}
				continue
			}
			for y := top; y < height; y++ {
				lighten(img, x, y, scopeTrace[k], 0.5)
			}
		}
	}
	return img
}

func blank(width, height int) *image.RGBA {
	img := image.NewRGBA(image.Rect(0, 0, width, height))
	for i := range width * height {
		img.SetRGBA(i%width, i/width, scopeGround)
	}
	return img
}

func line(img *image.RGBA, y int, c color.RGBA) {
	for x := range img.Bounds().Dx() {
		img.SetRGBA(x, y, c)
	}
}

// glow draws counts as light; the square root keeps seldom values visible.
func glow(img *image.RGBA, counts []float64, most float64, c color.RGBA) {
	width := img.Bounds().Dx()
	for i, n := range counts {
		if n > 0 {
			lighten(img, i%width, i/width, c, 0.3+0.7*math.Min(1, math.Sqrt(n/most)))
		}
	}
}

// lighten lays a share of a colour over a pixel.
func lighten(img *image.RGBA, x, y int, c color.RGBA, share float64) {
	at := img.RGBAAt(x, y)
	mix := func(a, b uint8) uint8 { return uint8(math.Max(float64(a), float64(a)+share*(float64(b)-float64(a)))) }
	img.SetRGBA(x, y, color.RGBA{mix(at.R, c.R), mix(at.G, c.G), mix(at.B, c.B), 255})
}
