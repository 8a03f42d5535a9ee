package filmday

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"
)

func chance(seed uint64) *rand.Rand { return rand.New(rand.NewPCG(seed, 0)) }

func TestSongsAreWhatWasAsked(t *testing.T) {
	seen := map[string]int{}
	for seed := range uint64(200) {
		r := chance(seed)
		want := 20 + 160*r.Float64()
		o := AnySong(r, want)
		s := NewSong(r, o)
		seen[fmt.Sprint("meter ", o.Meter)]++
		seen[fmt.Sprint("style ", o.Style)]++
		seen[fmt.Sprint("tune ", o.Tune)]++
		if o.BPM < 56 || o.BPM > 180 {
			t.Errorf("seed %d: %.0f quarters a minute", seed, o.BPM)
		}
		// A section is never cut below two bars, and a song never below four.
		bar := 60 / s.BPM * float64(s.Meter.Quarters)
		if got := s.Quarters() * 60 / s.BPM; math.Abs(got-want) > 2.5*bar && len(s.Bars) > 5 {
			t.Errorf("seed %d: %.0f s, want %.0f", seed, got, want)
		}
		sum := 0
		for _, p := range s.Sections {
			if p.First != sum {
				t.Fatalf("seed %d: section at bar %d, want %d", seed, p.First, sum)
			}
			sum += p.Bars
		}
		if sum != len(s.Bars) {
			t.Errorf("seed %d: sections of %d bars, want %d", seed, sum, len(s.Bars))
		}
		sung := 0
		for i, n := range s.Notes {
			if n.At < 0 || n.At >= s.Quarters() || n.Length <= 0 || i > 0 && n.At < s.Notes[i-1].At {
				t.Fatalf("seed %d: note %d is %+v", seed, i, n)
			}
			if n.Part.Sings() {
				sung++
			}
		}
		if (sung == 0) != (s.Tune == NoTune) && len(s.Sections) > 2 {
			t.Errorf("seed %d: %d sung notes of tune %d", seed, sum, s.Tune)
		}
	}
	for _, what := range []string{"meter {4 false}", "meter {3 false}", "meter {3 true}", "style 0", "style 1", "style 2", "style 3", "tune 0", "tune 1", "tune 2"} {
		if seen[what] < 8 {
			t.Errorf("%d of 200 songs have %s, want 8 or more", seen[what], what)
		}
	}
}

func TestSwing(t *testing.T) {
	// Full triplet swing puts the second eighth on the third triplet (common practice).
	for at, want := range map[float64]float64{0: 0, 2: 2, 2.5: 2 + 2.0/3, 2.25: 2 + 1.0/3, 2.75: 2 + 5.0/6} {
		if got := swung(at, 1.0/6); math.Abs(got-want) > 1e-12 {
			t.Errorf("%v is played at %v, want %v", at, got, want)
		}
	}
}
