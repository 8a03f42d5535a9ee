package checks

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"slices"
	"testing"

	"takeweave/internal/dsp"
	"takeweave/internal/film"
	"takeweave/internal/filmday"
)

// TestSyncOfInventedDays measures how surely a shot that slipped by 80 ms is told
// from those that did not, in passes played live, played to playback and filmed
// in noise. It takes minutes: set TAKEWEAVE_SOAK.
func TestSyncOfInventedDays(t *testing.T) {
	if os.Getenv("TAKEWEAVE_SOAK") == "" {
		t.Skip("set TAKEWEAVE_SOAK")
	}
	const shot, slip, tolerance = 3.0, 0.080, 0.040
	for _, kind := range []string{"full", "sloppy", "playback", "noisy"} {
		var slipped, found, kept, wrong, unknown, within int
		var off []float64
		for seed := range uint64(12) {
			day := filmday.NewDay(seed+900, 80)
			record := day.Record.Sound
			pass := day.Shoot(kind, 1)[0]
			own := pass.Sound
			chance := rand.New(rand.NewPCG(seed, 5))
			for i := range pass.Truth.Pieces {
				g := &pass.Truth.Pieces[i].Segment
				span := g.SongSpan()
				laid := dsp.Slice{Hz: filmday.Rate, Samples: make([]float32, record.Len())}
				var stretches []Stretch
				var want []float64
				for at := float64(span.From); at+shot <= float64(span.To); at += shot {
					late := 0.0
					if chance.IntN(3) == 0 {
						late = slip * float64(2*chance.IntN(2)-1)
					}
					if !holds(g, at, shot) {
						continue // no cut would show it
					}
					middle := film.SongTime(at + shot/2)
					start := float64(g.PassAt(middle)) - shot/2 - late
					from := int(at * filmday.Rate)
					_ = own.Read(laid.Samples[from:from+shot*filmday.Rate], int(start*filmday.Rate))
					stretches = append(stretches, Stretch{fmt.Sprint(at), film.SongSpan{From: film.SongTime(at), To: film.SongTime(at + shot)}, film.Tolerance{Late: tolerance, Early: tolerance}})
					want = append(want, 1000*late)
				}
				lags, err := Lags(context.Background(), record, laid, stretches)
				if err != nil {
					t.Fatal(err)
				}
				for k, l := range lags {
					if l.Why != "" {
						unknown++
						continue
					}
					d := math.Abs(l.LateMS - want[k])
					off = append(off, d)
					if d <= l.ErrorMS {
						within++
					}
					told := len(OfLags(lags[k:k+1], stretches[k:k+1], at25, 0).Findings) > 0
					switch {
					case want[k] != 0 && told:
						slipped, found = slipped+1, found+1
					case want[k] != 0:
						slipped++
					case told:
						kept, wrong = kept+1, wrong+1
						t.Logf("%s %d at %s: %+v", kind, seed, l.Name, l)
					default:
						kept++
					}
				}
			}
		}
		slices.Sort(off)
		t.Logf("%s: %d of %d slips found, %d of %d others told, %d not measured; off by %.1f ms in the middle, %.1f at the worst tenth; %d of %d within their error",
			kind, found, slipped, wrong, kept, unknown, off[len(off)/2], off[len(off)*9/10], within, len(off))
	}
}

// holds reports whether a shot of some seconds at native speed stays within 30 ms
// of the record.
func holds(g *film.Segment, at, seconds float64) bool {
	middle := float64(g.PassAt(film.SongTime(at + seconds/2)))
	for d := -seconds / 2; d <= seconds/2; d += 0.25 {
		if math.Abs(float64(g.PassAt(film.SongTime(at+seconds/2+d)))-middle-d) > 0.030 {
			return false
		}
	}
	return true
}
