package media

import (
	"context"
	"fmt"
	"os"
	"testing"

	"takeweave/internal/media/codec"
)

// engines are the two that each test runs on.
var engines []*Engine

func TestMain(m *testing.M) {
	if len(os.Args) > 1 && os.Args[1] == codec.Command { // the embedded engine starts this binary again
		os.Exit(codec.Main(os.Args[2:]))
	}
	for _, kind := range []Kind{Native, Embedded} {
		e, err := Find(context.Background(), Options{Prefer: string(kind)})
		if err != nil {
			fmt.Fprintf(os.Stderr, "these tests need both engines; the %s one: %v\n", kind, err)
			os.Exit(1)
		}
		engines = append(engines, e)
	}
	dir, err := os.MkdirTemp("", "clips")
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
	clipsDir = dir
	code := m.Run()
	os.RemoveAll(dir)
	os.Exit(code)
}

// eachEngine runs a test on both engines.
func eachEngine(t *testing.T, test func(t *testing.T, e *Engine)) {
	t.Helper()
	for _, e := range engines {
		t.Run(string(e.Kind()), func(t *testing.T) { t.Parallel(); test(t, e) })
	}
}

// probeOf probes with the native engine; both see the same (see
// TestProbeOfRealClips), and the embedded one takes half a second to start.
func probeOf(t *testing.T, path string) Info {
	t.Helper()
	info, err := engines[0].Probe(context.Background(), path)
	if err != nil {
		t.Fatal(err)
	}
	return info
}
