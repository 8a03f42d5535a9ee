package media

import (
	"context"
	"fmt"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"takeweave/internal/film"
)

// frameHashes decodes a file and returns the hash of each of its pictures.
func frameHashes(t *testing.T, path string) (hashes []string) {
	t.Helper()
	for line := range strings.Lines(string(plain(t, "-i", path, "-map", "0:v", "-vsync", "passthrough", "-f", "framemd5", "-"))) {
		if f := strings.Split(line, ","); len(f) == 6 && !strings.HasPrefix(line, "#") {
			hashes = append(hashes, strings.TrimSpace(f[5]))
		}
	}
	return hashes
}

// In every codec the film's pictures are those of its segments, bit by bit, on
// the grid and marked right; the sound fits the file.
func TestEveryCodecJoinsWithoutLoss(t *testing.T) {
	recordOnce()
	c := counterClips(t)["50"]
	info := probeOf(t, c.path)
	record := filepath.Join(t.TempDir(), "record.flac")
	plain(t, "-f", "f32le", "-ar", "48000", "-ac", "2", "-i", filepath.Join(clipsDir, "record.f32"), record)
	recordInfo := probeOf(t, record)
	rate := film.Rate{Num: 24000, Den: 1001}
	lengths := []film.Frames{7, 1, 3, 2, 40, 1}
	eachEngine(t, func(t *testing.T, e *Engine) {
		for name, test := range map[string]struct {
			settings EncoderSettings
			tags     []string
			sound    string
		}{
			"H.264":         {EncoderSettings{Codec: H264}, []string{"codec_name=h264", "pix_fmt=yuv420p"}, "aac"},
			"HEVC":          {EncoderSettings{Codec: HEVC, Preset: "fast"}, []string{"codec_name=hevc", "codec_tag_string=hvc1", "profile=Main", "pix_fmt=yuv420p"}, "aac"},
			"HEVC, 10 bits": {EncoderSettings{Codec: HEVC, Bits: 10, Preset: "fast"}, []string{"codec_name=hevc", "codec_tag_string=hvc1", "profile=Main 10", "pix_fmt=yuv420p10le"}, "aac"},
			"ProRes":        {EncoderSettings{Codec: ProRes}, []string{"codec_name=prores", "profile=HQ", "pix_fmt=yuv422p10le"}, "pcm_s24le"},
		} {
			t.Run(name, func(t *testing.T) {
				codec, lengths := test.settings.Codec, lengths
				if e.Kind() == Embedded {
					if codec == H264 {
						t.Skip("done by the test of the grid")
					}
					lengths = lengths[:3] // each start costs it half a second
				}
				dir := t.TempDir()
				var segments, want []string
				headers := map[string]bool{}
				for i, n := range lengths {
					spec := ShotSpec{
						Source: c.path, Info: info, From: film.PassTime(0.3 * float64(i)), Frames: n, Rate: rate, Width: 2 * counterW, Height: 2 * counterH,
						Out: filepath.Join(dir, fmt.Sprint(i, codec.Ext())), Encoder: test.settings,
					}
					if i == 2 {
						spec.Source = "" // a hole
					}
					err := e.Shot(context.Background(), spec, nil)
					if !slices.Contains(e.Codecs(), codec) {
						if film.CodeOf(err) != film.CodeNoEngine || film.HintOf(err) == "" {
							t.Errorf("got %v, want code %s and a hint", err, film.CodeNoEngine)
						}
						mustBeEmpty(t, dir)
						return
					}
					if err != nil {
						t.Fatal(err)
					}
					segments = append(segments, spec.Out)
					want = append(want, frameHashes(t, spec.Out)...)
					headers[string(plainTool(t, "ffprobe", "-v", "error", "-show_data_hash", "md5", "-show_entries", "stream=extradata_hash", "-of", "compact", spec.Out))] = true
				}
				if len(headers) != 1 {
					t.Errorf("the segments have %d different headers", len(headers))
				}
				out := filepath.Join(dir, "film"+codec.Ext())
				if err := e.Join(context.Background(), JoinSpec{Segments: segments, Frames: lengths, Rate: rate, Record: record, RecordInfo: recordInfo, Out: out}); err != nil {
					t.Fatal(err)
				}
				if got := frameHashes(t, out); !slices.Equal(got, want) {
					t.Errorf("%d pictures, not all those of the %d in the segments", len(got), len(want))
				}
				checkGrid(t, out, rate, len(want))
				checkTagsOf(t, out, test.tags...)
				if got := probeOf(t, out).Sound; got.Codec != test.sound || got.Rate != 48000 || got.Channels != 2 {
					t.Errorf("sound %+v, want %s", *got, test.sound)
				}
				if e.Kind() == Native {
					want, got := monoOf(t, record, 48000), monoOf(t, out, 48000)
					if lag, like := bestLag(want[9000:9000+4096], got, 9000, 1100); lag != 0 || like < 0.9 {
						t.Errorf("the sound is like the record (%.3f) at lag %d, want lag 0", like, lag)
					}
				}
				wrong := filepath.Join(dir, "wrong"+map[string]string{".mp4": ".mov", ".mov": ".mp4"}[codec.Ext()])
				err := e.Join(context.Background(), JoinSpec{Segments: segments, Frames: lengths, Rate: rate, Out: wrong})
				if film.CodeOf(err) != film.CodeUsage || film.HintOf(err) == "" {
					t.Errorf("%s: got %v, want code %s and a hint", wrong, err, film.CodeUsage)
				}
			})
		}
	})
}

// What each engine says that it can write is what its FFmpeg lists.
func TestCodecsAreThoseOfTheEngine(t *testing.T) {
	for _, e := range engines {
		listed, err := e.output(context.Background(), e.ffmpeg, "-hide_banner", "-encoders")
		if err != nil {
			t.Fatal(err)
		}
		for _, c := range allCodecs {
			if has := strings.Contains(listed, " "+c.encoder()+" "); has != (e.CanEncode(c) == nil) || has != slices.Contains(e.Codecs(), c) {
				t.Errorf("%s, %s: listed %v, said %v", e.Kind(), c, has, e.CanEncode(c))
			}
		}
		if err := e.CanEncode("mpeg9"); film.CodeOf(err) != film.CodeUsage {
			t.Errorf("an unknown codec: %v", err)
		}
	}
}

func TestBitsForSources(t *testing.T) {
	eight, ten := Info{Picture: &Picture{Bits: 8}}, Info{Picture: &Picture{Bits: 10}}
	for _, test := range []struct {
		sources []Info
		want    int
	}{{nil, 8}, {[]Info{eight, {}}, 8}, {[]Info{eight, ten}, 10}} {
		if got := BitsFor(test.sources...); got != test.want {
			t.Errorf("%d sources: %d bits, want %d", len(test.sources), got, test.want)
		}
	}
}
