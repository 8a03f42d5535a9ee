package loudness

import (
	"bytes"
	"encoding/binary"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// TestAgainstFFmpeg compares with an independent meter, FFmpeg's ebur128 filter,
// on the songs and clips of the test data (on every practice pass too when
// TAKEWEAVE_SOAK is set), and on real recordings where they are at hand:
// TAKEWEAVE_DATA names the folder that holds a folder audio of them.
func TestAgainstFFmpeg(t *testing.T) {
	for _, program := range []string{"ffmpeg", "ffprobe"} {
		if _, err := exec.LookPath(program); err != nil {
			t.Skipf("%s is not installed", program)
		}
	}
	dir := os.Getenv("TAKEWEAVE_DATA")
	if dir == "" {
		dir = "../../../shared/data"
	}
	var files []string
	songs := "../../testdata/practice/*/song.flac"
	if os.Getenv("TAKEWEAVE_SOAK") != "" {
		songs = "../../testdata/practice/*/*"
	}
	for _, pattern := range []string{songs, "../media/testdata/*", filepath.Join(dir, "audio", "*")} {
		found, err := filepath.Glob(pattern)
		if err != nil {
			t.Fatal(err)
		}
		for _, f := range found {
			if slices.Contains([]string{".wav", ".flac", ".ogg", ".mp3", ".mp4", ".mov"}, strings.ToLower(filepath.Ext(f))) {
				files = append(files, f)
			}
		}
	}
	if len(files) == 0 {
		t.Fatal("no sound in the test data")
	}
	for _, file := range files {
		t.Run(filepath.Base(file), func(t *testing.T) {
			t.Parallel()
			compareWithFFmpeg(t, file)
		})
	}
}

func compareWithFFmpeg(t *testing.T, file string) {
	about, err := exec.Command("ffprobe", "-v", "error", "-select_streams", "a:0", "-show_entries", "stream=sample_rate,channels", "-of", "csv=p=0", file).Output()
	if err != nil || len(bytes.TrimSpace(about)) == 0 {
		t.Skip("has no sound that can be read")
	}
	rateText, channelText, _ := strings.Cut(strings.TrimSpace(string(about)), ",")
	rate, _ := strconv.Atoi(rateText)
	channels, _ := strconv.Atoi(channelText)
	if channelWeights[channels] == nil {
		t.Skipf("has %d channels", channels)
	}
	raw, err := exec.Command("ffmpeg", "-v", "error", "-i", file, "-map", "0:a:0", "-f", "f32le", "-").Output()
	if err != nil {
		t.Fatal(err)
	}
	samples := make([]float32, len(raw)/4)
	binary.Read(bytes.NewReader(raw), binary.LittleEndian, samples)
	ours := meterOf(t, rate, channels, samples).Read()

	text, err := exec.Command("ffmpeg", "-hide_banner", "-nostats", "-i", file, "-map", "0:a:0", "-af", "ebur128=metadata=1,ametadata=print:file=-", "-f", "null", "-").Output()
	if err != nil {
		t.Fatal(err)
	}
	theirs := func(key string, highest bool) float64 {
		v := math.Inf(-1)
		for _, m := range regexp.MustCompile(regexp.QuoteMeta(key)+`=(\S+)`).FindAllSubmatch(text, -1) {
			x, err := strconv.ParseFloat(string(m[1]), 64)
			if err == nil && (!highest || x > v) {
				v = x
			}
		}
		return v
	}
	const (
		apartLU  = 0.1
		silentLU = -70.0 // what the other meter says below its gate, or when too short
		// The other meter takes percentiles one value apart from ours, which is
		// much among the few of a short file.
		longSeconds  = 30
		rangeApartLU = 0.3
	)
	integrated := theirs("lavfi.r128.I", false)
	t.Logf("%d Hz, %.1f s: integrated %.3f, the other meter %.3f", rate, ours.Seconds, float64(ours.IntegratedLUFS), integrated)
	if integrated > silentLU {
		near(t, "integrated", ours.IntegratedLUFS, integrated, apartLU)
	} else if ours.IntegratedLUFS > silentLU {
		t.Errorf("integrated %.3f, the other meter has none", float64(ours.IntegratedLUFS))
	}
	if ours.Seconds >= longSeconds && integrated > silentLU {
		near(t, "range", ours.RangeLU, theirs("lavfi.r128.LRA", false), rangeApartLU)
		near(t, "short-term maximum", ours.ShortTermMaxLUFS, theirs("lavfi.r128.S", true), apartLU)
		// The other meter looks ten times a second, ours oftener: it may find more.
		if m := theirs("lavfi.r128.M", true); float64(ours.MomentaryMaxLUFS) < m-apartLU {
			t.Errorf("momentary maximum %.3f, the other meter %.3f", float64(ours.MomentaryMaxLUFS), m)
		}
	}
}
