package look

import (
	"image"
	"image/color"
	"math"
	"testing"
)

// plain is a picture of fields of equal width.
func plain(width, height int, fields ...RGB) *Picture {
	p := &Picture{width, height, make([]float32, 3*width*height)}
	for i := range width * height {
		c := fields[i%width*len(fields)/width]
		for k, v := range c {
			p.Pix[3*i+k] = float32(v)
		}
	}
	return p
}

// TestColourBars: codes of 8 bits, angles and radii of the bars at 75 % [RP219].
func TestColourBars(t *testing.T) {
	for i, want := range []struct {
		y, cb, cr     float64
		angle, radius float64
	}{
		{168, 44, 136, 174.76, 0.3766},
		{145, 147, 44, 282.91, 0.3847},
		{133, 63, 52, 229.68, 0.4467},
		{63, 193, 204, 49.68, 0.4467},
		{51, 109, 212, 102.91, 0.3847},
		{28, 212, 120, 354.76, 0.3766},
	} {
		c := bars[i]
		cb, cr := ChromaOf(c)
		got := [3]float64{math.Round(16 + 219*Luma(c)), math.Round(128 + 224*cb), math.Round(128 + 224*cr)}
		if got != [3]float64{want.y, want.cb, want.cr} {
			t.Errorf("bar %d: %v, want %v %v %v", i, got, want.y, want.cb, want.cr)
		}
		angle, radius := vector(c)
		if !near(angle, want.angle, 0.005) || !near(radius, want.radius, 5e-5) {
			t.Errorf("bar %d: %.2f degrees, %.4f; want %.2f, %.4f", i, angle, radius, want.angle, want.radius)
		}
		if back := rgbOf(Luma(c), cb, cr); !nearRGB(back, c, 1e-12) {
			t.Errorf("bar %d comes back as %v", i, back)
		}
	}
}

// TestFromYCbCr: a value in the tests of [Colour]: (0.75, 0.75, 0) in BT.709,
// 8 bits, limited range, is (0.66035745, 0.17254902, 0.53216593) of 255.
func TestFromYCbCr(t *testing.T) {
	in := image.NewYCbCr(image.Rect(0, 0, 2, 2), image.YCbCrSubsampleRatio420)
	for i := range in.Y {
		in.Y[i] = 168
	}
	in.Cb[0], in.Cr[0] = 44, 136
	p := FromYCbCr(in)
	if c := p.pixel(3); p.Width != 2 || !nearRGB(c, RGB{0.75, 0.75, 0}, 0.004) { // a code
		t.Errorf("%v", c)
	}
}

func TestLevels(t *testing.T) {
	// Ten fields: black, white, six greys, one too dark and one too bright.
	p := plain(100, 10, RGB{}, RGB{1, 1, 1}, RGB{.3, .3, .3}, RGB{.3, .3, .3}, RGB{.3, .3, .3},
		RGB{.6, .6, .6}, RGB{.6, .6, .6}, RGB{.6, 1, .6}, RGB{-.06, -.06, -.06}, RGB{1.06, 1.06, 1.06})
	l := p.Measure()
	for _, c := range []struct {
		name      string
		got, want float64
	}{
		{"least", l.Least, -0.06},
		{"most", l.Most, 1.06},
		{"median", l.Median, 0.6},
		{"red at black", l.ClippedLow[0], 0.2},
		{"green at white", l.ClippedHigh[1], 0.3},
		{"all at white", l.AllHigh, 0.2},
		{"all at black", l.AllLow, 0.2},
		{"out of range", l.OutOfRange, 0.2},
	} {
		if !near(c.got, c.want, 1e-6) {
			t.Errorf("%s: %g, want %g", c.name, c.got, c.want)
		}
	}
	if l.WithinR103 {
		t.Error("a fifth out of range passes")
	}
	// [R103]: 5 to 246 are allowed in 8 bits, and 1 % of the picture may be beyond.
	for code, want := range map[uint8]bool{4: false, 5: true, 246: true, 247: false} {
		in := image.NewYCbCr(image.Rect(0, 0, 100, 1), image.YCbCrSubsampleRatio444)
		for i := range in.Y {
			in.Y[i], in.Cb[i], in.Cr[i] = 128, 128, 128
		}
		in.Y[7] = code
		one := FromYCbCr(in).Measure()
		in.Y[8] = code
		two := FromYCbCr(in).Measure()
		if !one.WithinR103 || two.WithinR103 != want {
			t.Errorf("code %d: once %v, twice %v, want true and %v", code, one.WithinR103, two.WithinR103, want)
		}
	}
	if (&Picture{}).Measure() != (Levels{}) {
		t.Error("no picture has levels")
	}
}

