package media

import (
	"context"
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"math"

	"takeweave/internal/film"
)

const (
	chunkSamples = 1 << 14
	// A file counts as cut short when more than this is missing at the end of
	// its sound: two AAC frames at 44.1 kHz are 46 ms, and containers round.
	missingSeconds = 0.5
)

// Samples decodes the sound to mono at rateHz, in [-1, 1] but for peaks that
// the mix or the codec overshoots. Sample 0 is at 0 on the clip clock: a late
// start and gaps are filled with silence, edit lists and the codec's priming
// are honoured. sink gets the samples in chunks that it must not keep.
//
// A file without sound gives film.CodeNoSound. One that ends early delivers
// what there is and then an error for which errors.Is(err, ErrCutShort) holds.
func (e *Engine) Samples(ctx context.Context, path string, rateHz int, sink func([]float32) error) error {
	info, err := e.Probe(ctx, path)
	if err != nil {
		return err
	}
	if info.Sound == nil {
		return &film.Error{Code: film.CodeNoSound, Path: path, Msg: "has no sound", Hint: "use a file with a sound track"}
	}
	var got int64
	err = e.decode(ctx, &info, rateHz, "mono", &got, sink)
	var child *childError
	if err != nil && !errors.As(err, &child) {
		return err
	}
	end := float64(got) / float64(rateHz)
	want := info.Sound.Start + info.Sound.Duration
	switch {
	case got == 0 && err != nil:
		return explain(err, path)
	case got == 0:
		return unreadable(path, "has a sound track with nothing in it")
	case err != nil || end < want-missingSeconds:
		return &film.Error{
			Code: film.CodeUnreadable, Path: path, Err: ErrCutShort,
			Msg:  fmt.Sprintf("has sound up to %.1f s of %.1f s", end, want),
			Hint: "copy it again from the card; what could be read is used",
		}
	}
	return nil
}

// Programme decodes the sound of a file as a listener hears it: at its own rate,
// mono or stereo, the samples of both channels in turn. sink must not keep them.
func (e *Engine) Programme(ctx context.Context, info *Info, sink func(samples []float32) error) (rateHz, channels int, err error) {
	if info.Sound == nil {
		return 0, 0, &film.Error{Code: film.CodeNoSound, Path: info.Path, Msg: "has no sound", Hint: "use a file with a sound track"}
	}
	rateHz, channels = info.Sound.Rate, 1
	layout := "mono"
	if info.Sound.Channels > 1 {
		channels, layout = 2, "stereo"
	}
	var got int64
	err = e.decode(ctx, info, rateHz, layout, &got, sink)
	return rateHz, channels, explain(err, info.Path)
}

// decode gives the sound of a file to sink, sample 0 at 0 on the clip clock, and
// counts the samples of all channels.
func (e *Engine) decode(ctx context.Context, info *Info, rateHz int, layout string, got *int64, sink func([]float32) error) error {
	return run(ctx, process{
		program: e.ffmpeg,
		args: []string{
			"-v", "error", "-nostdin", "-copyts", "-i", "file:" + info.Path, "-map", stream(info.Sound.Stream),
			"-af", fmt.Sprintf("asetpts=PTS-%.6f/TB,aresample=async=1:first_pts=0,aformat=sample_fmts=flt:sample_rates=%d:channel_layouts=%s", info.Start, rateHz, layout),
			"-f", "f32le", "pipe:1",
		},
		stdout: func(r io.Reader) error { return readFloats(r, got, sink) },
	})
}

// stream names one stream of the first input.
func stream(index int) string { return fmt.Sprintf("0:%d", index) }

// readFloats passes little-endian float32 samples on and counts them.
func readFloats(r io.Reader, got *int64, sink func([]float32) error) error {
	raw := make([]byte, 4*chunkSamples)
	chunk := make([]float32, chunkSamples)
	for {
		n, err := io.ReadFull(r, raw)
		for i := range n / 4 {
			chunk[i] = math.Float32frombits(binary.LittleEndian.Uint32(raw[4*i:]))
		}
		if n >= 4 {
			*got += int64(n / 4)
			if err := sink(chunk[:n/4]); err != nil {
				return err
			}
		}
		switch {
		case err == io.EOF || err == io.ErrUnexpectedEOF:
			return nil
		case err != nil:
			return err
		}
	}
}
