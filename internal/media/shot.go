package media

import (
	"context"
	"fmt"
	"io"
	"math"
	"path/filepath"

	"takeweave/internal/film"
)

// ShotSpec is one shot to render.
type ShotSpec struct {
	Source        string // "" for black: a hole
	Info          Info   // of the source, by Probe
	From          film.PassTime
	Speed         float64 // seconds of source per second of film; 0 means 1
	Frames        film.Frames
	Rate          film.Rate  // of the film
	Width, Height int        // of the film, even
	Crop          *film.Crop // the part of the upright picture that is shown; nil fits the whole to the film
	Grade         Grade
	Overlays      []Overlay // from the lowest to the uppermost; on black too
	Out           string    // a file that Join understands, with the ending of its codec
	Encoder       EncoderSettings
}

// mayLack is how many frames of a shot may lie before or after its source's
// picture; the nearest frame stands for them. Clips often end a frame early.
const mayLack = 2

// Shot renders exactly Frames frames to a segment for Join: frame k shows the
// source frame nearest to From+k/Rate*Speed, upright, in BT.709 at limited
// range. progress, which may be nil, is told the frames done so far.
//
// A source that lacks more than two of the frames gives film.CodeUnreadable.
func (e *Engine) Shot(ctx context.Context, s ShotSpec, progress func(frames int64)) error {
	if s.Frames <= 0 || s.Width <= 0 || s.Height <= 0 || s.Width%2 != 0 || s.Height%2 != 0 || !s.Rate.Known() {
		return fmt.Errorf("media: no shot of %d frames, %d x %d at %s", s.Frames, s.Width, s.Height, s.Rate)
	}
	if s.Speed == 0 {
		s.Speed = 1
	}
	out, err := filepath.Abs(s.Out)
	if err != nil {
		return err
	}
	s.Encoder = s.Encoder.orElse(e.Encoder(s.Width, s.Height))
	if err := e.CanEncode(s.Encoder.Codec); err != nil {
		return err
	}
	if err := checkOverlays(s.Overlays); err != nil {
		return err
	}
	if s.Source == "" {
		return e.hole(ctx, s, out, progress)
	}
	p := s.Info.Picture
	if p == nil {
		return unreadable(s.Source, "has no picture")
	}
	slack := mayLack*s.Rate.FrameSeconds()*s.Speed + p.frameSeconds()
	if early := p.Start - float64(s.From); early > slack {
		return unreadable(s.Source, fmt.Sprintf("has no picture before %.2f s, but a shot begins at %.2f s", p.Start, s.From))
	}
	input, err := e.openAt(ctx, &s.Info, float64(s.From))
	if err != nil {
		return err
	}
	crop, w, h, pad := fit(p.Width, p.Height, s.Width, s.Height)
	if s.Crop != nil {
		crop, w, h, pad = cropTo(s.Crop), s.Width, s.Height, ""
	}
	return produce(out, func(part string) error {
		return withTone(p, func(tone string) error {
			return s.Grade.withEdge(w, h, s.Encoder.pixels(), func(edge string) error {
				args := []string{"-v", "error", "-nostdin", "-y", "-threads", fmt.Sprint(s.Encoder.Threads)}
				args = append(args, input...)
				args = append(args, "-map", stream(p.Stream), "-vf",
					deinterlace(p)+nearest(&s.Info, float64(s.From), s.Rate, s.Speed)+fmt.Sprintf(",tpad=stop_mode=clone:stop=%d,", mayLack)+
						crop+scaleTo(p, w, h, sharp, "bt709", "tv", tone+s.Grade.table())+",format="+s.Encoder.pixels()+edge+pad+s.Grade.bars()+overlay(&s)+",setsar=1")
				return e.writeSegment(ctx, process{program: e.ffmpeg, args: args}, s, part, progress)
			})
		})
	})
}

// hole renders black.
func (e *Engine) hole(ctx context.Context, s ShotSpec, out string, progress func(int64)) error {
	luma := s.Width * s.Height
	black := make([]byte, luma*3/2)
	for i := range black {
		black[i] = 128
		if i < luma {
			black[i] = 16
		}
	}
	args := []string{
		"-v", "error", "-y", "-f", "rawvideo", "-pix_fmt", YUV420P,
		"-video_size", fmt.Sprintf("%dx%d", s.Width, s.Height), "-framerate", s.Rate.String(), "-i", "pipe:0",
		"-vf", "format=" + s.Encoder.pixels() + overlay(&s) + ",setsar=1",
	}
	return produce(out, func(part string) error {
		return e.writeSegment(ctx, process{
			program: e.ffmpeg, args: args,
			stdin: func(w io.Writer) error {
				for range s.Frames {
					if _, err := w.Write(black); err != nil {
						return err
					}
				}
				return nil
			},
		}, s, part, progress)
	})
}

// writeSegment runs p with the output arguments of a segment added, and checks
// that it has all its frames.
func (e *Engine) writeSegment(ctx context.Context, p process, s ShotSpec, part string, progress func(int64)) error {
	var written int64
	p.args = append(p.args, "-frames:v", fmt.Sprint(s.Frames))
	p.args = append(p.args, s.Encoder.args()...)
	p.args = append(p.args, s.Encoder.Codec.joinable()...)
	p.args = append(p.args,
		"-video_track_timescale", fmt.Sprint(timescale(s.Rate)),
		"-progress", "pipe:1", "-nostats", "-f", s.Encoder.Codec.muxer(), "file:"+part)
	p.stdout = countFrames(&written, progress)
	path := s.Source
	if path == "" {
		path = s.Out
	}
	if err := run(ctx, p); err != nil {
		return explain(err, path)
	}
	if written != int64(s.Frames) {
		return unreadable(path, fmt.Sprintf("gives only %d of the %d frames of a shot from %.2f s on", max(0, written-mayLack), s.Frames, s.From))
	}
	return nil
}

// timescale returns ticks a second in which the start of every frame is a whole
// number, at least 10000.
func timescale(r film.Rate) int64 {
	return r.Num * int64(math.Ceil(10000/float64(r.Num)))
}

// frameSeconds is how long a source frame lasts, 0.1 s when not known.
func (p *Picture) frameSeconds() float64 {
	if !p.Rate.Known() {
		return 0.1
	}
	return p.Rate.FrameSeconds()
}
