package media

import (
	"bytes"
	"context"
	"encoding/binary"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"

	"takeweave/internal/film"
)

// segmentsOf renders shots of the given lengths from the counter clip at 50
// fps, with B-frames, and returns the segments and the numbers they must show.
func segmentsOf(t *testing.T, e *Engine, rate film.Rate, lengths []film.Frames) (paths []string, numbers []int) {
	t.Helper()
	c := counterClips(t)["50"]
	info := probeOf(t, c.path)
	dir := t.TempDir()
	for i, n := range lengths {
		from := 0.1 * float64(i)
		out := filepath.Join(dir, fmt.Sprintf("it's segment %d.mp4", i))
		spec := ShotSpec{
			Source: c.path, Info: info, From: film.PassTime(from), Frames: n, Rate: rate, Width: counterW, Height: counterH,
			Out: out, Encoder: EncoderSettings{Preset: "medium", CRF: 18},
		}
		if i == 2 {
			spec.Source = "" // a hole
		}
		if err := e.Shot(context.Background(), spec, nil); err != nil {
			t.Fatal(err)
		}
		numbers = append(numbers, shownNumbers(t, out, counterW, counterH)...)
		paths = append(paths, out)
	}
	return paths, numbers
}

func TestJoinKeepsEveryFrameOnTheGrid(t *testing.T) {
	counterClips(t)
	eachEngine(t, func(t *testing.T, e *Engine) {
		for _, rate := range []film.Rate{rate25, {Num: 24000, Den: 1001}, {Num: 30000, Den: 1001}} {
			if e.Kind() == Embedded && rate.Num != 24000 {
				continue // each start costs it half a second; this is the rate hardest to keep
			}
			t.Run(rate.String(), func(t *testing.T) {
				lengths := []film.Frames{7, 1, 3, 2, 24, 1, 1, 31}
				if e.Kind() == Embedded {
					lengths = []film.Frames{7, 1, 3, 12}
				}
				paths, want := segmentsOf(t, e, rate, lengths)
				out := filepath.Join(t.TempDir(), "film.mp4")
				if err := e.Join(context.Background(), JoinSpec{Segments: paths, Frames: lengths, Rate: rate, Out: out}); err != nil {
					t.Fatal(err)
				}
				if got := shownNumbers(t, out, counterW, counterH); fmt.Sprint(got) != fmt.Sprint(want) {
					t.Errorf("shows\n%v, want\n%v", got, want)
				}
				checkGrid(t, out, rate, len(want))
				checkTags(t, out)
				whole, err := os.ReadFile(out)
				if err != nil {
					t.Fatal(err)
				}
				if moov, mdat := bytes.Index(whole, []byte("moov")), bytes.Index(whole, []byte("mdat")); moov > mdat {
					t.Error("the table of contents lies behind the pictures: no fast start")
				}
			})
		}
	})
}

// checkGrid checks that picture k is shown at exactly k/rate.
func checkGrid(t *testing.T, path string, rate film.Rate, frames int) {
	t.Helper()
	text := string(plainTool(t, "ffprobe", "-v", "error", "-select_streams", "v:0", "-show_entries", "stream=time_base,r_frame_rate:frame=pts", "-of", "compact=nokey=1", path))
	var num, den, k int64
	for line := range strings.Lines(text) {
		f := strings.Split(strings.TrimSpace(line), "|")
		if f[0] == "stream" {
			if f[1] != rate.String() {
				t.Errorf("frame rate %s, want %s", f[1], rate)
			}
			fmt.Sscanf(f[2], "%d/%d", &num, &den)
		}
	}
	for line := range strings.Lines(text) {
		f := strings.Split(strings.TrimSpace(line), "|")
		if f[0] != "frame" {
			continue
		}
		var pts int64
		fmt.Sscan(f[1], &pts)
		if pts*num*rate.Num != k*rate.Den*den { // pts*num/den == k*Den/Num
			t.Errorf("frame %d is shown at tick %d of %d/%d s, not at %d/%s", k, pts, num, den, k, rate)
		}
		k++
	}
	if int(k) != frames {
		t.Errorf("%d frames, want %d", k, frames)
	}
}

// checkTags checks the marks of a BT.709 film with square pixels, in the
// stream and in the container's colr box.
// Source: ISO/IEC 23091-2, code points 1 for BT.709; ISO/IEC 14496-12, 12.1.5 for the box.
func checkTags(t *testing.T, path string) {
	t.Helper()
	checkTagsOf(t, path, "codec_name=h264", "pix_fmt=yuv420p")
}

// checkTagsOf checks the same and what else ffprobe must say of the stream.
func checkTagsOf(t *testing.T, path string, more ...string) {
	t.Helper()
	got := strings.TrimSpace(string(plainTool(t, "ffprobe", "-v", "error", "-select_streams", "v:0", "-of", "compact=p=0",
		"-show_entries", "stream=codec_name,codec_tag_string,profile,pix_fmt,color_range,color_space,color_transfer,color_primaries,sample_aspect_ratio", path)))
	for _, want := range append(more, "color_range=tv", "color_space=bt709", "color_transfer=bt709", "color_primaries=bt709", "sample_aspect_ratio=1:1") {
		if !slices.Contains(strings.Split(got, "|"), want) {
			t.Errorf("the film is marked %s, want %s", got, want)
		}
	}
	whole, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	box := "colrnclx\x00\x01\x00\x01\x00\x01\x00" // the last byte says the range
	if filepath.Ext(path) == ".mov" {
		box = "colrnclc\x00\x01\x00\x01\x00\x01" // which is always limited there
	}
	if !bytes.Contains(whole, []byte(box)) {
		t.Error("no colr box that says BT.709 at limited range")
	}
}

