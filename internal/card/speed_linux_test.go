package card

import (
	"context"
	"io"
	"os"
	"path/filepath"
	"slices"
	"testing"
	"time"

	"golang.org/x/sys/unix"
)

// BenchmarkCopyToTwoPlaces compares, on one disk and in one run, a copy with its
// proof to two places with the plain parts of it one after the other: reading
// once, writing twice with a sync, and reading twice again. Both are done in every
// turn, in changing order; the middle one of the turns' ratios is told, because
// others use the disk at the same time.
func BenchmarkCopyToTwoPlaces(b *testing.B) {
	const files, size = 4, 32 << 20
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
	timed := func(work func(to []string)) float64 {
		to := []string{filepath.Join(dir, "a"), filepath.Join(dir, "b")}
		for _, name := range names {
			dropCached(b, filepath.Join(card, name))
		}
		unix.Sync() // what came before is not this turn's
		begin := time.Now()
		work(to)
		took := time.Since(begin).Seconds()
		for _, dir := range to {
			if err := os.RemoveAll(dir); err != nil {
				b.Fatal(err)
			}
		}
		return took
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
	var ratios, rates []float64
	for turn := 0; b.Loop(); turn++ {
		var plain, proven float64
		if turn%2 == 0 {
			plain = timed(parts)
			proven = timed(whole)
		} else {
			proven = timed(whole)
			plain = timed(parts)
		}
		ratios, rates = append(ratios, proven/plain), append(rates, files*size/1e6/proven)
	}
	slices.Sort(ratios)
	slices.Sort(rates)
	b.ReportMetric(ratios[len(ratios)/2], "of-plain")
	b.ReportMetric(rates[len(rates)/2], "card-MB/s")
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
