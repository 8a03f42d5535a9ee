package media

import "fmt"

// EncoderSettings are those of the encoder. The zero value of a field takes it
// from Engine.Encoder. ProRes heeds only Threads.
type EncoderSettings struct {
	Codec   Codec
	Bits    int    // of HEVC, 8 or 10 (see BitsFor); H.264 has 8, ProRes 10
	Preset  string // ultrafast ... veryslow
	CRF     int    // 1 finest, 18 hardly to be told from the source, 51 worst
	GOP     int    // frames from key frame to key frame, at most
	Threads int    // 0: what suits Parallel encodes side by side
	// Lookahead is how many frames the encoder keeps to plan with; 0 is the
	// preset's own number. It is what large pictures need most memory for.
	Lookahead int
}

// largePicture is the size in pixels from which the encoder looks less far
// ahead, to stay within encodersMB: UHD took 1.5 GB with preset medium's 40
// frames.
const (
	largePicture   = 4e6
	shortLookahead = 10
)

// Encoder returns the settings that suit a film of a size in pixels on this
// engine: the embedded one would take minutes a second with a slower preset.
func (e *Engine) Encoder(width, height int) EncoderSettings {
	s := EncoderSettings{Codec: H264, Bits: 8, Preset: "medium", CRF: 18, GOP: 50, Threads: e.threads(width, height)}
	if float64(width)*float64(height) > largePicture {
		s.Lookahead = shortLookahead
	}
	if e.kind == Embedded {
		s.Preset = "superfast"
	}
	return s
}

// orElse fills the fields of s that are not set from d.
func (s EncoderSettings) orElse(d EncoderSettings) EncoderSettings {
	if s.Codec == "" {
		s.Codec = d.Codec
	}
	if s.Bits == 0 {
		s.Bits = d.Bits
	}
	if s.Preset == "" {
		s.Preset = d.Preset
	}
	if s.CRF == 0 {
		s.CRF = d.CRF
	}
	if s.GOP == 0 {
		s.GOP = d.GOP
	}
	if s.Threads == 0 {
		s.Threads = d.Threads
	}
	if s.Lookahead == 0 {
		s.Lookahead = d.Lookahead
	}
	return s
}

// pixels returns FFmpeg's name of the pixel format that is encoded.
func (s EncoderSettings) pixels() string {
	switch {
	case s.Codec == ProRes:
		return "yuv422p10"
	case s.Codec == HEVC && s.Bits == 10:
		return "yuv420p10"
	}
	return YUV420P
}

// args returns ffmpeg's arguments for these settings and BT.709 at limited
// range.
func (s EncoderSettings) args() []string {
	args := []string{"-c:v", s.Codec.encoder()}
	if s.Codec == ProRes {
		args = append(args, "-profile:v", "hq")
	} else {
		args = append(args, "-preset", s.Preset, "-crf", fmt.Sprint(s.CRF), "-g", fmt.Sprint(s.GOP))
	}
	args = append(args, "-threads:v", fmt.Sprint(s.Threads), "-pix_fmt", s.pixels(),
		"-color_primaries", "bt709", "-color_trc", "bt709", "-colorspace", "bt709", "-color_range", "tv")
	switch {
	case s.Codec == HEVC:
		args = append(args, "-tag:v", hevcTag, "-x265-params", s.hevcParameters())
	case s.Codec == H264 && s.Lookahead > 0:
		args = append(args, "-rc-lookahead", fmt.Sprint(s.Lookahead))
	}
	return args
}

// hevcParameters returns what x265 takes only in its own words. Its headers do
// not depend on the picture, so that segments join (the two opt- switches would
// fit them to it); groups are closed, so that every key frame can be sought.
func (s EncoderSettings) hevcParameters() string {
	p := fmt.Sprintf("log-level=error:info=0:open-gop=0:opt-qp-pps=0:opt-ref-list-length-pps=0:pools=%d", s.Threads)
	if s.Lookahead > 0 {
		p += fmt.Sprintf(":rc-lookahead=%d", s.Lookahead)
	}
	return p
}
