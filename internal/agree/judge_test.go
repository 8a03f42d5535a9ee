package agree

import (
	"context"
	"errors"
	"math"
	"math/rand/v2"
	"testing"

	"takeweave/internal/dsp"
	"takeweave/internal/film"
	"takeweave/internal/lineup"
)

// arranged shoots a song as p says, in a room of middling echo.
func arranged(seed uint64, p player) (*tune, filmed) {
	r := rand.New(rand.NewPCG(seed, 9))
	s := newTune(r, 16)
	p.tempo, p.walk, p.jitter, p.room = 1.03, 0.01, 0.006, room{snrDB: 16, rt60: 0.4, directDB: 4}
	return s, s.shoot(r, p)
}

func judge(t *testing.T, f filmed, setup film.Setup) film.Agreement {
	t.Helper()
	return judgeHeard(t, f, listen(t, f.record), listen(t, f.pass), setup)
}

func judgeHeard(t *testing.T, f filmed, record, pass *lineup.Recording, setup film.Setup) film.Agreement {
	t.Helper()
	a, err := Judge(context.Background(), record, pass, f.lu, setup, nil)
	if err != nil {
		t.Fatal(err)
	}
	if len(a) != 1 {
		t.Fatalf("%d agreements for one segment", len(a))
	}
	span := f.lu.Segments[0].SongSpan()
	from, to := float64(a[0].First)*film.AgreementStep, float64(a[0].First+len(a[0].Score))*film.AgreementStep
	if from > float64(span.From) || to < float64(span.To) || to-from > span.Len()+2*film.AgreementStep {
		t.Errorf("the grid from %.2f to %.2f does not cover %+v", from, to, span)
	}
	for i, s := range a[0].Score {
		if !(s >= 0 && s <= 1) || math.IsNaN(a[0].LateMS[i]) {
			t.Fatalf("moment %d: score %v, late %v", i, s, a[0].LateMS[i])
		}
	}
	return a[0]
}

// in collects the moments well inside bars [from, to).
func (f *filmed) in(s *tune, a film.Agreement, from, to int) (scores []float64, why map[film.Why]int) {
	beat := func(bar int) float64 { return float64(f.lu.Segments[0].Knots[bar*s.perBar].Song) }
	why = map[film.Why]int{}
	for t := beat(from) + 0.5; t < beat(to)-0.5; t += film.AgreementStep {
		score, w, _ := a.At(film.SongTime(t))
		scores = append(scores, score)
		why[w]++
	}
	return scores, why
}

func most(why map[film.Why]int) film.Why {
	best := film.WhyNotCovered
	for w, n := range why {
		if n > why[best] {
			best = w
		}
	}
	return best
}

func TestReasons(t *testing.T) {
	for i, c := range []struct {
		kind string
		want film.Why
	}{
		{"other riff", film.WhyOtherNotes},
		{"thin", film.WhyMissing},
		{"busy", film.WhyExtra},
		{"stopped", film.WhyNotPlaying},
		{"wrong", film.WhyOtherNotes},
	} {
		t.Run(c.kind, func(t *testing.T) {
			s, f := arranged(uint64(i+3), player{plan: []stretch{{6, 11, c.kind, 1}}})
			a := judge(t, f, film.Setup{})
			good, whyGood := f.in(s, a, 0, 5)
			bad, whyBad := f.in(s, a, 6, 11)
			if m := dsp.Median(good); m < 0.85 || most(whyGood) != film.WhyAgrees {
				t.Errorf("before it: score %.2f, %s", m, most(whyGood).Say(0))
			}
			delete(whyBad, film.WhyAgrees)
			if m := dsp.Median(bad); m > 0.5 || most(whyBad) != c.want {
				t.Errorf("score %.2f, %s, want %s (%v)", m, most(whyBad).Say(0), c.want.Say(0), whyBad)
			}
		})
	}
}

