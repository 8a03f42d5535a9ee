package media

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"math"

	"takeweave/internal/film"
)

// Pixel formats of raw frames: rows from the top, without padding.
const (
	Gray    = "gray"    // one byte, 0 black to 255 white
	RGB24   = "rgb24"   // three bytes, 0 to 255 each
	YUV444P = "yuv444p" // planes Y, Cb, Cr of one size, BT.709 at limited range
	YUV420P = "yuv420p" // planes Y, Cb, Cr, BT.709 at limited range; for Encode only
)

// FramesOptions says which pictures Frames decodes.
type FramesOptions struct {
	From          film.PassTime
	Count         int       // 0: all to the end
	Rate          film.Rate // zero: every frame of the source as it comes
	Width, Height int
	Format        string // Gray, RGB24 or YUV444P
	Averaged      bool   // each pixel is the mean of what it covers: not as sharp, but quicker for small pictures
}

// Frames decodes pictures, upright and scaled to Width x Height whatever the
// shape. With a Rate picture i is the one whose time is nearest to From+i/Rate;
// without, the frames at or after From. pix is reused: sink must not keep it.
func (e *Engine) Frames(ctx context.Context, path string, o FramesOptions, sink func(i int, pix []byte) error) error {
	info, err := e.pictureOf(ctx, path)
	if err != nil {
		return err
	}
	size, levels := o.Width*o.Height, "pc"
	switch o.Format {
	case Gray:
	case RGB24:
		size *= 3
	case YUV444P:
		size, levels = 3*size, "tv"
	default:
		return fmt.Errorf("media: no frames in format %q", o.Format)
	}
	input, err := e.openAt(ctx, &info, float64(o.From))
	if err != nil {
		return err
	}
	way := sharp
	if o.Averaged {
		way = averaged
	}
	timing := nearest(&info, float64(o.From), o.Rate, 1)
	if !o.Rate.Known() {
		timing = fmt.Sprintf("trim=start=%.6f", info.Start+float64(o.From)-0.0005) // times are stored rounded, to a millisecond at worst
	}
	return withTone(info.Picture, func(tone string) error {
		args := append([]string{"-v", "error", "-nostdin"}, input...)
		args = append(args, "-map", stream(info.Picture.Stream), "-vf",
			deinterlace(info.Picture)+timing+","+scaleTo(info.Picture, o.Width, o.Height, way, "bt709", levels, tone)+",format="+o.Format)
		args = append(args, e.passthrough()...)
		if o.Count > 0 {
			args = append(args, "-frames:v", fmt.Sprint(o.Count))
		}
		n := 0
		err := run(ctx, process{program: e.ffmpeg, args: append(args, "-f", "rawvideo", "pipe:1"), stdout: func(r io.Reader) error {
			pix := make([]byte, size)
			for ; ; n++ {
				if _, err := io.ReadFull(r, pix); err == io.EOF || err == io.ErrUnexpectedEOF {
					return nil
				} else if err != nil {
					return err
				}
				if err := sink(n, pix); err != nil {
					return err
				}
			}
		}})
		return explain(err, path)
	})
}

// Still returns the picture nearest to `at` as a JPEG of widthPx, upright.
func (e *Engine) Still(ctx context.Context, path string, at film.PassTime, widthPx int) ([]byte, error) {
	info, err := e.pictureOf(ctx, path)
	if err != nil {
		return nil, err
	}
	input, err := e.openAt(ctx, &info, float64(at))
	if err != nil {
		return nil, err
	}
	p := info.Picture
	heightPx := even(float64(widthPx) * float64(p.Height) / float64(p.Width))
	var jpeg bytes.Buffer
	err = withTone(p, func(tone string) error {
		args := append([]string{"-v", "error", "-nostdin"}, input...)
		args = append(args, "-map", stream(p.Stream), "-vf",
			deinterlace(p)+nearest(&info, float64(at), film.Rate{Num: 25, Den: 1}, 1)+","+
				scaleTo(p, widthPx, heightPx, sharp, "bt601", "pc", tone)+",format=yuvj420p", // JPEG's own matrix and range
			"-frames:v", "1", "-c:v", "mjpeg", "-q:v", "3", "-f", "image2pipe", "pipe:1")
		return run(ctx, process{program: e.ffmpeg, args: args, stdout: copyTo(&jpeg)})
	})
	if err != nil {
		return nil, explain(err, path)
	}
	if jpeg.Len() == 0 {
		return nil, unreadable(path, fmt.Sprintf("has no picture at %.2f s", math.Max(0, float64(at))))
	}
	return jpeg.Bytes(), nil
}

// pictureOf probes a file that must have a picture.
func (e *Engine) pictureOf(ctx context.Context, path string) (Info, error) {
	info, err := e.Probe(ctx, path)
	if err == nil && info.Picture == nil {
		err = unreadable(path, "has no picture")
	}
	return info, err
}
