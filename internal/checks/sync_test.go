package checks

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"takeweave/internal/dsp"
	"takeweave/internal/film"
)

// note is a plucked note of an invented song.
type note struct{ at, hz float64 }

func invented(chance *rand.Rand, seconds float64) []note {
	var out []note
	scale := []float64{0, 2, 4, 7, 9, 12, 14, 16}
	for at := 0.3; at < seconds-0.5; at += 0.25 {
		if chance.Float64() < 0.75 {
			out = append(out, note{at, 220 * math.Exp2(scale[chance.IntN(len(scale))]/12)})
		}
	}
	return out
}

// played plays notes with a spread of timing, under noise.
func played(chance *rand.Rand, notes []note, seconds, spreadS, noise float64) dsp.Slice {
	out := dsp.Slice{Hz: dsp.AnalysisRate, Samples: make([]float32, int(seconds*dsp.AnalysisRate))}
	for _, n := range notes {
		at := int((n.at + spreadS*chance.NormFloat64()) * dsp.AnalysisRate)
		loud := 0.15 + 0.1*chance.Float64()
		for i := range dsp.AnalysisRate {
			if at+i < 0 || at+i >= len(out.Samples) {
				continue
			}
			t := float64(i) / dsp.AnalysisRate
			v := 0.0
			for h := 1.0; h <= 5; h++ {
				v += math.Sin(2*math.Pi*n.hz*h*t) / h * math.Exp(-t*4*h)
			}
			out.Samples[at+i] += float32(loud * v)
		}
	}
	for i := range out.Samples {
		out.Samples[i] += float32(noise * chance.NormFloat64())
	}
	return out
}

// shifted returns what a shot shows when its sound is taken late seconds later.
func shifted(s dsp.Slice, from, to, late float64) []float32 {
	out := make([]float32, int((to-from)*dsp.AnalysisRate))
	s.Read(out, int((from-late)*dsp.AnalysisRate))
	return out
}

func TestASlippedShotIsFound(t *testing.T) {
	const seconds, perLine = 40.0, 4.0
	for _, slip := range []float64{0.080, -0.080} {
		for slipped := range 3 {
			chance := rand.New(rand.NewPCG(uint64(slipped), 21))
			notes := invented(chance, seconds)
			record := played(chance, notes, seconds, 0, 0.002)
			pass := played(chance, notes, seconds, 0.010, 0.01) // played again: 10 ms apart
			laid := dsp.Slice{Hz: dsp.AnalysisRate}
			var stretches []Stretch
			for i := range int(seconds / perLine) {
				from, late := float64(i)*perLine, 0.0
				if i == 2+3*slipped {
					late = slip
				}
				laid.Samples = append(laid.Samples, shifted(pass, from, from+perLine, late)...)
				stretches = append(stretches, Stretch{
					Name: "line", Span: film.SongSpan{From: film.SongTime(from), To: film.SongTime(from + perLine)},
					Tolerance: film.Tolerance{Late: 0.040, Early: 0.040},
				})
			}
			lags, err := Lags(context.Background(), record, laid, stretches)
			if err != nil {
				t.Fatal(err)
			}
			for i, l := range lags {
				want := 0.0
				if i == 2+3*slipped {
					want = slip * 1000
				}
				// A line of a dozen notes that are 10 ms apart is known to about 3 ms; the
				// error is twice that, and more where few notes carry it.
				if l.Why != "" || math.Abs(l.LateMS-want) > 10 || l.ErrorMS > 25 {
					t.Errorf("line %d: %+v, want %.0f ms", i, l, want)
				}
			}
			found := OfLags(lags, stretches, at25, 0).Findings
			first := film.Frames(float64(2+3*slipped) * perLine * 25)
			if len(found) != 1 || found[0].First != first || found[0].End != first+100 {
				t.Errorf("slipped by %.0f ms at frame %d: %+v", slip*1000, first, found)
			}
		}
	}
}

func TestWhatHasNoLag(t *testing.T) {
	chance := rand.New(rand.NewPCG(9, 9))
	record := played(chance, invented(chance, 12), 12, 0, 0.002)
	other := played(chance, invented(chance, 12), 12, 0, 0.002)
	quiet := dsp.Slice{Hz: dsp.AnalysisRate, Samples: make([]float32, 12*dsp.AnalysisRate)}
	span := []Stretch{{Name: "all", Span: film.SongSpan{From: 1, To: 11}}, {Name: "a moment", Span: film.SongSpan{From: 5, To: 6}}}
	for name, laid := range map[string]dsp.Slice{"silence": quiet, "another song": other} {
		lags, err := Lags(context.Background(), record, laid, span)
		if err != nil {
			t.Fatal(err)
		}
		for _, l := range lags {
			if l.Why == "" {
				t.Errorf("%s: %+v", name, l)
			}
		}
		r := OfLags(lags, span, at25, 0)
		if len(r.Checked) != 0 || len(r.NotChecked) != 2 || len(r.Findings) != 0 {
			t.Errorf("%s: %+v", name, r)
		}
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := Lags(ctx, record, other, span); err == nil {
		t.Error("a cancelled measurement ends well")
	}
}
