package media

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"

	"takeweave/internal/film"
)

// A counter frame shows its own number: counterBits blocks from left to right,
// lowest bit first, dark for 0 and bright for 1. It survives coding, scaling and
// a change of range.
const (
	counterBits = 10
	counterW    = 160
	counterH    = 90
)

func drawCounter(pix []byte, n int) {
	for i := range pix[:counterW*counterH] {
		pix[i] = 50
		if block := i % counterW * counterBits / counterW; n>>block&1 == 1 {
			pix[i] = 200
		}
	}
	for i := counterW * counterH; i < len(pix); i++ {
		pix[i] = 128
	}
}

// readCounter reads the number off a grey picture of w x h.
func readCounter(pix []byte, w, h int) int {
	n := 0
	for block := range counterBits {
		if pix[h/2*w+(2*block+1)*w/(2*counterBits)] > 125 {
			n |= 1 << block
		}
	}
	return n
}

// plain runs the native FFmpeg without any of our code: it makes the special
// clips and is the reference that our results are held against.
func plain(t testing.TB, args ...string) []byte {
	t.Helper()
	return plainTool(t, "ffmpeg", append([]string{"-v", "error", "-y"}, args...)...)
}

func plainTool(t testing.TB, tool string, args ...string) []byte {
	t.Helper()
	var out, log bytes.Buffer
	cmd := exec.Command(tool, args...)
	cmd.Stdout, cmd.Stderr = &out, &log
	if err := cmd.Run(); err != nil {
		t.Fatalf("%s %q: %v\n%s", tool, args, err, log.String())
	}
	return out.Bytes()
}

// counterClip is a clip of counter frames with what the reference says of it.
type counterClip struct {
	path  string
	times []float64 // of each frame on the clip clock, in order of showing
}

// The clips are made once for all tests.
var (
	clipsOnce sync.Once
	clips     map[string]counterClip
	clipsDir  string
)

// clipArgs makes each clip from a plain 25 fps source of counter frames 0, 1, 2...
var clipArgs = map[string]struct {
	file string
	args string
}{
	"25":            {"a.mp4", "-vf setpts=N/25/TB -c:v libx264 -g 50 -bf 3"},
	"29.97":         {"b.mp4", "-r 30000/1001 -vf setpts=N/(30000/1001)/TB -c:v libx264 -g 30 -bf 2"},
	"50":            {"c.mov", "-r 50 -vf setpts=N/50/TB -c:v libx264 -g 100"},
	"23.976 in mkv": {"d.mkv", "-r 24000/1001 -vf setpts=N/(24000/1001)/TB -c:v libx264 -g 48"},
	"59.94 long open groups": {"e.mp4", "-r 60000/1001 -vf setpts=N/(60000/1001)/TB -c:v libx264 -g 250 -bf 8 " +
		"-x264-params open-gop=1:b-adapt=0:b-pyramid=normal:scenecut=0"},
	"120": {"f.mp4", "-r 120 -vf setpts=N/120/TB -c:v libx264 -g 120"},
	"variable": {"g.mp4", "-vsync passthrough -enc_time_base 1:90000 " +
		"-vf setpts='(N/25+0.012*sin(N)+0.3*gt(N,70)+0.15*gt(N,110))/TB' -c:v libx264 -g 60 -bf 3"},
	"frames dropped":                 {"h.mkv", "-vsync passthrough -vf select='not(eq(mod(n,7),3)+eq(mod(n,31),30))' -c:v libx264 -g 40"},
	"transport stream, start not 0":  {"i.mts", "-vf setpts=N/25/TB -c:v libx264 -g 125 -bf 3 -output_ts_offset 37.5"},
	"transport stream, one group":    {"j.ts", "-r 50 -vf setpts=N/50/TB -c:v libx264 -g 500 -bf 3 -x264-params scenecut=0"},
	"picture starts late":            {"k.mp4", "-f lavfi -i sine=d=9 -map 0:v -map 1:a -vf setpts=(N/25+0.73)/TB -c:v libx264 -g 50 -bf 3 -c:a aac"},
	"transport stream, picture late": {"o.mts", "-f lavfi -i sine=d=9 -map 0:v -map 1:a -vf setpts=(N/25+0.73)/TB -c:v libx264 -g 50 -bf 3 -c:a aac"},
	"interlaced":                     {"p.mts", "-vf setpts=N/25/TB,setfield=tff -c:v mpeg2video -flags +ilme+ildct -q:v 3 -bf 2 -g 15"},
	"avi mjpeg":                      {"l.avi", "-vf setpts=N/25/TB -c:v mjpeg -q:v 3 -pix_fmt yuvj420p"},
	"prores":                         {"m.mov", "-vf setpts=N/25/TB -c:v prores_ks -pix_fmt yuv422p10le"},
	"hevc open groups":               {"n.mp4", "-vf setpts=N/25/TB -c:v libx265 -x265-params log-level=none:open-gop=1:keyint=40:bframes=8:scenecut=0"},
}

