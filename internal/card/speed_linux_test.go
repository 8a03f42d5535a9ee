package card

import (
	"context"
	"io"
	"os"
	"path/filepath"
	"testing"
	"time"

	"golang.org/x/sys/unix"
)

// BenchmarkCopyToTwoPlaces compares, on one disk and in one run, a copy with its
// proof to two places with the plain parts of it one after the other: reading
// once, writing twice with a sync, and reading twice again. The order of the two
// changes from turn to turn; the shortest of each counts.
func BenchmarkCopyToTwoPlaces(b *testing.B) {
	const files, size = 4, 64 << 20
	dir := b.TempDir()
	card := filepath.Join(dir, "card")
	body := make([]byte, size)
	for i := range body {
		body[i] = byte(i * i >> 7)
	}
	var names []string
	for i := range files {
		name := filepath.Join("CLIPS", clipName(i+1))
		names = append(names, name)
		plainWrite(b, filepath.Join(card, name), body)
	}
	var plain, proven time.Duration
	least := func(best *time.Duration, work func(to []string)) {
		to := []string{filepath.Join(dir, "a"), filepath.Join(dir, "b")}
		for _, name := range names {
			dropCached(b, filepath.Join(card, name))
		}
		unix.Sync() // what came before is not this turn's
		begin := time.Now()
		work(to)
		if took := time.Since(begin); *best == 0 || took < *best {
			*best = took
		}
		for _, dir := range to {
			if err := os.RemoveAll(dir); err != nil {
				b.Fatal(err)
			}
		}
	}
	parts := func(to []string) {
		for _, name := range names {
			plainRead(b, filepath.Join(card, name))
		}
		for _, dir := range to {
			for _, name := range names {
				plainWrite(b, filepath.Join(dir, name), body)
			}
		}
		for _, dir := range to {
			for _, name := range names {
				dropCached(b, filepath.Join(dir, name))
				plainRead(b, filepath.Join(dir, name))
			}
		}
	}
	whole := func(to []string) {
		if r, err := Copy(context.Background(), Plan{From: card, To: to, disk: onDrives{}}, nil); err != nil || !r.MayBeWiped {
			b.Fatal(err, r.Why, r.Problems)
		}
	}
	b.SetBytes(files * size)
	for turn := 0; b.Loop(); turn++ {
		if turn%2 == 0 {
			least(&plain, parts)
			least(&proven, whole)
		} else {
			least(&proven, whole)
			least(&plain, parts)
		}
	}
	b.ReportMetric(proven.Seconds()/plain.Seconds(), "of-plain")
	b.ReportMetric(files*size/1e6/proven.Seconds(), "card-MB/s")
}

func plainWrite(b *testing.B, path string, body []byte) {
	if err := os.MkdirAll(filepath.Dir(path), 0o777); err != nil {
		b.Fatal(err)
	}
	f, err := os.Create(path)
	if err != nil {
		b.Fatal(err)
	}
	for rest := body; len(rest) > 0 && err == nil; rest = rest[min(len(rest), bufferBytes):] {
		_, err = f.Write(rest[:min(len(rest), bufferBytes)])
	}
	if err != nil {
		b.Fatal(err)
	}
	if err := f.Sync(); err != nil {
		b.Fatal(err)
	}
	if err := f.Close(); err != nil {
		b.Fatal(err)
	}
}

func plainRead(b *testing.B, path string) {
	f, err := os.Open(path)
	if err != nil {
		b.Fatal(err)
	}
	buf := make([]byte, bufferBytes)
	for err == nil {
		_, err = f.Read(buf)
	}
	if err != io.EOF {
		b.Fatal(err)
	}
	if err := f.Close(); err != nil {
		b.Fatal(err)
	}
}

func dropCached(b *testing.B, path string) {
	f, err := os.Open(path)
	if err != nil {
		b.Fatal(err)
	}
	if err := unix.Fadvise(int(f.Fd()), 0, 0, unix.FADV_DONTNEED); err != nil {
		b.Fatal(err)
	}
	if err := f.Close(); err != nil {
		b.Fatal(err)
	}
}
