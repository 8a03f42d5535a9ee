//go:build unix

package media

import (
	"context"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"syscall"
	"testing"

	"takeweave/internal/film"
)

// BenchmarkRender compares the render of a cut (10 shots of 3 s from four clips,
// Parallel() at once, and the join with the record) with a plain FFmpeg
// transcode of as many frames of one clip and the record with the same encoder
// settings, one after the other. (Not of the film's own frames: those have been coded once more, which
// takes off noise and makes them quicker to encode.) It reports the processor times of all children in seconds and their
// ratio, whose target is 1.25, with a look, edge darkening and titles as without.
// The look costs about 5 ms of processor time for each 960 x 540 frame whatever it
// shows, so the ratio is worst for pictures that are quick to encode, such as the
// drawn ones. TAKEWEAVE_DATA names a folder with a filmed clip.
//
//	go test -run '^$' -bench Render -benchtime 1x ./internal/media
func BenchmarkRender(b *testing.B) {
	dir := b.TempDir()
	table := filepath.Join(dir, "look.cube")
	var cube strings.Builder
	const size = 33
	fmt.Fprintln(&cube, "LUT_3D_SIZE", size)
	for i := range size * size * size {
		at := func(k int) float64 { return float64(k%size) / (size - 1) }
		fmt.Fprintln(&cube, math.Pow(at(i), 1.1), math.Pow(at(i/size), 0.95), 0.02+0.9*at(i/size/size))
	}
	if err := os.WriteFile(table, []byte(cube.String()), 0o600); err != nil {
		b.Fatal(err)
	}
	card := filepath.Join(dir, "card.png")
	plain(b, "-f", "lavfi", "-i", "color=white@0.8:s=480x80,format=rgba", "-frames:v", "1", card)
	grade := Grade{Table: table, EdgeAngle: 0.5}
	over := []Overlay{{Picture: card, X: 240, Y: 420, From: 10, To: 65, FadeIn: 12, FadeOut: 12}}

	drawn := func(i int, out string) {
		plain(b, "-f", "lavfi", "-i", "testsrc2=s=960x540:r=25:d=31", "-vf", fmt.Sprintf("noise=alls=2:allf=t:all_seed=%d", i),
			"-c:v", "libx264", "-preset", "veryfast", "-crf", "20", "-g", "50", "-colorspace", "bt709", "-color_primaries", "bt709", "-color_trc", "bt709", "-color_range", "tv", out)
	}
	b.Run("plain", func(b *testing.B) { benchmarkRender(b, drawn, Grade{}, nil) })
	b.Run("finished", func(b *testing.B) { benchmarkRender(b, drawn, grade, over) })

	filmed := func(i int, out string) { // 960 x 540
		plain(b, "-stream_loop", "7", "-i", filepath.Join(os.Getenv("TAKEWEAVE_DATA"), "video", "instrument-modular-synth.mp4"), "-t", "31", "-an", "-c", "copy", out)
	}
	if os.Getenv("TAKEWEAVE_DATA") != "" {
		b.Run("filmed, plain", func(b *testing.B) { benchmarkRender(b, filmed, Grade{}, nil) })
		b.Run("filmed, finished", func(b *testing.B) { benchmarkRender(b, filmed, grade, over) })
	}
}

// childSeconds is the processor time of all children that have ended.
func childSeconds(b *testing.B) float64 {
	var used syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_CHILDREN, &used); err != nil {
		b.Fatal(err)
	}
	return float64(used.Utime.Nano()+used.Stime.Nano()) / 1e9
}

func benchmarkRender(b *testing.B, clip func(i int, out string), grade Grade, overlays []Overlay) {
	const (
		shots      = 10
		shotFrames = 75
		w, h       = 960, 540
	)
	e := engines[0]
	dir := b.TempDir()
	var clips []Info
	for i := range 4 {
		path := filepath.Join(dir, fmt.Sprintf("clip%d.mp4", i))
		clip(i, path)
		info, err := e.Probe(context.Background(), path)
		if err != nil {
			b.Fatal(err)
		}
		clips = append(clips, info)
	}
	record := filepath.Join(dir, "record.flac")
	plain(b, "-f", "lavfi", "-i", fmt.Sprintf("sine=d=%d:r=48000", shots*3), record)
	recordInfo, err := e.Probe(context.Background(), record)
	if err != nil {
		b.Fatal(err)
	}
	settings := e.Encoder(w, h)

	var ours, theirs float64
	for b.Loop() {
		start := childSeconds(b)
		join := JoinSpec{Rate: rate25, Record: record, RecordInfo: recordInfo, Out: filepath.Join(dir, "film.mp4")}
		queue := make(chan ShotSpec)
		var workers sync.WaitGroup
		for range e.Parallel(w, h) {
			workers.Go(func() {
				for s := range queue {
					if err := e.Shot(context.Background(), s, nil); err != nil {
						b.Error(err)
					}
				}
			})
		}
		for i := range shots {
			source := clips[i%len(clips)]
			s := ShotSpec{
				Source: source.Path, Info: source, From: film.PassTime(1.23 + 2.7*float64(i)), Speed: 1, Frames: shotFrames, Rate: rate25,
				Width: w, Height: h, Grade: grade, Overlays: overlays, Out: filepath.Join(dir, fmt.Sprintf("shot%d.mp4", i)),
			}
			join.Segments, join.Frames = append(join.Segments, s.Out), append(join.Frames, shotFrames)
			queue <- s
		}
		close(queue)
		workers.Wait()
		if err := e.Join(context.Background(), join); err != nil {
			b.Fatal(err)
		}
		ours += childSeconds(b) - start

		start = childSeconds(b)
		plain(b, "-i", clips[0].Path, "-i", record, "-map", "0:v", "-map", "1:a", "-c:a", "aac", "-b:a", soundBitrate, "-frames:v", fmt.Sprint(shots*shotFrames), "-c:v", "libx264", "-preset", settings.Preset,
			"-crf", fmt.Sprint(settings.CRF), "-g", fmt.Sprint(settings.GOP), "-pix_fmt", "yuv420p", filepath.Join(dir, "plain.mp4"))
		theirs += childSeconds(b) - start
	}
	b.ReportMetric(ours/float64(b.N), "cpu-s/render")
	b.ReportMetric(theirs/float64(b.N), "cpu-s/transcode")
	b.ReportMetric(ours/theirs, "ratio")
}
