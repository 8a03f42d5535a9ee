package job

import (
	"context"
	"os"
	"path/filepath"
	"strings"

	"takeweave/internal/film"
	"takeweave/internal/fingerprint"
	"takeweave/internal/media"
)

// smallVersion is the version of the way small copies are made.
const smallVersion = 1

// Small copies are for playing in a browser: 960 pixels on the long side, a key
// frame every 12 frames so that any moment is found at once.
const (
	smallLong = 960
	smallGOP  = 12
)

// mostPlayable is the size in pixels of the largest picture of which a browser
// decodes two at once without a graphics card. Common practice.
const mostPlayable = 1920 * 1088

// InBrowser reports whether browsers play a clip as it is, well enough to move
// about in it: H.264 of 8 bits and ordinary size in an MP4 or MOV file.
func InBrowser(i media.Info) bool {
	p := i.Picture
	return p != nil && p.Codec == "h264" && p.PixFmt == "yuv420p" && !p.Interlaced && !p.HDR &&
		strings.Contains(i.Container, "mp4") && p.CodedWidth*p.CodedHeight <= mostPlayable
}

// Info returns what a clip holds.
func (w *Work) Info(ctx context.Context, c film.Clip) (media.Info, error) { return w.info(ctx, c.Path) }

// SmallPath is where the small copy of a clip lies when it is made.
func (w *Work) SmallPath(c film.Clip) string {
	return filepath.Join(w.Store.Dir, "cache", "small", fingerprint.Of("small", smallVersion, c.Digest)+".mp4")
}

// SmallCopies makes the small copies that browsers need and that are not there
// yet. A clip of which none can be made is passed over.
func (w *Work) SmallCopies(ctx context.Context) error {
	clips, err := w.Store.Clips(ctx)
	if err != nil {
		return err
	}
	type todo struct {
		clip film.Clip
		info media.Info
	}
	var all []todo
	var frames float64
	for _, c := range clips {
		if c.Refusal != "" || c.SoundOnly {
			continue
		}
		info, err := w.info(ctx, c.Path)
		if ctx.Err() != nil {
			return ctx.Err()
		}
		if err != nil || InBrowser(info) {
			continue
		}
		if _, err := os.Stat(w.SmallPath(c)); err == nil {
			continue
		}
		all = append(all, todo{c, info})
		frames += float64(smallFrames(c))
	}
	if len(all) == 0 {
		return nil
	}
	if err := os.MkdirAll(filepath.Join(w.Store.Dir, "cache", "small"), 0o777); err != nil {
		return err
	}
	stage := w.Progress.Stage("small copies", frames, "frames")
	defer stage.End()
	for _, t := range all {
		stage.Note(t.clip.File)
		width, height := smallSize(t.clip.Width, t.clip.Height)
		var told int64
		err := w.Engine.Shot(ctx, media.ShotSpec{
			Source: t.clip.Path, Info: t.info, Speed: 1, Frames: smallFrames(t.clip), Rate: usualRate(t.clip.Rate),
			Width: width, Height: height, Out: w.SmallPath(t.clip),
			Encoder: media.EncoderSettings{Preset: "veryfast", CRF: 24, GOP: smallGOP},
		}, func(n int64) {
			stage.Add(float64(n - told))
			told = n
		})
		if ctx.Err() != nil {
			return ctx.Err()
		}
		if film.CodeOf(err) == film.CodeNoSpace {
			return err
		}
		w.found()
	}
	return nil
}

func smallFrames(c film.Clip) film.Frames {
	return max(1, film.Frames(float64(c.PictureEnd)*usualRate(c.Rate).PerSecond()))
}

// smallSize returns an even size within smallLong of the same shape.
func smallSize(width, height int) (w, h int) {
	scale := min(1, float64(smallLong)/float64(max(width, height)))
	even := func(v int) int { return max(2, int(float64(v)*scale/2+0.5)*2) }
	return even(width), even(height)
}
