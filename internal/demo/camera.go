package demo

import (
	"context"
	"io"
	"math"

	"takeweave/internal/media"
)

// Camera writes clips. A media.Engine is one.
type Camera interface {
	// Encode writes a clip whose frames next fills in, until next returns
	// io.EOF. The file appears under its name only when it is complete.
	Encode(ctx context.Context, s media.EncodeSpec, next func(pix []byte) error) error
}

// clipCRF is how finely clips are coded: a camera's own quality, and the sparks
// stay readable to a few milliseconds (TestSparksSurviveCoding).
const clipCRF = 20

// shoot films a take into path and counts its frames into the tally.
func shoot(ctx context.Context, cam Camera, path string, s *scene, t *take, left, right []float32, work *tally) error {
	sound := make([]float32, 2*len(left))
	for i := range left {
		sound[2*i], sound[2*i+1] = left[i], right[i]
	}
	rate, n := t.plan.rate, 0
	const tell = 100 // frames between words to the tally
	return cam.Encode(ctx, media.EncodeSpec{
		Out: path, Width: t.view.width, Height: t.view.height, Rate: rate, Format: media.YUV420P,
		Encoder: media.EncoderSettings{Preset: "ultrafast", CRF: clipCRF, GOP: 25, Threads: 1},
		Sound:   sound, SoundRate: sampleRate, SoundChannels: 2,
	}, func(pix []byte) error {
		if n == t.frames() {
			work.add(n%tell, "")
			return io.EOF
		}
		toYUV(s.draw(float64(n)/rate.PerSecond()), pix)
		if n++; n%tell == 0 {
			work.add(tell, "")
		}
		return ctx.Err()
	})
}

// toYUV converts the picture to planar Y, Cb, Cr with half the colour
// resolution each way, limited range. Width and height are even.
// Source: [BT709], matrix coefficients 0.2126 and 0.0722, quantisation 16..235.
func toYUV(c *canvas, pix []byte) {
	const (
		one     = 1 << 16
		neutral = 128*one + one/2
		bottom  = 16*one + one/2
	)
	fixed := func(k float64) int32 { return int32(math.Round(k * one)) }
	const kr, kb, kg = 0.2126, 0.0722, 1 - 0.2126 - 0.0722
	const luma1, chroma1 = 219.0 / 255, 224.0 / 255 / 4 // chroma is the mean of four pixels
	yr, yg, yb := fixed(kr*luma1), fixed(kg*luma1), fixed(kb*luma1)
	cbR, cbG := fixed(-kr/(2*(1-kb))*chroma1), fixed(-kg/(2*(1-kb))*chroma1)
	crG, crB := fixed(-kg/(2*(1-kr))*chroma1), fixed(-kb/(2*(1-kr))*chroma1)
	half := fixed(chroma1 / 2)
	y1 := func(p uint32) byte {
		return byte((yr*int32(p&255) + yg*int32(p>>8&255) + yb*int32(p>>16&255) + bottom) >> 16)
	}
	const odd = 0x00ff00ff
	w, h := c.w, c.h
	luma, cb, cr := pix[:w*h], pix[w*h:w*h+w*h/4], pix[w*h+w*h/4:]
	for y := 0; y < h; y += 2 {
		top, low := c.pix[y*w:][:w], c.pix[(y+1)*w:][:w]
		lumaTop, lumaLow := luma[y*w:][:w], luma[(y+1)*w:][:w]
		cbRow, crRow := cb[y/2*(w/2):][:w/2], cr[y/2*(w/2):][:w/2]
		for i := range cbRow {
			x := 2 * i
			p, q, s, t := top[x], top[x+1], low[x], low[x+1]
			lumaTop[x], lumaTop[x+1], lumaLow[x], lumaLow[x+1] = y1(p), y1(q), y1(s), y1(t)
			rb := p&odd + q&odd + s&odd + t&odd // two sums side by side
			r, b := int32(rb&0xffff), int32(rb>>16)
			g := int32(p>>8&255 + q>>8&255 + s>>8&255 + t>>8&255)
			cbRow[i] = byte((cbR*r + cbG*g + half*b + neutral) >> 16)
			crRow[i] = byte((half*r + crG*g + crB*b + neutral) >> 16)
		}
	}
}