// The same notes in time, but 10 dB softer or 14 dB harder, of which a limiter hides
// more, than everywhere else: that is
// said, and the score stays.
func TestLevelOnly(t *testing.T) {
	for _, dB := range []float64{-10, 14} {
		s, f := arranged(4, player{swells: []swell{{6, 11, dB}}})
		a := judge(t, f, film.Setup{})
		scores, why := f.in(s, a, 7, 10)
		if m := dsp.Median(scores); m < film.Agrees || most(why) != film.WhyLevelOnly {
			t.Errorf("%v dB: score %.2f, %v", dB, m, why)
		}
		scores, why = f.in(s, a, 0, 5)
		if m := dsp.Median(scores); m < 0.85 || why[film.WhyLevelOnly] > 0 {
			t.Errorf("before it: score %.2f, %v", m, why)
		}
	}
}

func TestOtherKey(t *testing.T) {
	s, f := arranged(12, player{semitones: 2})
	record, pass := listen(t, f.record), listen(t, f.pass)
	a := judgeHeard(t, f, record, pass, film.Setup{})
	scores, why := f.in(s, a, 1, 15)
	if m := dsp.Median(scores); m < 0.8 || most(why) != film.WhyOtherKey {
		t.Errorf("score %.2f, %s", m, most(why).Say(0))
	}
	f.lu.Semitones = 0 // and without moving it nothing agrees
	scores, _ = f.in(s, judgeHeard(t, f, record, pass, film.Setup{}), 1, 15)
	if m := dsp.Median(scores); m > 0.3 {
		t.Errorf("in the wrong key: score %.2f", m)
	}
}

// A line-up that is 60 ms off in the middle third: the lag is found, and counts
// close up. In a wide frame 60 ms early is within what [BT1359] lets pass, 60 ms
// late is not.
func TestLateAndEarly(t *testing.T) {
	closeUp := film.Setup{Shows: film.ShowsHands, Size: film.SizeClose}
	wide := film.Setup{Shows: film.ShowsHands, Size: film.SizeWide}
	for _, c := range []struct {
		name    string
		drift   float64
		lateMS  float64
		closeUp film.Why
		wide    film.Why
	}{
		{"late", -0.060, 60, film.WhyLate, film.WhyLate},
		{"early", 0.060, -60, film.WhyEarly, film.WhyAgrees},
	} {
		t.Run(c.name, func(t *testing.T) {
			s, f := arranged(5, player{drift: c.drift})
			record, pass := listen(t, f.record), listen(t, f.pass)
			check := func(setup film.Setup, want film.Why) {
				a := judgeHeard(t, f, record, pass, setup)
				scores, why := f.in(s, a, 7, 9)
				if m := dsp.Median(scores); (m >= film.Agrees) != (want == film.WhyAgrees) || most(why) != want {
					t.Errorf("%s: score %.2f, %s, want %s", setup.Size, m, most(why).Say(c.lateMS), want.Say(c.lateMS))
				}
				scores, why = f.in(s, a, 0, 4)
				if m := dsp.Median(scores); m < film.Agrees || most(why) != film.WhyAgrees {
					t.Errorf("%s, where the line-up is right: score %.2f, %s", setup.Size, m, most(why).Say(0))
				}
			}
			check(closeUp, c.closeUp)
			check(wide, c.wide)
		})
	}
}

func TestNothingToJudge(t *testing.T) {
	quiet := make([]float32, 8*rate)
	r := rand.New(rand.NewPCG(1, 1))
	for i := range quiet {
		quiet[i] = float32(1e-4 * r.NormFloat64())
	}
	record, pass := listen(t, quiet), listen(t, quiet)
	lu := film.LineUp{Segments: []film.Segment{{Knots: []film.Knot{{Pass: 1, Song: 0.5}, {Pass: 6, Song: 5.5}}}, {Knots: []film.Knot{{Pass: 6, Song: 6}, {Pass: 6.001, Song: 6.001}}}}}
	a, err := Judge(context.Background(), record, pass, lu, film.Setup{}, nil)
	if err != nil || len(a) != 2 {
		t.Fatalf("%d agreements, %v", len(a), err)
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := Judge(ctx, record, pass, lu, film.Setup{}, nil); !errors.Is(err, context.Canceled) {
		t.Errorf("cancelled: %v", err)
	}
	if a, err := Judge(context.Background(), record, pass, film.LineUp{}, film.Setup{}, nil); err != nil || len(a) != 0 {
		t.Errorf("without segments: %v, %v", a, err)
	}
}
