package media

import (
	"bufio"
	"context"
	"encoding/json"
	"io"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"time"

	"takeweave/internal/film"
)

// Info is what a file holds. Picture and Sound are the streams that all work
// uses: the first that the file marks as default, else the first; cover art
// does not count. At least one of the two is set.
type Info struct {
	Path      string  // absolute
	Container string  // FFmpeg's name of the format, such as "mov,mp4,m4a,3gp,3g2,mj2"
	Start     float64 // the container's own time at the clip clock's 0, seconds
	Duration  float64
	Created   time.Time // as the camera's clock wrote it into the file; zero when it did not
	Picture   *Picture
	Sound     *Sound
}

// Picture describes a picture stream.
type Picture struct {
	Stream                      int // index in the file
	Codec                       string
	Width, Height               int       // as shown: upright, square pixels
	CodedWidth, CodedHeight     int       // as stored
	Rotation                    int       // degrees clockwise that make it upright: 0, 90, 180 or 270
	Rate                        film.Rate // nominal, or the average when variable
	Variable                    bool
	Start, End                  float64 // on the clip clock, seconds
	PixFmt                      string
	Bits                        int // per component
	FullRange                   bool
	Matrix, Primaries, Transfer string // FFmpeg's names, "" when not said
	HDR                         bool   // HLG or PQ
	Interlaced                  bool
}

// Sound describes a sound stream.
type Sound struct {
	Stream   int // index in the file
	Codec    string
	Rate     int // Hz
	Channels int
	Start    float64 // on the clip clock, seconds
	Duration float64 // seconds
}

// probed is the part of ffprobe's JSON that is read.
type probed struct {
	Format struct {
		Name     string `json:"format_name"`
		Start    string `json:"start_time"`
		Duration string `json:"duration"`
		Score    int    `json:"probe_score"`
		Tags     struct {
			Created string `json:"creation_time"`
		} `json:"tags"`
	} `json:"format"`
	Streams []probedStream `json:"streams"`
}

type probedStream struct {
	Index       int               `json:"index"`
	Type        string            `json:"codec_type"`
	Codec       string            `json:"codec_name"`
	Width       int               `json:"width"`
	Height      int               `json:"height"`
	Aspect      string            `json:"sample_aspect_ratio"`
	Reorder     int               `json:"has_b_frames"`
	PixFmt      string            `json:"pix_fmt"`
	RawBits     string            `json:"bits_per_raw_sample"`
	Range       string            `json:"color_range"`
	Matrix      string            `json:"color_space"`
	Transfer    string            `json:"color_transfer"`
	Primaries   string            `json:"color_primaries"`
	FieldOrder  string            `json:"field_order"`
	NominalRate string            `json:"r_frame_rate"`
	AverageRate string            `json:"avg_frame_rate"`
	Start       string            `json:"start_time"`
	Duration    string            `json:"duration"`
	SampleRate  string            `json:"sample_rate"`
	Channels    int               `json:"channels"`
	Disposition map[string]int    `json:"disposition"`
	Tags        map[string]string `json:"tags"`
	SideData    []struct {
		Rotation float64 `json:"rotation"`
	} `json:"side_data_list"`
}

// minProbeScore is below FFmpeg's lowest score for a real MPEG file (26) and
// above what it gives when it guesses from chance bytes.
const minProbeScore = 25

// Probe looks into a file. Foreign, empty and cut-off files give a film.Error
// with film.CodeUnreadable and a plain reason.
func (e *Engine) Probe(ctx context.Context, path string) (Info, error) {
	path, err := filepath.Abs(path)
	if err != nil {
		return Info{}, err
	}
	stat, err := os.Stat(path)
	switch {
	case os.IsNotExist(err):
		return Info{}, &film.Error{Code: film.CodeNotFound, Path: path, Msg: "is not there", Hint: "check the path"}
	case err != nil:
		return Info{}, unreadable(path, "may not be read")
	case stat.IsDir():
		return Info{}, unreadable(path, "is a folder")
	case stat.Size() == 0:
		return Info{}, unreadable(path, "is empty")
	}
	p, err := e.probe(ctx, path)
	if err != nil {
		return Info{}, err
	}
	if p.Format.Score < minProbeScore || isStill(p.Format.Name) {
		return Info{}, unreadable(path, "is not a film or sound file")
	}
	origin := number(p.Format.Start)
	info := Info{Path: path, Container: p.Format.Name, Start: origin, Duration: number(p.Format.Duration)}
	info.Created, _ = time.Parse(time.RFC3339, p.Format.Tags.Created)
	if s := choose(p.Streams, "video"); s != nil {
		info.Picture = readPicture(s, origin)
	}
	if s := choose(p.Streams, "audio"); s != nil {
		info.Sound = readSound(s, origin)
	}
	if info.Picture == nil && info.Sound == nil {
		if choose(p.Streams, "video") != nil {
			return Info{}, unreadable(path, "has a picture that cannot be decoded; it may be cut off")
		}
		return Info{}, unreadable(path, "holds neither picture nor sound")
	}
	if err := e.fillEnds(ctx, &info); err != nil {
		return Info{}, err
	}
	return info, nil
}

