package media

import (
	"context"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"

	"takeweave/internal/film"
	"takeweave/internal/media/codec"
)

// script writes a program that takes ffmpeg's place.
func script(t *testing.T, dir, name, body string) {
	t.Helper()
	if err := os.WriteFile(filepath.Join(dir, name), []byte("#!/bin/sh\n"+body+"\n"), 0o755); err != nil {
		t.Fatal(err)
	}
}

func TestFindChoosesAnEngine(t *testing.T) {
	old := t.TempDir() // an ffmpeg without libx264
	script(t, old, "ffmpeg", `case "$1" in -version) echo "ffmpeg version 3.4.11";; *) echo "aac mjpeg";; esac`)
	script(t, old, "ffprobe", "true")
	broken := t.TempDir()
	script(t, broken, "ffmpeg", "exit 1")
	script(t, broken, "ffprobe", "exit 1")
	none := t.TempDir()
	real := os.Getenv("PATH")

	tests := []struct {
		name         string
		path, engine string // PATH and TAKEWEAVE_ENGINE
		ffmpeg       string // TAKEWEAVE_FFMPEG
		prefer       string
		want         Kind
		code         film.Code
		says         string // in Describe
	}{
		{name: "automatic", path: real, want: Native, says: "full speed"},
		{name: "the environment asks for the embedded one", path: real, engine: "embedded", want: Embedded, says: "slower"},
		{name: "the caller overrules the environment", path: real, engine: "embedded", prefer: "native", want: Native},
		{name: "none installed", path: none, want: Embedded, says: "no ffmpeg is installed"},
		{name: "one without libx264", path: old, want: Embedded, says: "lacks the encoder libx264"},
		{name: "one that does not run", path: none, ffmpeg: filepath.Join(broken, "ffmpeg"), want: Embedded, says: "does not run"},
		{name: "only native is wanted, none is there", path: none, prefer: "native", code: film.CodeNoEngine},
		{name: "an unknown word", path: real, engine: "fast", code: film.CodeUsage},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			t.Setenv("PATH", test.path)
			t.Setenv(EnvEngine, test.engine)
			t.Setenv(EnvFFmpeg, test.ffmpeg)
			e, err := Find(context.Background(), Options{Prefer: test.prefer})
			if test.code != "" {
				if film.CodeOf(err) != test.code || film.HintOf(err) == "" {
					t.Fatalf("got %v (%s), want code %s and a hint", err, film.CodeOf(err), test.code)
				}
				return
			}
			if err != nil {
				t.Fatal(err)
			}
			if e.Kind() != test.want || !strings.Contains(e.Describe(), test.says) {
				t.Errorf("%s: %q, want %s and the words %q", e.Kind(), e.Describe(), test.want, test.says)
			}
			for _, n := range []int{e.Parallel(640, 360), e.Parallel(3840, 2160)} {
				if n < 1 || n > runtime.GOMAXPROCS(0) {
					t.Errorf("Parallel = %d", n)
				}
			}
		})
	}
}

func TestFindWithoutAnyEngine(t *testing.T) {
	dir := t.TempDir()
	script(t, dir, "self", "exit 1")
	t.Setenv("PATH", dir)
	_, err := Find(context.Background(), Options{Self: filepath.Join(dir, "self")})
	if film.CodeOf(err) != film.CodeNoEngine || !strings.Contains(film.HintOf(err), "install") {
		t.Errorf("got %v, hint %q", err, film.HintOf(err))
	}
}

func TestMajorVersion(t *testing.T) {
	for version, want := range map[string]int{"5.1.9-0+deb12u1": 5, "n5.1.10": 5, "4.4.2": 4, "7.0": 7, "N-111-gabcdef": newest} {
		if got := majorVersion(version); got != want {
			t.Errorf("%s: %d, want %d", version, got, want)
		}
	}
}

func TestCodecIsAvailableHere(t *testing.T) {
	if err := codec.Available(); err != nil {
		t.Errorf("the embedded engine cannot be tested here: %v", err)
	}
}
