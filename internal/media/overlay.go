package media

import (
	"fmt"
	"os"
	"strings"

	"takeweave/internal/film"
)

// Overlay is a picture with alpha that is laid on a shot, such as a title or a
// line of the lyrics. It lies on top of the letterbox too, and on black.
type Overlay struct {
	Picture string // a PNG in BT.709 R'G'B', of the film's size or smaller
	X, Y    int    // of its top left corner, pixels, even: odd ones are rounded down
	// From and To are the frames of the shot that show it, half open. A picture
	// that stands across a cut is given to both shots: From may be negative and To
	// beyond the shot, and its fades go on where they were.
	From, To film.Frames
	// FadeIn is how many frames after From it takes to come, FadeOut how many
	// before To it takes to go: frame k of n, from 0, has (k+1)/(n+1) of it.
	FadeIn, FadeOut film.Frames
}

// checkOverlays makes sure that the pictures are there: FFmpeg would blame the
// source.
func checkOverlays(overlays []Overlay) error {
	for _, o := range overlays {
		if _, err := os.Stat(o.Picture); err != nil {
			return &film.Error{Code: film.CodeNotFound, Path: o.Picture, Msg: "is not there, but is to be laid on a shot", Hint: "draw it again", Err: err}
		}
	}
	return nil
}

// overlay returns the filters that lay the overlays of a shot on its picture,
// which comes before them, "" when there are none.
func overlay(s *ShotSpec) string {
	var all strings.Builder
	for i, o := range s.Overlays {
		if o.From < s.Frames && o.To > max(0, o.From) {
			fmt.Fprintf(&all, "[below%d];%s[over%[1]d];[below%[1]d][over%[1]d]%[3]s:x=%[4]d:y=%[5]d:eof_action=pass",
				i, o.frames(s), layOn(s.Encoder.pixels()), o.X, o.Y)
		}
	}
	return all.String()
}

// frames returns the filters that make the overlay's own stream: one picture for
// each frame of the shot that shows it, at that frame's time. The stream is made
// from one frame before From, the last at which FFmpeg's fade shows nothing.
func (o Overlay) frames(s *ShotSpec) string {
	alpha := withAlpha(s.Encoder.pixels())
	f := fmt.Sprintf("movie=%s,%s,loop=loop=%d:size=1,settb=%d/%d,setpts=N%+d",
		quoteFilter(o.Picture), toAlpha(strings.TrimSuffix(alpha, "10")), min(o.To, s.Frames)-o.From, s.Rate.Den, s.Rate.Num, o.From-1) // fade knows 8 bits only
	if o.FadeIn > 0 {
		f += fmt.Sprintf(",fade=in:start_frame=0:nb_frames=%d:alpha=1", o.FadeIn+1)
	}
	if o.FadeOut > 0 {
		f += fmt.Sprintf(",fade=out:start_frame=%d:nb_frames=%d:alpha=1", o.To-o.From-o.FadeOut, o.FadeOut+1)
	}
	return f + fmt.Sprintf(",trim=start_frame=%d,format=%s", 1+max(0, -o.From), alpha)
}

// withAlpha returns the pixel format that has an opacity beside pixels.
func withAlpha(pixels string) string { return strings.Replace(pixels, "yuv", "yuva", 1) }

// toAlpha returns the filters that bring a picture with an opacity to a pixel
// format that has one, BT.709 at limited range.
func toAlpha(format string) string {
	return "scale=out_color_matrix=bt709:out_range=tv,format=" + format
}

// layOn returns the filter that lays a picture with an opacity on one of pixels.
func layOn(pixels string) string { return "overlay=format=" + strings.TrimSuffix(pixels, "p") }
