package media

import (
	"context"
	"errors"
	"fmt"
	"maps"
	"path/filepath"
	"slices"
	"testing"

	"takeweave/internal/film"
)

var rate25 = film.Rate{Num: 25, Den: 1}

// quick keeps tests short; the frames shown do not depend on it.
var quick = EncoderSettings{Preset: "ultrafast", CRF: 20}

func TestShotShowsTheNearestFrame(t *testing.T) {
	type place struct {
		from, speed float64
		rate        film.Rate
	}
	ntsc := film.Rate{Num: 30000, Den: 1001}
	places := []place{ // the clips last 8 s and more; those of 50 fps and above 1.7 to 4 s
		{0, 1, rate25},                          // the very start
		{1.999, 1.02, rate25},                   // just before a key frame of most clips
		{0.9137, 1, ntsc},                       // off the grid
		{3.3333, 1.02, rate25},                  // within a long group
		{7.2, 0.98, film.Rate{Num: 24, Den: 1}}, // near the end
	}
	all := counterClips(t)
	eachEngine(t, func(t *testing.T, e *Engine) {
		names := slices.Sorted(maps.Keys(all))
		if e.Kind() == Embedded { // the same filters run there, so a choice of containers and codecs is enough
			names = []string{"25", "variable", "avi mjpeg", "prores", "hevc open groups", "transport stream, picture late", "interlaced"}
		}
		for _, name := range names {
			c := all[name]
			t.Run(name, func(t *testing.T) {
				t.Parallel()
				ctx := context.Background()
				info := probeOf(t, c.path)
				if info.Picture.Interlaced != (name == "interlaced") {
					t.Errorf("interlaced: %v", info.Picture.Interlaced)
				}
				numbers := shownNumbers(t, c.path, counterW, counterH)
				if len(numbers) != len(c.times) {
					t.Fatalf("the reference shows %d frames and times %d", len(numbers), len(c.times))
				}
				last := c.times[len(c.times)-1]
				tried := 0
				for i, p := range places {
					if e.Kind() == Embedded && i != 2 { // off the grid; each start costs it half a second
						continue
					}
					const frames = 9
					if p.from+frames*p.speed*p.rate.FrameSeconds() > last || p.from < c.times[0]-0.02 {
						continue
					}
					tried++
					out := filepath.Join(t.TempDir(), "shot.mp4")
					err := e.Shot(ctx, ShotSpec{
						Source: c.path, Info: info, From: film.PassTime(p.from), Speed: p.speed,
						Frames: frames, Rate: p.rate, Width: 2 * counterW, Height: 2 * counterH, Out: out, Encoder: quick,
					}, nil)
					if err != nil {
						t.Fatalf("from %v: %v", p.from, err)
					}
					got := shownNumbers(t, out, 2*counterW, 2*counterH)
					if len(got) != frames {
						t.Errorf("from %v: %d frames, want %d", p.from, len(got), frames)
					}
					t.Run(fmt.Sprint(p.from, "x", p.speed), func(t *testing.T) { checkNearest(t, c, numbers, got, p.from, p.speed, p.rate) })
				}
				if tried == 0 && last > 2 {
					t.Error("no place was tried")
				}
			})
		}
	})
}

func TestShotAtTheEndOfItsSource(t *testing.T) {
	c := counterClips(t)["25"]
	info := probeOf(t, c.path)
	eachEngine(t, func(t *testing.T, e *Engine) {
		ctx := context.Background()
		for _, test := range []struct {
			name   string
			frames film.Frames
			speed  float64
			ok     bool
		}{
			{"to the last frame", 10, 1, true},
			{"two frames more", 12, 1, true},
			{"three frames more", 13, 1, false},
			{"slower, to the last frame", 11, 0.9, true},
		} {
			if e.Kind() == Embedded && test.frames == 10 {
				continue
			}
			t.Run(test.name, func(t *testing.T) {
				out := filepath.Join(t.TempDir(), "shot.mp4")
				err := e.Shot(ctx, ShotSpec{
					Source: c.path, Info: info, From: 7.6, Speed: test.speed, Frames: test.frames,
					Rate: rate25, Width: counterW, Height: counterH, Out: out, Encoder: quick,
				}, nil)
				if (err == nil) != test.ok {
					t.Fatalf("error %v, want one: %v", err, !test.ok)
				}
				if err != nil {
					if film.CodeOf(err) != film.CodeUnreadable {
						t.Errorf("code %s, want %s", film.CodeOf(err), film.CodeUnreadable)
					}
					mustBeEmpty(t, filepath.Dir(out))
					return
				}
				got := shownNumbers(t, out, counterW, counterH)
				if len(got) != int(test.frames) || got[len(got)-1] != counterFrames-1 {
					t.Errorf("shows %v, want %d frames, the last %d", got, test.frames, counterFrames-1)
				}
			})
		}
	})
}

func TestShotBeforeThePictureIsAnError(t *testing.T) {
	c := counterClips(t)["picture starts late"]
	e := engines[0]
	info := probeOf(t, c.path)
	err := e.Shot(context.Background(), ShotSpec{
		Source: c.path, Info: info, From: 0.3, Frames: 30, Rate: rate25,
		Width: counterW, Height: counterH, Out: filepath.Join(t.TempDir(), "shot.mp4"),
	}, nil)
	if film.CodeOf(err) != film.CodeUnreadable {
		t.Errorf("got %v, want an error with code %s", err, film.CodeUnreadable)
	}
}

func TestShotTellsItsProgress(t *testing.T) {
	c := counterClips(t)["50"]
	info := probeOf(t, c.path)
	eachEngine(t, func(t *testing.T, e *Engine) {
		var last int64
		err := e.Shot(context.Background(), ShotSpec{
			Source: c.path, Info: info, Frames: 40, Rate: rate25,
			Width: counterW, Height: counterH, Out: filepath.Join(t.TempDir(), "shot.mp4"), Encoder: quick,
		},
			func(n int64) {
				if n < last {
					t.Errorf("progress fell from %d to %d", last, n)
				}
				last = n
			})
		if err != nil || last != 40 {
			t.Errorf("error %v, last progress %d, want 40", err, last)
		}
	})
}

func TestCancelledShotLeavesNothing(t *testing.T) {
	c := counterClips(t)["25"]
	info := probeOf(t, c.path)
	eachEngine(t, func(t *testing.T, e *Engine) {
		dir := t.TempDir()
		ctx, cancel := context.WithCancel(context.Background())
		defer cancel()
		err := e.Shot(ctx, ShotSpec{
			Source: c.path, Info: info, Frames: 190, Rate: rate25, Width: 1920, Height: 1080,
			Out: filepath.Join(dir, "shot.mp4"), Encoder: EncoderSettings{Preset: "veryslow"},
		},
			func(int64) { cancel() })
		if !errors.Is(err, context.Canceled) {
			t.Errorf("got %v, want %v", err, context.Canceled)
		}
		mustBeEmpty(t, dir)
	})
}

func mustBeEmpty(t *testing.T, dir string) {
	t.Helper()
	left, err := filepath.Glob(filepath.Join(dir, "*"))
	if err != nil || len(left) > 0 {
		t.Errorf("left behind: %q %v", left, err)
	}
}
