package media

import (
	"fmt"
	"strings"

	"takeweave/internal/film"
)

// maxCrop is the largest share of a picture that is cut away to fill a film of
// another shape; beyond it the whole picture is shown with black beside it.
const maxCrop = 0.12

// fit says how an upright source of sw x sh is brought to a film of w x h:
// crop is the filter before scaling with a comma after it, scaledW x scaledH the
// size to scale to, pad the filter after it with a comma before it. crop and
// pad are "" when not needed.
func fit(sw, sh, w, h int) (crop string, scaledW, scaledH int, pad string) {
	source, want := float64(sw)/float64(sh), float64(w)/float64(h)
	narrower := min(source/want, want/source) // share that is kept when cropping
	const same = 0.998                        // less than two lines of a 1080 picture
	switch {
	case narrower > same:
		return "", w, h, ""
	case 1-narrower <= maxCrop && source > want:
		return fmt.Sprintf("crop=iw*%.6f:ih,", narrower), w, h, ""
	case 1-narrower <= maxCrop:
		return fmt.Sprintf("crop=iw:ih*%.6f,", narrower), w, h, ""
	case source > want:
		scaledW, scaledH = w, even(float64(h)*narrower)
	default:
		scaledW, scaledH = even(float64(w)*narrower), h
	}
	return "", scaledW, scaledH, fmt.Sprintf(",pad=%d:%d:(ow-iw)/2:(oh-ih)/2:black", w, h)
}

// Lies returns where the whole upright picture of sw x sh lies in a film of
// w x h when a shot has no crop: its left, top, width and height in shares of the
// film. What is cut away lies outside 0..1.
func Lies(sw, sh, w, h int) (x, y, width, height float64) {
	ratio := float64(sw) / float64(sh) * float64(h) / float64(w) // above 1: wider than the film
	width, height = 1, 1
	if crop, _, _, pad := fit(sw, sh, w, h); (crop != "") == (ratio > 1) && crop+pad != "" {
		width = ratio
	} else if crop+pad != "" {
		height = 1 / ratio
	}
	return (1 - width) / 2, (1 - height) / 2, width, height
}

// cropTo returns the filter that cuts a crop out, with a comma after it. It is
// given in shares of the picture, whose stored pixels need not be square; n is
// the frame of the shot.
func cropTo(c *film.Crop) string {
	var x, y strings.Builder
	last := c.Keys[len(c.Keys)-1]
	for i, a := range c.Keys[:len(c.Keys)-1] {
		b := c.Keys[i+1]
		straight := func(from, to float64) string {
			return fmt.Sprintf("if(lt(n,%d),%.3f+%.6f*max(0,n-%d),", b.Frame, from, (to-from)/float64(b.Frame-a.Frame), a.Frame)
		}
		x.WriteString(straight(a.X, b.X))
		y.WriteString(straight(a.Y, b.Y))
	}
	closing := strings.Repeat(")", len(c.Keys)-1)
	fmt.Fprintf(&x, "%.3f%s", last.X, closing)
	fmt.Fprintf(&y, "%.3f%s", last.Y, closing)
	finer := ""
	if len(c.Keys) > 1 { // a crop lies on whole pixels; twice as fine, its movement does not jerk
		finer = "scale=2*iw:2*ih:flags=bilinear,"
	}
	return finer + fmt.Sprintf("crop=iw*%d/%d:ih*%d/%d:iw/%d*'%s':ih/%d*'%s':exact=1,", c.W, c.PictureW, c.H, c.PictureH, c.PictureW, x.String(), c.PictureH, y.String())
}

// even returns the even number nearest to v, at least 2.
func even(v float64) int { return max(2, 2*int(v/2+0.5)) }
