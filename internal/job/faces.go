package job

import (
	"context"

	"takeweave/internal/captions"
	"takeweave/internal/film"
	"takeweave/internal/media"
	"takeweave/internal/picture"
)

// facesOf returns where a face is seen in the film of an order, as far as the
// clips were looked at; nil when none was.
func (w *Work) facesOf(ctx context.Context, o Order, c *film.Cut, passes []Pass) ([]captions.Seen, error) {
	viewed, err := w.viewedOf(ctx, passes)
	if err != nil || len(viewed) == 0 {
		return nil, err
	}
	f, err := w.FormatOf(ctx, o, passes)
	return facesIn(c, f, passes, viewed), err
}

// facesIn returns where a face is seen in a finished film, in shares of its
// frame: each sighting speaks for half a second to either side.
func facesIn(c *film.Cut, f Format, passes []Pass, viewed map[int64]Viewed) []captions.Seen {
	bySource := map[int64]*film.Clip{}
	for i := range passes {
		for k := range passes[i].Files {
			bySource[passes[i].Files[k].Clip.ID] = &passes[i].Files[k].Clip
		}
	}
	var all []captions.Seen
	half := film.Frames(c.Rate.PerSecond() / 2)
	for _, s := range c.Shots {
		clip := bySource[s.Clip]
		if clip == nil {
			continue
		}
		for _, seen := range viewed[s.Clip].Seen {
			at := s.First + film.Frames(float64(seen.At-s.SourceStart)/nativeSpeed(s)*c.Rate.PerSecond())
			first, end := max(at-half, s.First), min(at+half, s.End)
			if first < end {
				all = append(all, captions.Seen{First: first, End: end, Box: inFilm(s, clip, f, min(max(at, s.First), s.End-1), seen.Face)})
			}
		}
	}
	return all
}

// nativeSpeed is the speed of a shot, 1 where none is set.
func nativeSpeed(s film.Shot) float64 {
	if s.Speed == 0 {
		return 1
	}
	return s.Speed
}

// inFilm returns where a box of a clip's picture lies in the film at a frame of
// a shot, cut off at the film's edges.
func inFilm(s film.Shot, clip *film.Clip, f Format, at film.Frames, b picture.Box) captions.Box {
	x, y, w, h := media.Lies(clip.Width, clip.Height, f.Width, f.Height)
	if s.Crop != nil {
		left, top := s.Crop.At(at - s.First)
		w, h = float64(s.Crop.PictureW)/float64(s.Crop.W), float64(s.Crop.PictureH)/float64(s.Crop.H)
		x, y = -left/float64(s.Crop.W), -top/float64(s.Crop.H)
	}
	left, right := max(0, x+b.X*w), min(1, x+(b.X+b.W)*w)
	top, bottom := max(0, y+b.Y*h), min(1, y+(b.Y+b.H)*h)
	return captions.Box{X: left, Y: top, W: max(0, right-left), H: max(0, bottom-top)}
}