func TestHistogram(t *testing.T) {
	h := plain(4, 4, RGB{0, 0.2, 1.3}, RGB{1, 0.2, -1}).Histogram()
	for _, c := range []struct{ channel, bin, want int }{{0, 0, 8}, {0, 255, 8}, {1, 51, 16}, {2, 255, 8}, {2, 0, 8}} {
		if got := h[c.channel][c.bin]; got != c.want {
			t.Errorf("channel %d, bin %d: %d, want %d", c.channel, c.bin, got, c.want)
		}
	}
}

// TestReading: skin patches of the colour chart stand at 120.6 and 119.6 degrees,
// worked out from its published colours.
func TestReading(t *testing.T) {
	chart := Chart(BT709, MadeBefore2014)
	p := plain(40, 20, chart[0], chart[1], Grey18, RGB{0, 0, 1})
	for i, want := range []float64{120.6, 119.6} {
		r := p.Read(Box{float64(i) * 0.25, 0, 0.25, 1})
		if !near(r.Hue, want, 0.3) || !r.SkinSector {
			t.Errorf("patch %d: %+v, want %g degrees", i+1, r, want)
		}
	}
	if r := p.Read(Box{0.5, 0, 0.25, 1}); !near(r.StopsOver, 0, 1e-4) || r.SkinSector {
		t.Errorf("grey: %+v", r)
	}
	if r := p.Read(Box{0.75, 0.5, 0.5, 0.9}); r.SkinSector || !nearRGB(r.Mean, RGB{0, 0, 1}, 1e-9) {
		t.Errorf("blue: %+v", r)
	}
	if r := p.Read(Box{2, 2, 0, 0}); r != (Reading{}) {
		t.Errorf("nothing: %+v", r)
	}
}

// TestScopePictures looks for the trace where numbers say it must be.
func TestScopePictures(t *testing.T) {
	brightness := func(c color.RGBA) int { return int(c.R) + int(c.G) + int(c.B) }
	p := plain(64, 8, RGB{0.2, 0.2, 0.2}, bars[4])
	wave := p.Waveform(64, 121)
	if a, b := wave.RGBAAt(10, scopeRow(0.2, 121)), wave.RGBAAt(10, scopeRow(0.4, 121)); brightness(a) < 600 || brightness(b) > 300 {
		t.Errorf("waveform: %v at the value, %v elsewhere", a, b)
	}
	if scopeRow(0, 121) != 110 || scopeRow(1, 121) != 10 {
		t.Errorf("black in row %d, white in row %d", scopeRow(0, 121), scopeRow(1, 121))
	}
	vector := p.Vectorscope(201)
	cb, cr := ChromaOf(bars[4])
	x, y := 100+int(math.Round(cb*200)), 100-int(math.Round(cr*200))
	if brightness(vector.RGBAAt(x, y)) < 600 || brightness(vector.RGBAAt(x+5, y+10)) > 300 {
		t.Errorf("vectorscope: %v at red", vector.RGBAAt(x, y))
	}
	histogram := p.HistogramPicture(256, 50)
	if c := histogram.RGBAAt(191, 49); c.R < 100 || c.B > 100 {
		t.Errorf("histogram: %v at the bars' red", c)
	}
}
