package media

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"takeweave/internal/film"
)

// JoinSpec is a film to put together.
type JoinSpec struct {
	Segments   []string      // made by Shot, all with one size, rate and encoder
	Frames     []film.Frames // of each segment
	Rate       film.Rate
	Record     string // becomes the sound; "" for none
	RecordInfo Info   // of the record, by Probe
	// RecordFrom is the record's time at the first frame: 0 for a whole film. A
	// part of the record ends with the film and is always coded anew.
	RecordFrom float64
	Part       bool
	GainDB     float64 // of the sound; any but 0 is coded anew
	Out        string  // with the ending of the segments' codec
}

const (
	maxSoundRate = 48000  // Hz
	soundBitrate = "320k" // of AAC
)

// Join puts the segments one after the other without coding them again, frame
// k of the film beginning at exactly k/Rate, with the record as sound from 0
// on. AAC in an MP4 file is copied as it is, its priming kept; other records
// are coded once, to AAC at 320 kbit/s and their own rate up to 48 kHz. A .mov
// has them as PCM of 24 bits. The film can start playing while it is still
// loading.
func (e *Engine) Join(ctx context.Context, s JoinSpec) error {
	if len(s.Segments) == 0 || len(s.Segments) != len(s.Frames) {
		return fmt.Errorf("media: %d segments with %d lengths", len(s.Segments), len(s.Frames))
	}
	out, err := filepath.Abs(s.Out)
	if err != nil {
		return err
	}
	first, err := e.probe(ctx, s.Segments[0])
	if err != nil {
		return err
	}
	picture := choose(first.Streams, "video")
	if picture == nil {
		return unreadable(s.Segments[0], "has no picture")
	}
	codec := Codec(picture.Codec)
	if filepath.Ext(out) != codec.Ext() {
		return &film.Error{Code: film.CodeUsage, Path: out, Msg: fmt.Sprintf("cannot hold a film in %s", codec), Hint: "give it the ending " + codec.Ext()}
	}
	return produce(out, func(part string) error {
		list := part + ".list"
		defer os.Remove(list)
		if err := writeList(list, s); err != nil {
			return err
		}
		args := []string{"-v", "error", "-nostdin", "-y", "-f", "concat", "-safe", "0", "-i", "file:" + list}
		if s.Record != "" {
			record, err := filepath.Abs(s.Record)
			if err != nil {
				return err
			}
			args = append(args, "-i", "file:"+record)
		}
		args = append(args, "-map", "0:v:0", "-c:v", "copy", "-bsf:v", frameTimes(s.Rate, picture.Reorder),
			"-video_track_timescale", fmt.Sprint(timescale(s.Rate)))
		if codec == HEVC {
			args = append(args, "-tag:v", hevcTag)
		}
		if s.Record != "" {
			sound := s.RecordInfo.Sound
			if sound == nil {
				return &film.Error{Code: film.CodeNoSound, Path: s.Record, Msg: "has no sound", Hint: "give the record as WAV, FLAC, MP3 or M4A"}
			}
			args = append(args, "-map", fmt.Sprintf("1:%d", sound.Stream))
			args = append(args, soundArgs(&s, codec)...)
		}
		args = append(args, "-map_metadata", "-1", "-movflags", "+faststart", "-f", codec.muxer(), "file:"+part)
		if err := run(ctx, process{program: e.ffmpeg, args: args}); err != nil {
			return explain(err, out)
		}
		return e.checkFrames(ctx, part, s.Frames)
	})
}

// writeList writes the list of segments for FFmpeg's concat input. The lengths
// are written so that each segment starts at its exact time to a microsecond:
// rounded one by one they would drift.
func writeList(path string, s JoinSpec) error {
	var list strings.Builder
	list.WriteString("ffconcat version 1.0\n")
	var frame film.Frames
	for i, segment := range s.Segments {
		segment, err := filepath.Abs(segment)
		if err != nil {
			return err
		}
		start := microseconds(s.Rate, frame)
		frame += s.Frames[i]
		length := microseconds(s.Rate, frame) - start
		fmt.Fprintf(&list, "file 'file:%s'\nduration %d.%06d\n", strings.ReplaceAll(segment, "'", `'\''`), length/1e6, length%1e6)
	}
	return os.WriteFile(path, []byte(list.String()), 0o600)
}

