//go:build unix

package lineup

import (
	"bufio"
	"context"
	"encoding/binary"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"runtime"
	"sync"
	"syscall"
	"testing"
	"time"

	"takeweave/internal/dsp"
)

// benchDay is a generated song of close to four minutes and an hour of playing
// it again and again, held in a file.
type benchDay struct {
	record *Recording
	hour   *fileSound
}

// fileSound is 16-bit sound in a file, so that no sound fills the memory.
type fileSound struct {
	f      *os.File
	length int
	lock   sync.Mutex
	raw    []byte
}

func (s *fileSound) Rate() int { return rate }
func (s *fileSound) Len() int  { return s.length }

func (s *fileSound) Read(dst []float32, from int) error {
	s.lock.Lock()
	defer s.lock.Unlock()
	clear(dst)
	lo, hi := min(max(from, 0), s.length), min(max(from+len(dst), 0), s.length)
	if hi <= lo {
		return nil
	}
	if cap(s.raw) < 2*(hi-lo) {
		s.raw = make([]byte, 2*(hi-lo))
	}
	raw := s.raw[:2*(hi-lo)]
	if _, err := s.f.ReadAt(raw, int64(2*lo)); err != nil {
		return err
	}
	for i := range hi - lo {
		dst[lo-from+i] = float32(int16(binary.LittleEndian.Uint16(raw[2*i:]))) / 32768
	}
	return nil
}

// first returns the first minutes of the sound, read anew.
func (s *fileSound) first(minutes int) *fileSound {
	return &fileSound{f: s.f, length: minutes * 60 * rate}
}

// newFileSound repeats the passes until the file lasts the seconds asked for.
func newFileSound(dir string, passes [][]float32, seconds int) (*fileSound, error) {
	f, err := os.Create(filepath.Join(dir, "hour.s16"))
	if err != nil {
		return nil, err
	}
	w := bufio.NewWriter(f)
	length := seconds * rate
	for i, n := 0, 0; n < length; i++ {
		for _, v := range passes[i%len(passes)] {
			if n++; n > length {
				break
			}
			q := uint16(int16(32767 * min(max(v, -1), 1)))
			if _, err := w.Write([]byte{byte(q), byte(q >> 8)}); err != nil {
				return nil, err
			}
		}
	}
	return &fileSound{f: f, length: length}, w.Flush()
}

var newBenchDay = sync.OnceValue(func() benchDay {
	seed := uint64(1)
	for newSong(rand.New(rand.NewPCG(seed, 7)), 8, nil).bpm > 76 {
		seed++
	}
	s := newShoot(seed, 8, sung, false, true)
	record, err := Listen(context.Background(), dsp.Slice{Hz: rate, Samples: s.record}, nil)
	if err != nil {
		panic(err)
	}
	if _, err := record.wholeFine(context.Background()); err != nil { // once a film, not once a pass
		panic(err)
	}
	hour, err := newFileSound(os.TempDir(), [][]float32{s.pass("full").sound, s.pass("full").sound, s.pass("full").sound}, 3600)
	if err != nil {
		panic(err)
	}
	_ = os.Remove(hour.f.Name()) // it stays readable while open
	return benchDay{record, hour}
})

// processorSeconds returns the processor time that this process has used.
func processorSeconds() float64 {
	var r syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &r); err != nil {
		panic(err)
	}
	seconds := func(t syscall.Timeval) float64 { return float64(t.Sec) + float64(t.Usec)/1e6 }
	return seconds(r.Utime) + seconds(r.Stime)
}

// benchPass takes in and lays the first so many minutes, and reports the
// processor time of one pass and how many times faster than the playing that is.
func benchPass(b *testing.B, minutes, passes int) {
	day := newBenchDay()
	b.ResetTimer()
	before := processorSeconds()
	for range b.N {
		for range passes {
			pass, err := Listen(context.Background(), day.hour.first(minutes), nil)
			if err != nil {
				b.Fatal(err)
			}
			if _, err := Align(context.Background(), day.record, pass, nil); err != nil {
				b.Fatal(err)
			}
		}
	}
	used := (processorSeconds() - before) / float64(b.N)
	b.ReportMetric(used, "processor-s")
	b.ReportMetric(float64(minutes*60*passes)/used, "x-real-time")
}

// BenchmarkLength shows how the cost grows with the length of a recording.
func BenchmarkLength(b *testing.B) {
	for _, minutes := range []int{1, 4, 16, 60} {
		b.Run(fmt.Sprintf("%dmin", minutes), func(b *testing.B) { benchPass(b, minutes, 1) })
	}
}

// BenchmarkPasses shows how the cost grows with the number of passes.
func BenchmarkPasses(b *testing.B) {
	for _, passes := range []int{1, 2, 4} {
		b.Run(fmt.Sprintf("%dpasses", passes), func(b *testing.B) { benchPass(b, 2, passes) })
	}
}

// BenchmarkMemory shows the most memory in use, besides the sound itself, while
// an hour is taken in and laid.
func BenchmarkMemory(b *testing.B) {
	day := newBenchDay()
	b.ResetTimer()
	runtime.GC()
	var before, now runtime.MemStats
	runtime.ReadMemStats(&before)
	done, stopped := make(chan struct{}), make(chan struct{})
	var most uint64
	go func() {
		defer close(stopped)
		tick := time.NewTicker(20 * time.Millisecond)
		defer tick.Stop()
		for {
			select {
			case <-done:
				return
			case <-tick.C:
				runtime.ReadMemStats(&now)
				most = max(most, now.HeapAlloc)
			}
		}
	}()
	for range b.N {
		pass, err := Listen(context.Background(), day.hour.first(60), nil)
		if err == nil {
			_, err = Align(context.Background(), day.record, pass, nil)
		}
		if err != nil {
			b.Fatal(err)
		}
	}
	close(done)
	<-stopped
	b.ReportMetric((float64(most)-float64(before.HeapAlloc))/1e6, "peak-MB")
}
