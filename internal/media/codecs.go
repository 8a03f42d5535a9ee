package media

import (
	"fmt"
	"slices"

	"takeweave/internal/film"
)

// Codec is a way to code the picture of a film.
type Codec string

// The codecs in which a film is rendered.
const (
	H264   Codec = "h264"   // 8 bit 4:2:0 in .mp4: plays everywhere
	HEVC   Codec = "hevc"   // 8 or 10 bit 4:2:0 in .mp4
	ProRes Codec = "prores" // 422 HQ, 10 bit 4:2:2 in .mov: for further work
)

var allCodecs = []Codec{H264, HEVC, ProRes}

// String names the codec as people do.
func (c Codec) String() string {
	switch c {
	case HEVC:
		return "HEVC"
	case ProRes:
		return "ProRes 422 HQ"
	}
	return "H.264"
}

// Ext returns the ending of the files of a codec, segments and films.
func (c Codec) Ext() string { return "." + c.muxer() }

func (c Codec) muxer() string {
	if c == ProRes {
		return "mov"
	}
	return "mp4"
}

// encoder returns FFmpeg's name of the encoder.
func (c Codec) encoder() string {
	switch c {
	case HEVC:
		return "libx265"
	case ProRes:
		return "prores_ks"
	}
	return "libx264"
}

// hevcTag marks HEVC whose headers lie in the table of contents only; some
// players take no other. Source: [ISO14496-15], 8.4.1.
const hevcTag = "hvc1"

// joinable returns the arguments that make segments of a codec fit together,
// beyond those of EncoderSettings: headers that depend neither on the picture
// nor on where the source, if there is one, has its chroma samples.
func (c Codec) joinable() []string {
	args := []string{"-chroma_sample_location", "left"}
	if c == H264 {
		args = append(args, "-x264-params", "stitchable=1")
	}
	return args
}

// BitsFor returns the bits a component that keep what the sources hold: 10 when
// one of them has more than 8.
func BitsFor(sources ...Info) int {
	for _, s := range sources {
		if s.Picture != nil && s.Picture.Bits > 8 {
			return 10
		}
	}
	return 8
}

// Codecs returns the codecs that this engine can write.
func (e *Engine) Codecs() []Codec { return slices.Clone(e.codecs) }

// CanEncode returns nil for a codec that this engine can write, else an error
// that says what is missing.
func (e *Engine) CanEncode(c Codec) error {
	if slices.Contains(e.codecs, c) {
		return nil
	}
	if !slices.Contains(allCodecs, c) {
		return &film.Error{Code: film.CodeUsage, Msg: fmt.Sprintf("there is no codec called %q", string(c)), Hint: "use h264, hevc or prores"}
	}
	which := "the installed FFmpeg"
	if e.kind == Embedded {
		which = "the built-in FFmpeg"
	}
	return &film.Error{
		Code: film.CodeNoEngine, Msg: fmt.Sprintf("%s cannot write %s", which, c),
		Hint: fmt.Sprintf("install an ffmpeg that has %s, or render in H.264", c.encoder()),
	}
}
