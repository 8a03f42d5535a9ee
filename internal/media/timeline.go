package media

import (
	"bufio"
	"context"
	"fmt"
	"io"
	"math"
	"strings"

	"takeweave/internal/film"
)

// seekLead is how much earlier than needed decoding starts, in seconds: room
// for the reordering of an open group of pictures, so that the frames just
// before and at the wanted time are decoded from a key frame.
const seekLead = 0.5

// openAt returns the input arguments that decode the picture from a key frame
// before `from` on the clip clock. Frames keep the times that the container
// gives them, Info.Start more than the clip clock: when FFmpeg moves the clock
// it rounds the move to the container's ticks, which in AVI are whole frames,
// and in a transport stream it moves to the first chosen stream.
func (e *Engine) openAt(ctx context.Context, info *Info, from float64) ([]string, error) {
	seek := from - seekLead
	if seek > 0 && !hasKeyIndex(info.Container) {
		key, err := e.keyFrameBefore(ctx, info, from)
		if err != nil {
			return nil, err
		}
		seek = key - 2*seekLead // a seek by bytes may land a little late
	}
	args := []string{"-copyts"}
	if seek > 0 {
		args = append(args, "-noaccurate_seek", "-ss", fmt.Sprintf("%.3f", seek))
	}
	return append(args, "-i", "file:"+info.Path), nil
}

// hasKeyIndex reports whether seeking in this container lands on key frames.
func hasKeyIndex(container string) bool {
	for name := range strings.SplitSeq(container, ",") {
		switch name {
		case "mov", "mp4", "matroska", "avi", "mxf", "flv":
			return true
		}
	}
	return false
}

// keySearch is how far before the wanted time a key frame is looked for first,
// in seconds; it doubles until one is found.
const keySearch = 4.0

// keyFrameBefore returns the clip time of the last key frame at or before
// `from`, 0 when there is none. It reads packets only.
func (e *Engine) keyFrameBefore(ctx context.Context, info *Info, from float64) (float64, error) {
	for back := keySearch; ; back *= 2 {
		key, found := 0.0, false
		err := run(ctx, process{
			program: e.ffprobe, args: []string{
				"-v", "quiet", "-of", "compact=nokey=1",
				"-select_streams", fmt.Sprint(info.Picture.Stream), "-show_entries", "packet=pts_time,flags",
				"-read_intervals", fmt.Sprintf("%.3f%%%.3f", info.Start+math.Max(0, from-back), info.Start+from), "file:" + info.Path,
			},
			stdout: func(r io.Reader) error {
				lines := bufio.NewScanner(r)
				for lines.Scan() {
					f := strings.Split(lines.Text(), "|")
					if len(f) < 3 || !strings.HasPrefix(f[2], "K") {
						continue
					}
					if t := number(f[1]) - info.Start; t <= from && (!found || t > key) {
						key, found = t, true
					}
				}
				return lines.Err()
			},
		})
		if err != nil {
			return 0, explain(err, info.Path)
		}
		if found || back > from {
			return key, nil
		}
	}
}

// nearest returns the filters that put out, at each instant k/rate, the source
// frame whose time on the clip clock is nearest to from + k/rate*speed.
//
// The fps filter shows the last frame that has begun. So every frame is made to
// begin half-way between the one before it and itself: then the last one begun
// is the nearest one, whatever the rates.
func nearest(info *Info, from float64, rate film.Rate, speed float64) string {
	return fmt.Sprintf("settb=AVTB,setpts='round((if(isnan(PREV_INPTS),PTS,(PTS+PREV_INPTS)/2)-%.6f/TB)/%.9f)',fps=%s:start_time=0:round=up", info.Start+from, speed, rate)
}

// deinterlace returns the filter for an interlaced source with a comma after
// it, else "".
func deinterlace(p *Picture) string {
	if !p.Interlaced {
		return ""
	}
	return "bwdif=mode=send_frame:deint=interlaced,"
}
