package lineup

import (
	"context"
	"fmt"
	"math/rand/v2"
	"runtime"
	"sync"
	"testing"
	"time"

	"takeweave/internal/dsp"
)

// benchDay is a generated song of close to four minutes and an hour of playing
// it again and again.
type benchDay struct {
	record *Recording
	hour   []float32
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
	passes := [][]float32{s.pass("full").sound, s.pass("full").sound, s.pass("full").sound}
	hour := make([]float32, 0, 3600*rate)
	for i := 0; len(hour) < cap(hour); i++ {
		next := passes[i%len(passes)]
		hour = append(hour, next[:min(len(next), cap(hour)-len(hour))]...)
	}
	return benchDay{record, hour}
})

// benchPass times Listen and Align of the first so many minutes, and reports how
// many times faster than the playing that is.
func benchPass(b *testing.B, minutes, passes int) {
	day := newBenchDay()
	sound := day.hour[:minutes*60*rate]
	b.ResetTimer()
	for range b.N {
		for range passes {
			pass, err := Listen(context.Background(), dsp.Slice{Hz: rate, Samples: sound}, nil)
			if err != nil {
				b.Fatal(err)
			}
			if _, err := Align(context.Background(), day.record, pass, nil); err != nil {
				b.Fatal(err)
			}
		}
	}
	b.ReportMetric(float64(minutes*60*passes*b.N)/b.Elapsed().Seconds(), "x-real-time")
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
		pass, err := Listen(context.Background(), dsp.Slice{Hz: rate, Samples: day.hour}, nil)
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