// The record of the tests: coloured noise, so that a shift by one sample shows.
const recordSeconds = 4.37

var recordFiles = map[string]string{
	"wav 44.1":          "-ar 44100 -c:a pcm_s16le r441.wav",
	"wav 48 24-bit":     "-ar 48000 -c:a pcm_s24le r48.wav",
	"flac 96":           "-ar 96000 r96.flac",
	"mp3":               "-ar 44100 -b:a 192k r.mp3",
	"m4a":               "-ar 44100 -c:a aac -b:a 160k r.m4a",
	"m4a 48 in a movie": "-ar 48000 -c:a aac r.mp4",
}

var recordOnce = sync.OnceFunc(func() {
	raw := make([]float32, int(recordSeconds*48000)*2)
	random := rand.New(rand.NewPCG(1, 2))
	left, right := 0.0, 0.0
	for i := 0; i < len(raw); i += 2 {
		left = 0.8*left + 0.1*random.NormFloat64()
		right = 0.8*right + 0.1*random.NormFloat64()
		raw[i], raw[i+1] = float32(left), float32(right)
	}
	if err := writeFloats(filepath.Join(clipsDir, "record.f32"), raw); err != nil {
		panic(err)
	}
})

func TestFilmSoundIsTheRecord(t *testing.T) {
	recordOnce()
	counterClips(t)
	eachEngine(t, func(t *testing.T, e *Engine) {
		ctx := context.Background()
		lengths := []film.Frames{50, 60}
		paths, _ := segmentsOf(t, engines[0], rate25, lengths)
		for name, args := range recordFiles {
			if e.Kind() == Embedded && name != "flac 96" && name != "m4a" {
				continue // the others take the same ways
			}
			t.Run(name, func(t *testing.T) {
				dir := t.TempDir()
				words := strings.Fields(args)
				record := filepath.Join(dir, words[len(words)-1])
				make := append([]string{"-f", "f32le", "-ar", "48000", "-ac", "2", "-i", filepath.Join(clipsDir, "record.f32")}, words[:len(words)-1]...)
				plain(t, append(make, record)...)
				info := probeOf(t, record)
				out := filepath.Join(dir, "film.mp4")
				if err := e.Join(ctx, JoinSpec{Segments: paths, Frames: lengths, Rate: rate25, Record: record, RecordInfo: info, Out: out}); err != nil {
					t.Fatal(err)
				}
				rate := min(info.Sound.Rate, 48000)
				want := monoOf(t, record, rate)
				got := monoOf(t, out, rate)
				const aacFrame = 1024
				if d := len(got) - len(want); d < 0 || d > aacFrame {
					t.Errorf("the film's sound has %d samples more than the record, want 0 to %d", d, aacFrame)
				}
				const window = 4096
				const alike = 0.9 // noise is hardest for AAC, above all its first frame; one sample off gives 0.8 with this noise
				for _, at := range []int{0, len(want)/2 - window/2, len(want) - window} {
					lag, like := bestLag(want[at:at+window], got, at, 1100)
					if lag != 0 || like < alike {
						t.Errorf("from sample %d the film's sound is like the record (%.3f) at lag %d, want lag 0", at, like, lag)
					}
				}
				if strings.Contains(args, "-c:a aac") { // copied: the same packets
					a := plain(t, "-i", record, "-map", "0:a", "-c", "copy", "-f", "md5", "-")
					b := plain(t, "-i", out, "-map", "0:a", "-c", "copy", "-f", "md5", "-")
					if !bytes.Equal(a, b) {
						t.Errorf("the AAC packets changed: %s, want %s", b, a)
					}
				}
				checkGrid(t, out, rate25, 110)
			})
		}
	})
}

// monoOf decodes a file's sound with the plain decoder.
func monoOf(t *testing.T, path string, rate int) []float32 {
	t.Helper()
	raw := plain(t, "-i", path, "-map", "0:a:0", "-ac", "1", "-ar", fmt.Sprint(rate), "-f", "f32le", "-")
	out := make([]float32, len(raw)/4)
	for i := range out {
		out[i] = math.Float32frombits(binary.LittleEndian.Uint32(raw[4*i:]))
	}
	return out
}

// bestLag returns by how many samples the piece of a at `at` is found later in
// b, up to ±most, and how alike the two are there (1: the same but for gain).
//
// 1100 is more than AAC's priming of 1024 samples, the usual mistake.
func bestLag(piece, b []float32, at, most int) (lag int, like float64) {
	for d := -most; d <= most; d++ {
		if at+d < 0 || at+d+len(piece) > len(b) {
			continue
		}
		var ab, aa, bb float64
		for i, v := range piece {
			w := b[at+d+i]
			ab += float64(v * w)
			aa += float64(v * v)
			bb += float64(w * w)
		}
		if c := ab / math.Sqrt(aa*bb+1e-30); c > like {
			lag, like = d, c
		}
	}
	return lag, like
}

func TestJoinRefusesARecordWithoutSound(t *testing.T) {
	counterClips(t)
	e := engines[0]
	lengths := []film.Frames{5}
	paths, _ := segmentsOf(t, e, rate25, lengths)
	info := probeOf(t, paths[0])
	dir := t.TempDir()
	err := e.Join(context.Background(), JoinSpec{Segments: paths, Frames: lengths, Rate: rate25, Record: paths[0], RecordInfo: info, Out: filepath.Join(dir, "film.mp4")})
	if film.CodeOf(err) != film.CodeNoSound {
		t.Errorf("got %v, want code %s", err, film.CodeNoSound)
	}
	mustBeEmpty(t, dir)
}