const counterFrames = 200

func counterClips(t testing.TB) map[string]counterClip {
	t.Helper()
	clipsOnce.Do(func() {
		clips = map[string]counterClip{}
		raw := filepath.Join(clipsDir, "raw.mkv")
		n := 0
		err := engines[0].Encode(context.Background(), EncodeSpec{
			Out: raw, Width: counterW, Height: counterH,
			Rate: film.Rate{Num: 25, Den: 1}, Format: YUV420P, Encoder: EncoderSettings{Preset: "ultrafast", CRF: 10},
		},
			func(pix []byte) error {
				if n == counterFrames {
					return io.EOF
				}
				drawCounter(pix, n)
				n++
				return nil
			})
		if err != nil {
			t.Fatal(err)
		}
		var wait sync.WaitGroup
		var lock sync.Mutex
		for name, c := range clipArgs {
			wait.Go(func() {
				path := filepath.Join(clipsDir, c.file)
				args := append([]string{"-i", raw}, strings.Fields(c.args)...)
				if i := slices.Index(args, "lavfi"); i > 0 { // another input goes before the output options
					args = append([]string{"-i", raw}, args[2:]...)
				}
				plain(t, append(args, path)...)
				lock.Lock()
				defer lock.Unlock()
				clips[name] = counterClip{path, frameTimesOf(t, path)}
			})
		}
		wait.Wait()
	})
	return clips
}

// frameTimesOf lists when each picture is shown, on the clip clock, as ffprobe
// decodes it.
func frameTimesOf(t testing.TB, path string) []float64 {
	t.Helper()
	start, err := strconv.ParseFloat(strings.TrimSpace(string(plainTool(t, "ffprobe", "-v", "error", "-show_entries", "format=start_time", "-of", "csv=p=0", path))), 64)
	if err != nil {
		t.Fatal(err)
	}
	var times []float64
	for line := range strings.Lines(string(plainTool(t, "ffprobe", "-v", "error", "-select_streams", "v:0", "-show_entries", "frame=pts_time", "-of", "csv=p=0", path))) {
		text := strings.Trim(strings.TrimSpace(line), ",")
		if text == "" {
			continue // side data
		}
		v, err := strconv.ParseFloat(text, 64)
		if err != nil {
			t.Fatalf("%s: ffprobe gives a frame time %q", path, line)
		}
		times = append(times, v-start)
	}
	return times
}

// shownNumbers reads the numbers off all frames of a file with the plain
// decoder.
func shownNumbers(t testing.TB, path string, w, h int) []int {
	t.Helper()
	pix := plain(t, "-i", path, "-map", "0:v:0", "-vsync", "passthrough", "-f", "rawvideo", "-pix_fmt", "gray", "-")
	var got []int
	for len(pix) >= w*h {
		got = append(got, readCounter(pix, w, h))
		pix = pix[w*h:]
	}
	return got
}

// checkNearest compares the numbers of a shot with the frames that are nearest
// to from + k/rate*speed. Where two frames are equally near, to tieSeconds,
// either may show.
func checkNearest(t *testing.T, c counterClip, numbers []int, got []int, from, speed float64, rate film.Rate) {
	t.Helper()
	const tieSeconds = 0.0006 // Matroska stores times to a millisecond
	for k, n := range got {
		at := from + float64(k)*rate.FrameSeconds()*speed
		best := math.Inf(1)
		for _, v := range c.times {
			best = min(best, math.Abs(v-at))
		}
		i := slices.Index(numbers, n)
		if i < 0 {
			t.Errorf("film frame %d shows %d, which is no frame of the source", k, n)
		} else if off := math.Abs(c.times[i] - at); off > best+2*tieSeconds {
			t.Errorf("film frame %d at %.4f s shows source frame %d of %.4f s; the nearest is %.4f s away", k, at, n, c.times[i], best)
		}
	}
}

func ExampleEngine_Encode() {
	// A clip of one second, drawn frame by frame.
	dir, _ := os.MkdirTemp("", "media")
	defer os.RemoveAll(dir)
	n := 0
	err := engines[0].Encode(context.Background(), EncodeSpec{
		Out: filepath.Join(dir, "clip.mp4"), Width: counterW, Height: counterH,
		Rate: film.Rate{Num: 25, Den: 1}, Format: YUV420P,
	}, func(pix []byte) error {
		if n == 25 {
			return io.EOF
		}
		drawCounter(pix, n)
		n++
		return nil
	})
	fmt.Println(n, err)
	// Output: 25 <nil>
}
