package media

import "fmt"

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

// even returns the even number nearest to v, at least 2.
func even(v float64) int { return max(2, 2*int(v/2+0.5)) }