func unreadable(path, msg string) error {
	return &film.Error{Code: film.CodeUnreadable, Path: path, Msg: msg, Hint: "leave it out, or copy it again from the card"}
}

func (e *Engine) probe(ctx context.Context, path string) (*probed, error) {
	text, err := e.output(ctx, e.ffprobe, "-v", "error", "-print_format", "json", "-show_format", "-show_streams", "file:"+path)
	if err != nil {
		if !looksLikeMP4(path) && strings.Contains(err.Error(), "Invalid data") {
			return nil, unreadable(path, "is not a film or sound file")
		}
		return nil, explain(err, path)
	}
	var p probed
	if err := json.Unmarshal([]byte(text), &p); err != nil {
		return nil, unreadable(path, "cannot be described by FFmpeg")
	}
	return &p, nil
}

// looksLikeMP4 reports whether a file begins with a box of an MP4 or MOV file;
// FFmpeg says of anything called .mp4 that its table of contents is missing.
// Source: ISO/IEC 14496-12, 4.2, and the older names of QuickTime.
func looksLikeMP4(path string) bool {
	f, err := os.Open(path)
	if err != nil {
		return false
	}
	defer f.Close()
	var head [8]byte
	if _, err := io.ReadFull(f, head[:]); err != nil {
		return false
	}
	switch string(head[4:]) {
	case "ftyp", "styp", "moov", "mdat", "free", "skip", "wide", "pnot":
		return true
	}
	return false
}

// isStill reports formats that are single pictures or text drawn as pictures.
func isStill(format string) bool {
	return format == "image2" || format == "tty" || format == "bin" || format == "xbin" || format == "adf" || format == "idf" ||
		format == "ico" || strings.HasSuffix(format, "_pipe")
}

// choose returns the stream to use of the given type, nil when there is none.
func choose(streams []probedStream, kind string) *probedStream {
	var first *probedStream
	for i := range streams {
		s := &streams[i]
		if s.Type != kind || s.Disposition["attached_pic"] == 1 || s.Disposition["still_image"] == 1 {
			continue
		}
		if s.Disposition["default"] == 1 {
			return s
		}
		if first == nil {
			first = s
		}
	}
	return first
}

func readPicture(s *probedStream, origin float64) *Picture {
	if s.Width <= 0 || s.Height <= 0 || s.PixFmt == "" || s.PixFmt == "unknown" || s.Codec == "" {
		return nil
	}
	p := &Picture{
		Stream: s.Index, Codec: s.Codec, Width: s.Width, Height: s.Height, CodedWidth: s.Width, CodedHeight: s.Height,
		Start: number(s.Start) - origin, PixFmt: s.PixFmt, Bits: componentBits(s),
		FullRange: s.Range == "pc" || strings.HasPrefix(s.PixFmt, "yuvj"),
		Matrix:    known(s.Matrix), Primaries: known(s.Primaries), Transfer: known(s.Transfer),
	}
	if x, y, ok := strings.Cut(s.Aspect, ":"); ok {
		if sx, sy := number(x), number(y); sx > 0 && sy > 0 {
			p.Width = int(math.Round(float64(s.Width) * sx / sy))
		}
	}
	for _, d := range s.SideData {
		if d.Rotation != 0 { // counter-clockwise there
			p.Rotation = ((-int(math.Round(d.Rotation/90))*90)%360 + 360) % 360
		}
	}
	if p.Rotation%180 == 90 {
		p.Width, p.Height = p.Height, p.Width
	}
	p.HDR = p.Transfer == "arib-std-b67" || p.Transfer == "smpte2084"
	p.Interlaced = s.FieldOrder == "tt" || s.FieldOrder == "bb" || s.FieldOrder == "tb" || s.FieldOrder == "bt"
	p.Rate, p.Variable = frameRate(s.NominalRate, s.AverageRate)
	p.End = p.Start + streamSeconds(s)
	return p
}

func readSound(s *probedStream, origin float64) *Sound {
	rate := int(number(s.SampleRate))
	if rate <= 0 || s.Channels <= 0 || s.Codec == "" {
		return nil
	}
	return &Sound{Stream: s.Index, Codec: s.Codec, Rate: rate, Channels: s.Channels, Start: number(s.Start) - origin, Duration: streamSeconds(s)}
}

