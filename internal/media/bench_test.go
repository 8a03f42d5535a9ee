package media

import (
	"context"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"takeweave/internal/film"
)

// BenchmarkRender compares the render of a cut (20 shots of 3 s from four clips,
// Parallel() at once, and the join with the record) with a plain FFmpeg
// transcode of the frames of that film with the same encoder settings, one after
// the other. It reports the times in seconds and their ratio, whose target is
// 1.25, with a look, edge darkening and titles as without. The look costs about 9
// ms of processor time for each 960 x 540 frame whatever it shows, so the ratio is
// worst for pictures that are quick to encode, such as these.
//
//	go test -run '^$' -bench Render -benchtime 1x ./internal/media
func BenchmarkRender(b *testing.B) {
	b.Run("plain", func(b *testing.B) { benchmarkRender(b, Grade{}, nil) })

	table := filepath.Join(b.TempDir(), "look.cube")
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
	over := Overlay{Picture: title(b), X: 100, Y: 400, From: 10, To: 65, FadeIn: 12, FadeOut: 12}
	b.Run("finished", func(b *testing.B) { benchmarkRender(b, Grade{Table: table, EdgeAngle: 0.5}, []Overlay{over}) })
}

func benchmarkRender(b *testing.B, grade Grade, overlays []Overlay) {
	const (
		shots       = 20
		shotFrames  = 75
		clipSeconds = 60
		w, h        = 960, 540
	)
	e := engines[0]
	dir := b.TempDir()
	var clips []Info
	for i := range 4 {
		path := filepath.Join(dir, fmt.Sprintf("clip%d.mp4", i))
		plain(b, "-f", "lavfi", "-i", fmt.Sprintf("testsrc2=s=%dx%d:r=25:d=%d", w, h, clipSeconds), "-vf", fmt.Sprintf("noise=alls=2:allf=t:all_seed=%d", i),
			"-c:v", "libx264", "-preset", "veryfast", "-crf", "20", "-g", "50", "-colorspace", "bt709", "-color_primaries", "bt709", "-color_trc", "bt709", "-color_range", "tv", path)
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

	var ours, theirs time.Duration
	for b.Loop() {
		start := time.Now()
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
			clip := clips[i%len(clips)]
			s := ShotSpec{
				Source: clip.Path, Info: clip, From: film.PassTime(1.23 + 2.7*float64(i)), Speed: 1, Frames: shotFrames, Rate: rate25,
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
		ours += time.Since(start)

		frames := filepath.Join(dir, "frames.mp4") // of the same cut, coded as the clips are
		plain(b, "-i", join.Out, "-an", "-c:v", "libx264", "-preset", "veryfast", "-crf", "20", "-g", "50", frames)
		start = time.Now()
		plain(b, "-i", frames, "-c:v", "libx264", "-preset", settings.Preset,
			"-crf", fmt.Sprint(settings.CRF), "-g", fmt.Sprint(settings.GOP), "-pix_fmt", "yuv420p", filepath.Join(dir, "plain.mp4"))
		theirs += time.Since(start)
	}
	b.ReportMetric(ours.Seconds()/float64(b.N), "s/render")
	b.ReportMetric(theirs.Seconds()/float64(b.N), "s/transcode")
	b.ReportMetric(ours.Seconds()/theirs.Seconds(), "ratio")
}
