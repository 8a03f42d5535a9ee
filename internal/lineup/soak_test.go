package lineup

import (
	"context"
	"fmt"
	"math"
	"os"
	"slices"
	"sort"
	"strings"
	"testing"
	"time"

	"takeweave/internal/dsp"
	"takeweave/internal/film"
)

// errorsOf returns |map - truth| in ms at the true pairs of a pass (infinite
// where no segment covers the pair) and how many lie within their own bound. A
// place played twice counts once, by its best copy.
func errorsOf(f filmed, l film.LineUp) (ms []float64, bounded, asked int) {
	best := map[int]float64{}
	for _, p := range f.pairs {
		key := int(math.Round(p.song * 1e4))
		e := math.Inf(1)
		for i := range l.Segments {
			g := &l.Segments[i]
			n := len(g.Knots)
			if at := film.PassTime(p.pass); at < g.Knots[0].Pass-0.15 || at > g.Knots[n-1].Pass+0.15 {
				continue
			}
			d := math.Abs(float64(g.SongAt(film.PassTime(p.pass)))-p.song) * 1000
			e = math.Min(e, d)
			asked++
			if d <= g.ErrorAt(film.SongTime(p.song)) {
				bounded++
			}
		}
		if old, ok := best[key]; !ok || e < old {
			best[key] = e
		}
	}
	for _, e := range best {
		ms = append(ms, e)
	}
	sort.Float64s(ms)
	return ms, bounded, asked
}

func within(ms []float64, limit float64) float64 {
	if len(ms) == 0 {
		return 0
	}
	return float64(sort.SearchFloat64s(ms, limit+1e-9)) / float64(len(ms))
}

func listen(t *testing.T, x []float32) *Recording {
	t.Helper()
	r, err := Listen(context.Background(), dsp.Slice{Hz: rate, Samples: x}, nil)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// TestSoak measures many generated film days and prints figures per kind; it
// runs only with TAKEWEAVE_SOAK=1.
func TestSoak(t *testing.T) {
	if os.Getenv("TAKEWEAVE_SOAK") == "" {
		t.Skip("set TAKEWEAVE_SOAK=1 to measure many generated film days (minutes)")
	}
	kinds := []string{
		"full", "clean", "noisy", "sloppy", "rubato", "midstart", "falsestart", "restart", "repeat", "skip", "vamp", "capo",
		"short", "silentvoice", "acapella", "playback", "decoy", "decoyriff", "other", "talk", "room",
	}
	if only := os.Getenv("TAKEWEAVE_KINDS"); only != "" {
		kinds = strings.Split(only, ",")
	}
	shoots := 8
	fmt.Sscan(os.Getenv("TAKEWEAVE_SHOOTS"), &shoots)
	first := 1
	fmt.Sscan(os.Getenv("TAKEWEAVE_FIRST"), &first)
	var where []errorAt
	bounds := map[string][]float64{}
	all, bounded, asked, count, wrong := map[string][]float64{}, map[string]int{}, map[string]int{}, map[string]int{}, map[string]int{}
	var took time.Duration
	var filmedSeconds float64
	for seed := first; seed < first+shoots; seed++ {
		lead := []voice{sung, sung, bowed, sung}[seed%4]
		strings := os.Getenv("TAKEWEAVE_LEAD_ONLY") == ""
		s := newShoot(uint64(seed), 3, lead, strings && seed%2 == 0, strings)
		record := listen(t, s.record)
		for _, kind := range kinds {
			f := s.pass(kind)
			start := time.Now()
			l, err := Align(context.Background(), record, listen(t, f.sound), nil)
			took += time.Since(start)
			filmedSeconds += float64(len(f.sound)) / rate
			if err != nil {
				t.Fatal(err)
			}
			ms, b, a := errorsOf(f, l)
			count[kind]++
			note := ""
			if string(l.Status) != f.want {
				wrong[kind]++
				note = "<-- wrong"
			}
			if f.want == "aligned" {
				all[kind] = append(all[kind], ms...)
				if l.Status == film.Aligned && !l.Playback {
					for _, e := range errorsByBound(f, l) {
						where, bounds[kind] = append(where, e), append(bounds[kind], e.bound)
					}
				}
				bounded[kind] += b
				asked[kind] += a
				if l.Semitones != f.shift && kind != "playback" {
					note += "<-- shift"
				}
			}
			var figures string
			for _, g := range l.Figures {
				figures += fmt.Sprintf(" %s %.2f;", g.Name, g.Value)
			}
			t.Logf("SOAK %d %d%v %-11s %-8s %3d%% %3d%% of %3d  %s %s", seed, lead, s.band, kind, l.Status, int(100*within(ms, 45)), int(100*within(ms, 90)), len(ms), figures, note)
		}
	}
	for _, kind := range kinds {
		ms := all[kind]
		slices.Sort(ms)
		if len(ms) == 0 {
			t.Logf("KIND %-11s passes %d status wrong %d", kind, count[kind], wrong[kind])
			continue
		}
		t.Logf("KIND %-11s passes %d status wrong %d  median %.1f p95 %.0f  within 20 %.3f 45 %.3f 90 %.3f  in bound %.3f median bound %.0f ms", kind, count[kind], wrong[kind],
			ms[len(ms)/2], ms[len(ms)*95/100], within(ms, 20), within(ms, 45), within(ms, 90), float64(bounded[kind])/math.Max(1, float64(asked[kind])), dsp.Median(bounds[kind]))
	}
	printBounds(t, where)
	t.Logf("TIME %.1f s for %.0f s of passes", took.Seconds(), filmedSeconds)
}

// errorAt is one true pair: the map's error there and the bound it stated.
type errorAt struct{ ms, bound float64 }

func errorsByBound(f filmed, l film.LineUp) (out []errorAt) {
	for _, p := range f.pairs {
		for i := range l.Segments {
			g := &l.Segments[i]
			at := film.PassTime(p.pass)
			if at < g.Knots[0].Pass || at > g.Knots[len(g.Knots)-1].Pass {
				continue
			}
			song := g.SongAt(at)
			out = append(out, errorAt{math.Abs(float64(song)-p.song) * 1000, g.ErrorAt(song)})
		}
	}
	return out
}

// printBounds shows, for tenths of the stated bounds, what 90 % of the errors
// keep to.
func printBounds(t *testing.T, where []errorAt) {
	slices.SortFunc(where, func(a, b errorAt) int { return int(math.Copysign(1, a.bound-b.bound)) })
	const groups = 12
	for g := range groups {
		part := where[len(where)*g/groups : len(where)*(g+1)/groups]
		if len(part) == 0 {
			continue
		}
		var ms, bound []float64
		for _, w := range part {
			ms, bound = append(ms, w.ms), append(bound, w.bound)
		}
		t.Logf("BOUND stated %.1f ms: 90 %% of errors within %.1f ms, half within %.1f ms", dsp.Median(bound), dsp.Quantile(ms, 0.9), dsp.Median(ms))
	}
}
