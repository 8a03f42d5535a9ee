package crop

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"takeweave/internal/film"
)

// Window is a crop's size in a picture, in pixels. W and H are even and no
// larger than the picture.
type Window struct {
	PictureW int `json:"picture_width"`
	PictureH int `json:"picture_height"`
	W        int `json:"width"`
	H        int `json:"height"`
}

// Ratio returns width over height of a shape written "16:9" or "2.39:1": two
// positive decimal numbers. Shapes wider or taller than 10:1 are refused.
func Ratio(shape film.Shape) (float64, error) {
	width, height, ok := strings.Cut(string(shape), ":")
	w, err1 := strconv.ParseFloat(strings.TrimSpace(width), 64)
	h, err2 := strconv.ParseFloat(strings.TrimSpace(height), 64)
	// Not within also catches what is no number.
	if !ok || err1 != nil || err2 != nil || w <= 0 || h <= 0 || !(w/h >= 0.1 && w/h <= 10) {
		return 0, &film.Error{
			Code: film.CodeUsage,
			Msg:  fmt.Sprintf("%q is not a frame shape", string(shape)),
			Hint: `write width and height with a colon, like "9:16" or "2.39:1"`,
		}
	}
	return w / h, nil
}

// Largest returns the largest crop of a shape in a picture, in even pixels as
// 4:2:0 pictures want them. One side is the picture's, less one pixel where that
// is odd; the other is the even number nearest to the shape, so that the shape is
// met within one pixel. A picture that has the shape already, in as many decimals
// as it is written with, is kept whole: 2048 x 1080 is 1.90:1. Pictures under
// 32 x 32 are refused.
func Largest(pictureW, pictureH int, shape film.Shape) (Window, error) {
	ratio, err := Ratio(shape)
	if err != nil {
		return Window{}, err
	}
	if pictureW < 32 || pictureH < 32 {
		return Window{}, &film.Error{
			Code: film.CodeUnreadable,
			Msg:  fmt.Sprintf("a picture of %d x %d pixels is too small to crop", pictureW, pictureH),
			Hint: "leave this clip out",
		}
	}
	w := Window{PictureW: pictureW, PictureH: pictureH, W: evenBelow(pictureW), H: evenBelow(pictureH)}
	switch have := float64(pictureW) / float64(pictureH); {
	case math.Abs(have-ratio) <= slack(shape):
	case have > ratio:
		w.W = min(w.W, nearestEven(float64(w.H)*ratio))
	default:
		w.H = min(w.H, nearestEven(float64(w.W)/ratio))
	}
	return w, nil
}

// slack returns half a unit in the last decimal of a shape written "2.39:1", 0
// for one in whole numbers, which is exact.
func slack(shape film.Shape) float64 {
	width, isDecimal := strings.CutSuffix(string(shape), ":1")
	_, decimals, hasPoint := strings.Cut(width, ".")
	if !isDecimal || !hasPoint {
		return 0
	}
	return 0.5 * math.Pow10(-len(decimals))
}

func evenBelow(v int) int { return v &^ 1 }

// nearestEven returns the even number nearest to v, at least 2; halves go up.
func nearestEven(v float64) int { return max(2, 2*int(math.Floor(v/2+0.5))) }

// Output returns the size at which a shape is delivered when its longer side may
// have up to long pixels and its shorter up to short: with 1920 and 1080,
// 1920 x 1080 for 16:9, 1080 x 1920 for 9:16, 1080 x 1350 for 4:5.
func Output(shape film.Shape, long, short int) (width, height int, err error) {
	ratio, err := Ratio(shape)
	if err != nil {
		return 0, 0, err
	}
	if ratio < 1 {
		long, short = short, long
	}
	w, err := Largest(long, short, shape)
	return w.W, w.H, err
}

// Lost returns the share of the picture's area that is thrown away, 0..1.
func (w Window) Lost() float64 {
	return 1 - float64(w.W)*float64(w.H)/(float64(w.PictureW)*float64(w.PictureH))
}

// Enlarges returns how many times the crop is enlarged to fill outW x outH
// pixels (the larger of both directions; below 1 it is made smaller), and a
// sentence to warn with when that is above 1, else "".
func (w Window) Enlarges(outW, outH int) (times float64, warning string) {
	times = math.Max(float64(outW)/float64(w.W), float64(outH)/float64(w.H))
	if times > 1 {
		warning = fmt.Sprintf("%d x %d pixels are enlarged %.2f times to fill %d x %d", w.W, w.H, times, outW, outH)
	}
	return times, warning
}

// room returns how far the window can move across and down, in whole even
// pixels. At most one of them is not 0, because the window fills the picture in
// the other direction.
func (w Window) room() (x, y float64) {
	return float64(evenBelow(w.PictureW - w.W)), float64(evenBelow(w.PictureH - w.H))
}
