package optics

import (
	"fmt"
	"math"

	"takeweave/internal/crop"
	"takeweave/internal/film"
)

// Box is a part of the picture in shares of its width and height, from the top
// left. Parts outside are below 0 or above 1.
type Box struct {
	X float64 `json:"x"`
	Y float64 `json:"y"`
	W float64 `json:"width"`
	H float64 `json:"height"`
}

// whole is the recorded picture.
var whole = Box{0, 0, 1, 1}

// common returns what two boxes share; of size 0 where that is nothing.
func (b Box) common(o Box) Box {
	x, y := max(b.X, o.X), max(b.Y, o.Y)
	return Box{x, y, max(0, min(b.X+b.W, o.X+o.W)-x), max(0, min(b.Y+b.H, o.Y+o.H)-y)}
}

// Kept is what one ordered shape keeps of the recorded picture.
type Kept struct {
	Shape    film.Shape `json:"shape"`
	Box      Box        `json:"box"`
	PixelsW  float64    `json:"pixels_width"` // exact; coded sizes are even
	PixelsH  float64    `json:"pixels_height"`
	Enlarged float64    `json:"enlarged"` // to be delivered; below 1 it is made smaller
	Warning  string     `json:"warning,omitempty"`
}

// Keeps returns what a shape keeps of the recorded picture when its crop stands
// on a point, as near as the picture allows, and whether the pixels left are
// enough for a delivery of long by short pixels (1920 and 1080, say).
func (s Setup) Keeps(shape film.Shape, on crop.Point, long, short int, limits Limits) (Kept, error) {
	ratio, err := crop.Ratio(shape)
	if err != nil {
		return Kept{}, err
	}
	outW, outH, err := crop.Output(shape, long, short)
	if err != nil {
		return Kept{}, err
	}
	w, h := float64(s.PixelsW), float64(s.PixelsH)
	k := Kept{Shape: shape, PixelsW: min(w, h*ratio), PixelsH: min(h, w/ratio)}
	k.Box = Box{W: k.PixelsW / w, H: k.PixelsH / h}
	k.Box.X = max(0, min(1-k.Box.W, on.X-k.Box.W/2))
	k.Box.Y = max(0, min(1-k.Box.H, on.Y-k.Box.H/2))
	// The delivered size is even; a pixel more or less is no enlargement.
	k.Enlarged = min(float64(outW)/k.PixelsW, float64(outH)/k.PixelsH)
	if k.Enlarged > limits.EnlargeTimes {
		k.Warning = fmt.Sprintf("%s keeps %.0f x %.0f pixels, enlarged %.2f times to %d x %d",
			shape, k.PixelsW, k.PixelsH, k.Enlarged, outW, outH)
	}
	return k, nil
}

// Core returns the part of the picture that all of several shapes keep, the
// whole picture for none.
func Core(kept []Kept) Box {
	core := whole
	for _, k := range kept {
		core = core.common(k.Box)
	}
	return core
}

// Headroom returns how far below the crop's top something sits, as a share of
// the crop's height, when it sits a share of the picture's height below the
// picture's top. Below 0 the crop cuts it.
func (k Kept) Headroom(belowTop float64) float64 { return (belowTop - k.Box.Y) / k.Box.H }

// Fit says whether a shape shows the subject with air, and how else it would.
type Fit struct {
	Shape        film.Shape `json:"shape"`
	FrameWidthM  float64    `json:"frame_width"` // recorded, at the subject
	FrameHeightM float64    `json:"frame_height"`
	KeptWidthM   float64    `json:"kept_width"`
	KeptHeightM  float64    `json:"kept_height"`
	NeedWidthM   float64    `json:"need_width"`
	NeedHeightM  float64    `json:"need_height"`
	StepBackM    float64    `json:"step_back"` // the distance at which it just fits
	FocalMM      float64    `json:"focal"`     // or the focal length, in whole millimetres
}

// Fit returns whether a shape keeps a subject of a size in metres with
// [Limits.AirShare] of the kept frame as air at either side, and the distance and
// the focal length at which it just would. A width of 0 asks only about height.
func (s Setup) Fit(shape film.Shape, subjectW, subjectH float64, limits Limits) (Fit, error) {
	ratio, err := crop.Ratio(shape)
	if err != nil {
		return Fit{}, err
	}
	air := limits.AirShare
	if !(air >= 0 && air < 0.5) {
		return Fit{}, &film.Error{
			Code: film.CodeUsage, Msg: fmt.Sprintf("air of %g at either side leaves no room for a subject", air),
			Hint: "give a share of the frame from 0 to under 0.5, like 0.06",
		}
	}
	f := Fit{Shape: shape}
	f.FrameWidthM, f.FrameHeightM = s.FrameM()
	part := s.Sensor.Part(ratio)
	f.KeptWidthM, f.KeptHeightM = s.DistanceM*part.WidthMM/s.FocalMM, s.DistanceM*part.HeightMM/s.FocalMM
	f.NeedWidthM, f.NeedHeightM = subjectW/(1-2*air), subjectH/(1-2*air)
	short := max(f.NeedWidthM/f.KeptWidthM, f.NeedHeightM/f.KeptHeightM)
	f.StepBackM = s.DistanceM * short
	f.FocalMM = math.Floor(s.FocalMM / short)
	return f, nil
}

// OK reports whether the subject fits.
func (f Fit) OK() bool { return f.KeptWidthM >= f.NeedWidthM && f.KeptHeightM >= f.NeedHeightM }

// String returns the verdict with its numbers.
func (f Fit) String() string {
	frame := fmt.Sprintf("frame %.2f × %.2f m", f.FrameWidthM, f.FrameHeightM)
	kept, need := f.KeptHeightM, f.NeedHeightM
	side := ""
	if f.NeedWidthM/f.KeptWidthM > f.NeedHeightM/f.KeptHeightM {
		kept, need, side = f.KeptWidthM, f.NeedWidthM, " across"
	}
	words := fmt.Sprintf("%s, kept %.2f m%s, you need %.2f m", frame, kept, side, need)
	if f.OK() {
		return words + ": fits"
	}
	return fmt.Sprintf("%s: step back to %.2f m or use %.0f mm", words, f.StepBackM, f.FocalMM)
}
