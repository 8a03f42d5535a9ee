package job

import (
	"math"
	"testing"

	"takeweave/internal/film"
	"takeweave/internal/picture"
)

// A face in the middle of a UHD picture, seen at 10 s of the clip.
func TestFacesInTheFilm(t *testing.T) {
	clip := film.Clip{ID: 7, Width: 3840, Height: 2160}
	passes := []Pass{{Clip: clip, Files: []PassFile{{Clip: clip}}}}
	viewed := map[int64]Viewed{7: {Seen: []picture.Seen{{At: 10, Face: picture.Box{X: 0.45, Y: 0.4, W: 0.1, H: 0.2}}}}}
	rate := film.Rate{Num: 25, Den: 1}
	shot := film.Shot{First: 50, End: 150, Clip: 7, File: "a.mp4", SourceStart: 8, Speed: 1}
	for _, c := range []struct {
		name       string
		crop       *film.Crop
		f          Format
		x, y, w, h float64
	}{
		{"the whole picture", nil, Format{Width: 1920, Height: 1080}, 0.45, 0.4, 0.1, 0.2},
		// 1215 of 3840 pixels kept from 1312.5 on: 0.45*3840 - 1312.5 = 415.5 of 1215.
		{"upright, in the middle", &film.Crop{PictureW: 3840, PictureH: 2160, W: 1215, H: 2160, Keys: []film.CropKey{{X: 1312.5}}}, Format{Width: 1080, Height: 1920}, 415.5 / 1215, 0.4, 384.0 / 1215, 0.2},
		// From 1900 on: the face begins 172 pixels left of the crop and is cut off.
		{"upright, the face half outside", &film.Crop{PictureW: 3840, PictureH: 2160, W: 1215, H: 2160, Keys: []film.CropKey{{X: 1900}}}, Format{Width: 1080, Height: 1920}, 0, 0.4, (384 - 172) / 1215.0, 0.2},
	} {
		t.Run(c.name, func(t *testing.T) {
			shot.Crop = c.crop
			got := facesIn(&film.Cut{Rate: rate, Frames: 200, Shots: []film.Shot{shot}}, c.f, passes, viewed)
			if len(got) != 1 {
				t.Fatalf("%d faces, want 1", len(got))
			}
			// 2 s after the shot's first frame, 12 frames to either side.
			if got[0].First != 88 || got[0].End != 112 {
				t.Errorf("seen in frames %d to %d, want 88 to 112", got[0].First, got[0].End)
			}
			b := got[0].Box
			for i, d := range []float64{b.X - c.x, b.Y - c.y, b.W - c.w, b.H - c.h} {
				if math.Abs(d) > 1e-9 {
					t.Errorf("value %d of the box %+v is off by %g", i, b, d)
				}
			}
		})
	}
}
