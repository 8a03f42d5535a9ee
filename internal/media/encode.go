package media

import (
	"bufio"
	"context"
	"encoding/binary"
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"
	"strings"

	"takeweave/internal/film"
)

// EncodeSpec says how Encode writes a clip. The container follows from Out:
// .mp4, .mov, .mkv, .avi, .mts or .ts. Sound is AAC, but PCM in .mov and .avi,
// as cameras do it.
type EncodeSpec struct {
	Out           string
	Width, Height int
	Rate          film.Rate
	Format        string // of the frames: RGB24 or YUV420P
	Rotation      int    // degrees clockwise by which players turn the picture: 0, 90, 180, 270; MP4 and MOV only
	Encoder       EncoderSettings

	Sound         []float32 // interleaved, -1..1; nil for a clip without sound
	SoundRate     int       // Hz
	SoundChannels int       // 1 or 2
}

// container names FFmpeg's muxer for a file name.
func container(path string) (string, error) {
	switch strings.ToLower(filepath.Ext(path)) {
	case ".mp4", ".m4v":
		return "mp4", nil
	case ".mov":
		return "mov", nil
	case ".mkv":
		return "matroska", nil
	case ".avi":
		return "avi", nil
	case ".mts", ".m2ts", ".ts":
		return "mpegts", nil
	}
	return "", &film.Error{Code: film.CodeUsage, Path: path, Msg: "has an ending for which there is no container", Hint: "use .mp4, .mov, .mkv, .avi or .mts"}
}

// Encode writes a clip from raw frames. next fills pix with the next frame, or
// returns io.EOF after the last.
func (e *Engine) Encode(ctx context.Context, s EncodeSpec, next func(pix []byte) error) error {
	muxer, err := container(s.Out)
	if err != nil {
		return err
	}
	size := s.Width * s.Height * 3
	if s.Format == YUV420P {
		size /= 2
	} else if s.Format != RGB24 {
		return fmt.Errorf("media: cannot encode frames in format %q", s.Format)
	}
	out, err := filepath.Abs(s.Out)
	if err != nil {
		return err
	}
	return produce(out, func(part string) error {
		args := []string{"-v", "error", "-y"}
		args = append(args, "-f", "rawvideo", "-pix_fmt", s.Format, "-video_size", fmt.Sprintf("%dx%d", s.Width, s.Height),
			"-framerate", s.Rate.String(), "-i", "pipe:0")
		if s.Sound != nil {
			sound := part + ".sound"
			defer os.Remove(sound)
			if err := writeFloats(sound, s.Sound); err != nil {
				return err
			}
			args = append(args, "-f", "f32le", "-ar", fmt.Sprint(s.SoundRate), "-ac", fmt.Sprint(s.SoundChannels), "-i", "file:"+sound)
		}
		args = append(args, "-map", "0:v")
		if s.Format == RGB24 {
			args = append(args, "-vf", "scale=flags=bicubic:out_color_matrix=bt709:out_range=tv,format=yuv420p")
		}
		args = append(args, s.Encoder.orElse(e.Encoder(s.Width, s.Height)).args()...)
		if s.Sound != nil {
			args = append(args, "-map", "1:a")
			if muxer == "mov" || muxer == "avi" {
				args = append(args, "-c:a", "pcm_s16le")
			} else {
				args = append(args, "-c:a", "aac", "-b:a", "192k")
			}
		}
		args = append(args, "-f", muxer, "file:"+part)
		err := run(ctx, process{program: e.ffmpeg, args: args, stdin: func(w io.Writer) error {
			pix := make([]byte, size)
			for {
				if err := next(pix); err == io.EOF {
					return nil
				} else if err != nil {
					return err
				}
				if _, err := w.Write(pix); err != nil {
					return err
				}
			}
		}})
		if err != nil || s.Rotation == 0 {
			return explain(err, out)
		}
		return setRotation(part, s.Width, s.Height, s.Rotation)
	})
}

// writeFloats writes samples as little-endian float32.
func writeFloats(path string, samples []float32) error {
	f, err := os.Create(path)
	if err != nil {
		return err
	}
	defer f.Close()
	w := bufio.NewWriter(f)
	var raw [4]byte
	for _, v := range samples {
		binary.LittleEndian.PutUint32(raw[:], math.Float32bits(v))
		if _, err := w.Write(raw[:]); err != nil {
			return err
		}
	}
	if err := w.Flush(); err != nil {
		return err
	}
	return f.Close()
}
