package songmap

import (
	"context"
	"encoding/binary"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"testing"

	"takeweave/internal/dsp"
	"takeweave/internal/film"
)

// TestSoak measures many invented songs and prints figures; it runs only with
// TAKEWEAVE_SOAK=1.
func TestSoak(t *testing.T) {
	if os.Getenv("TAKEWEAVE_SOAK") == "" {
		t.Skip("set TAKEWEAVE_SOAK=1 to measure many invented songs (a minute)")
	}
	var beats, downs, sections []float64
	for seed := range uint64(24) {
		r := rand.New(rand.NewPCG(seed, 3))
		st := style{
			bpm: 66 + 80*r.Float64(), perBar: 4, strum: seed%2 == 0, drums: seed%4 == 1, melody: seed%3 != 0,
			walk: []float64{0.01, 0.03, 0.05}[seed%3], lead: 3 * r.Float64(), cents: 40*r.Float64() - 20,
		}
		if seed%5 == 4 {
			st.perBar = 3
		}
		form := []string{"ABABCB", "AABA", "ABAB", "ABCAB"}[seed%4]
		p := play(r, form, st)
		s := mapOf(t, p.sound)
		b, d := beatsOf(s)
		beats = append(beats, fMeasure(p.beats, b, beatWindow))
		downs = append(downs, fMeasure(p.downs, d, beatWindow))
		sections = append(sections, fMeasure(p.sections, boundariesOf(s), nearSection))
		last := len(beats) - 1
		fmt.Printf("SOAK %2d %3.0f bpm (found %3.0f) %d/%d %+v beats %.2f downs %.2f sections %.2f %s:%s\n", seed, st.bpm, s.TempoBPM, st.perBar,
			s.BeatsPerBar, st, beats[last], downs[last], sections[last], form, names(s))
	}
	fmt.Printf("MEAN beats %.3f downbeats %.3f sections %.3f\n", mean(beats), mean(downs), mean(sections))
}

// TestFile prints the map of raw float samples, mono at dsp.AnalysisRate, named
// by TAKEWEAVE_RAW.
func TestFile(t *testing.T) {
	raw, err := os.ReadFile(os.Getenv("TAKEWEAVE_RAW"))
	if err != nil {
		t.Skip("set TAKEWEAVE_RAW to a file of raw samples")
	}
	x := make([]float32, len(raw)/4)
	for i := range x {
		x[i] = math.Float32frombits(binary.LittleEndian.Uint32(raw[4*i:]))
	}
	s, err := Map(context.Background(), dsp.Slice{Hz: rate, Samples: x}, nil)
	if err != nil {
		t.Fatal(err)
	}
	checkWhole(t, s)
	fmt.Printf("%.1f s, music %.2f-%.2f, %.1f bpm, %d in a bar, sure %.2f, %.1f cents, %d beats, %d lines:%s\n", s.Duration, s.Music.From, s.Music.To,
		s.TempoBPM, s.BeatsPerBar, s.Sureness, s.TuningCents, len(s.Beats), len(s.Lines), names(s))
	for _, l := range s.Lines {
		fmt.Printf(" %.1f", l.Span.From)
	}
	fmt.Println()
}

func names(s film.Song) string {
	out := ""
	for _, sec := range s.Sections {
		out += fmt.Sprintf(" %s@%.1f", sec.Name, sec.Span.From)
	}
	return out
}
