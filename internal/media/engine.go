package media

import (
	"context"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"runtime"
	"strconv"
	"strings"

	"takeweave/internal/film"
	"takeweave/internal/media/codec"
)

// Kind says which of the two engines does the work.
type Kind string

// The two engines.
const (
	Native   Kind = "native"
	Embedded Kind = "embedded"
)

// The environment variables that Find reads.
const (
	EnvEngine = "TAKEWEAVE_ENGINE" // native, embedded or auto
	EnvFFmpeg = "TAKEWEAVE_FFMPEG" // path of a native ffmpeg; its ffprobe lies beside it
)

// Options chooses an engine.
type Options struct {
	Prefer string // "native", "embedded" or "auto"; "" reads TAKEWEAVE_ENGINE, and without it means auto
	Self   string // the program to start again for the embedded engine; "" means this one
}

// Engine runs FFmpeg. It is safe for use by several goroutines at once.
type Engine struct {
	kind    Kind
	ffmpeg  []string // program and leading arguments
	ffprobe []string
	version string
	major   int // FFmpeg's major version
	codecs  []Codec
	note    string // why the other engine was left aside, "" when it was not tried
}

// Find returns the engine to use: in the automatic setting the native ffmpeg
// if it can do all that is needed, else the embedded one. When neither can run
// the error has film.CodeNoEngine.
func Find(ctx context.Context, o Options) (*Engine, error) {
	prefer := o.Prefer
	if prefer == "" {
		prefer = os.Getenv(EnvEngine)
	}
	var tries []func(context.Context, Options) (*Engine, error)
	switch prefer {
	case "", "auto":
		tries = append(tries, findNative, findEmbedded)
	case string(Native):
		tries = append(tries, findNative)
	case string(Embedded):
		tries = append(tries, findEmbedded)
	default:
		return nil, &film.Error{Code: film.CodeUsage, Msg: fmt.Sprintf("there is no engine called %q", prefer), Hint: "use native, embedded or auto"}
	}
	var reasons []string
	for _, try := range tries {
		e, err := try(ctx, o)
		if err == nil {
			e.note = strings.Join(reasons, "; ")
			return e, nil
		}
		if ctx.Err() != nil {
			return nil, context.Cause(ctx)
		}
		reasons = append(reasons, err.Error())
	}
	return nil, &film.Error{
		Code: film.CodeNoEngine,
		Msg:  "no FFmpeg can be used: " + strings.Join(reasons, "; "),
		Hint: "install ffmpeg with libx264 (on Debian: apt-get install ffmpeg), or use a build of this program that carries its own",
	}
}

// What a native ffmpeg must be able to do.
var (
	needEncoders = []string{"libx264", "aac", "mjpeg", "pcm_s16le"}
	needFilters  = []string{"aformat", "aresample", "bwdif", "crop", "fade", "fillborders", "format", "fps", "loop", "lut3d", "movie", "overlay", "pad", "scale", "setpts", "settb", "tpad", "trim"}
	needBitFilts = []string{"setts"}
)

func findNative(ctx context.Context, _ Options) (*Engine, error) {
	path := os.Getenv(EnvFFmpeg)
	if path == "" {
		found, err := exec.LookPath("ffmpeg")
		if err != nil {
			return nil, errors.New("no ffmpeg is installed")
		}
		path = found
	}
	path, err := filepath.Abs(path)
	if err != nil {
		return nil, err
	}
	probe := filepath.Join(filepath.Dir(path), "ffprobe"+filepath.Ext(path))
	if _, err := os.Stat(probe); err != nil {
		if probe, err = exec.LookPath("ffprobe"); err != nil {
			return nil, fmt.Errorf("there is no ffprobe beside %s", path)
		}
	}
	e := &Engine{kind: Native, ffmpeg: []string{path}, ffprobe: []string{probe}}
	if err := e.readVersion(ctx); err != nil {
		return nil, fmt.Errorf("%s does not run: %w", path, err)
	}
	for _, list := range []struct {
		option, what string
		need         []string
	}{{"-encoders", "encoder", needEncoders}, {"-filters", "filter", needFilters}, {"-bsfs", "bit stream filter", needBitFilts}} {
		text, err := e.output(ctx, e.ffmpeg, "-hide_banner", list.option)
		if err != nil {
			return nil, fmt.Errorf("%s does not run: %w", path, err)
		}
		has := map[string]bool{}
		for _, word := range strings.Fields(text) {
			has[word] = true
		}
		for _, name := range list.need {
			if !has[name] {
				return nil, fmt.Errorf("%s lacks the %s %s", path, list.what, name)
			}
		}
		for _, c := range allCodecs {
			if has[c.encoder()] { // only in the list of encoders
				e.codecs = append(e.codecs, c)
			}
		}
	}
	return e, nil
}