// componentBits tells how many bits a component has.
func componentBits(s *probedStream) int {
	if n := int(number(s.RawBits)); n > 0 {
		return n
	}
	for _, n := range []int{9, 10, 12, 14, 16} {
		if strings.Contains(s.PixFmt, "p"+strconv.Itoa(n)) {
			return n
		}
	}
	return 8
}

// The rates that cameras have. A measured rate within rateSnap of one of them
// is that rate: files store them rounded (33333 us a frame, 90000/3001).
// Source: SMPTE ST 12-1 for the n·1000/1001 family; the rest common practice.
var cameraRates = []film.Rate{
	{Num: 24000, Den: 1001},
	{Num: 24, Den: 1},
	{Num: 25, Den: 1},
	{Num: 30000, Den: 1001},
	{Num: 30, Den: 1},
	{Num: 48, Den: 1},
	{Num: 50, Den: 1},
	{Num: 60000, Den: 1001},
	{Num: 60, Den: 1},
	{Num: 100, Den: 1},
	{Num: 120000, Den: 1001},
	{Num: 120, Den: 1},
	{Num: 240, Den: 1},
}

const (
	rateSnap = 0.0004 // less than half the distance between 29.97 and 30, which is 0.001
	// A variable clip's average departs from its nominal rate by more than
	// this. Below, it is the rounding of short durations: the phones and
	// cameras among the test clips with a steady rate stay under 0.1 %.
	variableFrom = 0.005
)

func frameRate(nominal, average string) (rate film.Rate, variable bool) {
	n, errN := film.ParseRate(nominal)
	a, errA := film.ParseRate(average)
	switch {
	case errN != nil && errA != nil:
		return film.Rate{}, false
	case errA != nil:
		return snap(n), false
	case errN != nil:
		return snap(a), false
	}
	if math.Abs(a.PerSecond()/n.PerSecond()-1) > variableFrom {
		return snap(a), true
	}
	return snap(n), false
}

func snap(r film.Rate) film.Rate {
	for _, c := range cameraRates {
		if math.Abs(r.PerSecond()/c.PerSecond()-1) < rateSnap {
			return c
		}
	}
	return r
}

// streamSeconds returns the stream's own length, 0 when the file does not say.
func streamSeconds(s *probedStream) float64 {
	if d := number(s.Duration); d > 0 {
		return d
	}
	for _, name := range []string{"DURATION", "DURATION-eng"} { // Matroska writes it as a tag, 00:01:02.340000000
		part := strings.Split(s.Tags[name], ":")
		if len(part) == 3 {
			return number(part[0])*3600 + number(part[1])*60 + number(part[2])
		}
	}
	return 0
}

// fillEnds completes the lengths that the streams do not say: from the file's
// length, or by reading the packets when that is missing too.
func (e *Engine) fillEnds(ctx context.Context, info *Info) error {
	if info.Duration <= 0 {
		end, err := e.lastPacketEnd(ctx, info)
		if err != nil {
			return err
		}
		info.Duration = end
	}
	if p := info.Picture; p != nil && p.End <= p.Start {
		p.End = math.Max(p.Start, info.Duration)
	}
	if s := info.Sound; s != nil && s.Duration <= 0 {
		s.Duration = math.Max(0, info.Duration-s.Start)
	}
	return nil
}

// lastPacketEnd reads through the file and returns where its last packet ends
// on the clip clock, in seconds.
func (e *Engine) lastPacketEnd(ctx context.Context, info *Info) (float64, error) {
	end := 0.0
	err := run(ctx, process{
		program: e.ffprobe, args: []string{
			"-v", "quiet", "-of", "compact=nokey=1",
			"-show_entries", "packet=pts_time,duration_time", "file:" + info.Path,
		},
		stdout: func(r io.Reader) error {
			lines := bufio.NewScanner(r)
			for lines.Scan() {
				f := strings.Split(lines.Text(), "|")
				if len(f) > 2 {
					end = math.Max(end, number(f[1])+number(f[2]))
				}
			}
			return lines.Err()
		},
	})
	if err != nil {
		return 0, explain(err, info.Path)
	}
	return end - info.Start, nil
}

// number reads one of ffprobe's numbers; "N/A" and "" are 0.
func number(s string) float64 {
	v, err := strconv.ParseFloat(s, 64)
	if err != nil {
		return 0
	}
	return v
}

func known(s string) string {
	if s == "unknown" || s == "unspecified" || s == "reserved" {
		return ""
	}
	return s
}