// microseconds returns when a frame starts, rounded.
func microseconds(r film.Rate, f film.Frames) int64 {
	return (int64(f)*r.Den*1e6 + r.Num/2) / r.Num
}

// frameTimes returns the bit stream filter that puts every packet on the frame
// grid. A packet is decoded `reorder` frames before its place in the file would
// be shown; the segments say so only roughly when they are very short.
func frameTimes(r film.Rate, reorder int) string {
	frame := fmt.Sprintf("(%d/(%d*TB))", r.Den, r.Num) // one frame in ticks
	return fmt.Sprintf("setts=pts=round(PTS/%[1]s)*%[1]s:dts=(N-%[2]d)*%[1]s:duration=%[1]s", frame, reorder)
}

// CopiesSound reports whether Join copies the record's sound as it is.
func (s *JoinSpec) CopiesSound(codec Codec) bool {
	record := &s.RecordInfo
	return codec != ProRes && !s.Part && s.GainDB == 0 && record.Sound.Codec == "aac" && strings.Contains(record.Container, "mp4")
}

// CodeRecord codes the sound of a whole film, gain and all, to an .m4a file that
// Join then copies: a film that is joined again need not code it again.
func (e *Engine) CodeRecord(ctx context.Context, s JoinSpec, out string) error {
	record, err := filepath.Abs(s.Record)
	if err != nil {
		return err
	}
	return produce(out, func(part string) error {
		args := []string{"-v", "error", "-nostdin", "-y", "-i", "file:" + record, "-map", fmt.Sprintf("0:%d", s.RecordInfo.Sound.Stream)}
		args = append(append(args, soundArgs(&s, H264)...), "-map_metadata", "-1", "-f", "mp4", "file:"+part)
		return explain(run(ctx, process{program: e.ffmpeg, args: args}), s.Record)
	})
}

// soundArgs returns the arguments that make the record, or its part, the film's
// sound.
func soundArgs(s *JoinSpec, codec Codec) []string {
	record := &s.RecordInfo
	if s.CopiesSound(codec) {
		return []string{"-c:a", "copy"}
	}
	rate := record.Sound.Rate
	if rate > maxSoundRate {
		rate = maxSoundRate
		if record.Sound.Rate%44100 == 0 {
			rate = 44100
		}
	}
	filter := "aresample=async=1:first_pts=0"
	if s.Part {
		var frames film.Frames
		for _, n := range s.Frames {
			frames += n
		}
		filter += fmt.Sprintf(",atrim=start=%.9f:duration=%.9f,asetpts=PTS-STARTPTS", s.RecordFrom, float64(s.Rate.FrameStart(frames)))
	}
	if s.GainDB != 0 {
		filter += fmt.Sprintf(",aformat=sample_fmts=flt,volume=%.4fdB:precision=float", s.GainDB)
	}
	args := []string{"-af", filter, "-ar", fmt.Sprint(rate), "-ac", fmt.Sprint(min(record.Sound.Channels, 2))}
	if codec == ProRes {
		return append(args, "-c:a", "pcm_s24le")
	}
	return append(args, "-c:a", "aac", "-b:a", soundBitrate)
}

// checkFrames makes sure that the film has all its frames.
func (e *Engine) checkFrames(ctx context.Context, path string, lengths []film.Frames) error {
	var want film.Frames
	for _, n := range lengths {
		want += n
	}
	text, err := e.output(ctx, e.ffprobe, "-v", "error", "-count_packets", "-select_streams", "v:0",
		"-show_entries", "stream=nb_read_packets", "-of", "compact=nokey=1:p=0", "file:"+path)
	if err != nil {
		return explain(err, path)
	}
	if got := strings.TrimSpace(text); got != fmt.Sprint(want) {
		return fmt.Errorf("media: the joined film has %s frames instead of %d", got, want)
	}
	return nil
}