func findEmbedded(ctx context.Context, o Options) (*Engine, error) {
	if err := codec.Available(); err != nil {
		return nil, err
	}
	self := o.Self
	if self == "" {
		exe, err := os.Executable()
		if err != nil {
			return nil, err
		}
		self = exe
	}
	e := &Engine{
		kind:    Embedded,
		codecs:  []Codec{H264, ProRes},
		ffmpeg:  []string{self, codec.Command, "ffmpeg"},
		ffprobe: []string{self, codec.Command, "ffprobe"},
	}
	if err := e.readVersion(ctx); err != nil { // also compiles the module the first time ever
		return nil, fmt.Errorf("the embedded FFmpeg does not run: %w", err)
	}
	return e, nil
}

var versionLine = regexp.MustCompile(`^ffmpeg version (\S+)`)

func (e *Engine) readVersion(ctx context.Context) error {
	text, err := e.output(ctx, e.ffmpeg, "-version")
	if err != nil {
		return err
	}
	m := versionLine.FindStringSubmatch(text)
	if m == nil {
		return errors.New("it does not answer like ffmpeg")
	}
	e.version, e.major = m[1], majorVersion(m[1])
	return nil
}

// newest stands for a version that names no number, such as a snapshot build.
const newest = 99

func majorVersion(version string) int {
	number, _, _ := strings.Cut(strings.TrimPrefix(version, "n"), ".")
	major, err := strconv.Atoi(number)
	if err != nil {
		return newest
	}
	return major
}

// Kind returns which engine this is.
func (e *Engine) Kind() Kind { return e.kind }

// Version returns FFmpeg's own version, for cache keys and reports.
func (e *Engine) Version() string { return e.version }

// Describe says in plain words which engine works and what that means for
// speed.
func (e *Engine) Describe() string {
	if e.kind == Native {
		return fmt.Sprintf("FFmpeg %s at %s, at full speed", e.version, e.ffmpeg[0])
	}
	s := fmt.Sprintf("the built-in FFmpeg %s: sound is read nearly as fast as with an installed FFmpeg, pictures three to nine times slower", strings.TrimPrefix(e.version, "n"))
	if e.note != "" {
		s += " (" + e.note + ")"
	}
	return s
}

// What an encode needs, for the source's decoding too. Measured at 640 × 360,
// 1920 × 1080 and 3840 × 2160 pixels: native with preset medium 464 MB and (with
// the short lookahead of Encoder) 0.92 GB for the larger two, embedded with
// superfast 292 and 629 MB for the smaller two; the rest is between them.
const (
	nativeEncodeMB     = 110.0 // and for each megapixel
	nativePerMegapixel = 165.0
	wasmEncodeMB       = 260.0 // it cannot give memory back
	wasmPerMegapixel   = 185.0
	encodersMB         = 960.0 // for all encodes side by side: the program stays under 1 GB
)

// Parallel returns how many encodes of a picture size (in pixels) are sensible
// side by side on this machine: as many as cores, as far as memory allows.
func (e *Engine) Parallel(width, height int) int {
	megapixels := float64(width) * float64(height) / 1e6
	each := nativeEncodeMB + nativePerMegapixel*megapixels
	if e.kind == Embedded {
		each = wasmEncodeMB + wasmPerMegapixel*megapixels
	}
	n := min(runtime.GOMAXPROCS(0), int(encodersMB/each))
	if free := float64(freeMemoryBytes()) / 1e6; free > 0 {
		n = min(n, int(free/each))
	}
	return max(n, 1)
}

// threads returns how many threads each of Parallel encodes gets; the embedded
// engine has only one.
func (e *Engine) threads(width, height int) int {
	if e.kind == Embedded {
		return 1
	}
	return max(1, runtime.GOMAXPROCS(0)/e.Parallel(width, height))
}

// freeMemoryBytes returns the memory that is free for use, 0 when unknown.
func freeMemoryBytes() int64 {
	text, err := os.ReadFile("/proc/meminfo")
	if err != nil {
		return 0
	}
	for line := range strings.Lines(string(text)) {
		if rest, ok := strings.CutPrefix(line, "MemAvailable:"); ok {
			kb, _ := strconv.ParseInt(strings.TrimSuffix(strings.TrimSpace(rest), " kB"), 10, 64)
			return kb << 10
		}
	}
	return 0
}

// output runs a short command and returns what it prints.
func (e *Engine) output(ctx context.Context, program []string, args ...string) (string, error) {
	var text strings.Builder
	err := run(ctx, process{program: program, args: args, stdout: copyTo(&text)})
	return text.String(), err
}

// passthrough are the arguments that keep every frame with its own time.
func (e *Engine) passthrough() []string {
	if e.major <= 5 { // the new name came with 5.1, the old one left with 8
		return []string{"-vsync", "passthrough"}
	}
	return []string{"-fps_mode", "passthrough"}
}
