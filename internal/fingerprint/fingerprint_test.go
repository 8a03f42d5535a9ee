package fingerprint

import (
	"context"
	"os"
	"path/filepath"
	"testing"

	"takeweave/internal/film"
)

// The values come from the XXH3 reference implementation's own test of an empty
// input with seed 0 (xxHash repository, XXH3 128-bit; from memory).
func TestEmptyFileHasThePublishedHash(t *testing.T) {
	name := filepath.Join(t.TempDir(), "empty")
	if err := os.WriteFile(name, nil, 0o666); err != nil {
		t.Fatal(err)
	}
	got, err := File(context.Background(), name, func(float64) {})
	if want := "99aa06d3014798d86001c324468d497f"; got != want || err != nil {
		t.Errorf("got %s, %v, want %s", got, err, want)
	}
}

func TestOneByteChangesTheHash(t *testing.T) {
	name := filepath.Join(t.TempDir(), "clip")
	body := make([]byte, 3<<20)
	var sums []string
	for i := range 2 {
		body[2<<20] = byte(i)
		if err := os.WriteFile(name, body, 0o666); err != nil {
			t.Fatal(err)
		}
		var read float64
		s, err := File(context.Background(), name, func(n float64) { read += n })
		if err != nil || read != float64(len(body)) {
			t.Fatalf("read %v of %d bytes, %v", read, len(body), err)
		}
		sums = append(sums, s)
	}
	if sums[0] == sums[1] {
		t.Error("a changed byte was not seen")
	}
}

func TestMissingFileSaysWhatToDo(t *testing.T) {
	_, err := File(context.Background(), filepath.Join(t.TempDir(), "gone.mp4"), func(float64) {})
	if film.CodeOf(err) != film.CodeNotFound || film.HintOf(err) == "" {
		t.Errorf("got %v", err)
	}
}

func TestEveryPartCounts(t *testing.T) {
	a := Of("lineup", 1, "x", "y")
	for _, other := range []string{Of("lineup", 2, "x", "y"), Of("lineup", 1, "xy"), Of("lineup", 1, "x", "y", nil), Of("lineup", 1, []string{"x", "y"})} {
		if other == a {
			t.Errorf("two different inputs share the key %s", a)
		}
	}
	if Of("lineup", 1, "x", "y") != a {
		t.Error("the same input gave another key")
	}
}
