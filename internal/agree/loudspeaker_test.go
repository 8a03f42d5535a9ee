package agree

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"takeweave/internal/dsp"
	"takeweave/internal/film"
)

// alongside plays a record through a loudspeaker in a room with somebody playing on
// top: notes, late by some seconds, so many dB under it.
func alongside(seed uint64, play func(s *tune, r *rand.Rand) []note, late, underDB float64) filmed {
	r := rand.New(rand.NewPCG(seed, 51))
	s := newTune(r, 16)
	notes, when := s.perform(r, s.notes, player{tempo: 1, walk: 0.01, jitter: 0.004}, 1)
	end := timeAt(when, float64(s.bars*s.perBar))
	record := newTimbre(r, 0).render(r, notes, end+1, 1)
	pass := make([]float32, len(record))
	if play != nil {
		live, _ := s.performAlong(r, play(s, r), when)
		for i := range live {
			live[i].at += late
		}
		pass = newTimbre(r, 0).render(r, live, end+1, 1)
	}
	power := func(x []float32) (sum float64) {
		for _, v := range x {
			sum += float64(v) * float64(v)
		}
		return sum
	}
	g := float32(1)
	if p := power(pass); p > 0 {
		g = float32(math.Sqrt(power(record)/p) * math.Pow(10, -underDB/20))
	}
	for i, v := range record {
		pass[i] = g*pass[i] + v
	}
	pass = room{snrDB: 20, rt60: 0.4, directDB: 4, gain: true}.film(r, pass)
	seg := film.Segment{Knots: []film.Knot{{Pass: 1, Song: 1}, {Pass: film.PassTime(end), Song: film.SongTime(end)}}}
	return filmed{record: record, pass: pass, lu: film.LineUp{Status: film.Aligned, Playback: true, Segments: []film.Segment{seg}}, meant: notes}
}

func asWritten(s *tune, _ *rand.Rand) []note { return s.notes }

func elsewhere(s *tune, r *rand.Rand) []note {
	return s.otherwise(r, stretch{0, s.bars, "other riff", 1})
}

// What is played over the loudspeaker is heard under it; without, nothing is
// promised.
func TestJudgeAlongTheLoudspeaker(t *testing.T) {
	for _, c := range []struct {
		name          string
		play          func(s *tune, r *rand.Rand) []note
		late, underDB float64
		why           film.Why
	}{
		{"in time", asWritten, 0, 0, film.WhyAgrees},
		{"late", asWritten, 0.07, 3, film.WhyLate},
		{"early", asWritten, -0.07, 3, film.WhyEarly},
		{"another riff", elsewhere, 0, 0, film.WhyOtherNotes},
		{"nobody plays", nil, 0, 0, film.WhySpeakerOnly},
	} {
		f := alongside(3, c.play, c.late, c.underDB)
		a := judge(t, f, film.Setup{})
		right := 0
		for i, w := range a.Why {
			if w == c.why {
				right++
			}
			if c.why == film.WhySpeakerOnly && math.Abs(a.Score[i]-speakerAlone) > 0.15 {
				t.Errorf("%s: moment %d scores %.2f", c.name, i, a.Score[i])
				break
			}
		}
		if m := dsp.Median(a.Score); (m >= film.Agrees) != (c.why == film.WhyAgrees || c.why == film.WhySpeakerOnly) {
			t.Errorf("%s: score %.2f", c.name, m)
		}
		if share := float64(right) / float64(len(a.Why)); share < 0.6 { // the others are called something else that is wrong
			t.Errorf("%s: %.2f of the moments are called %q; score %.2f", c.name, share, c.why, dsp.Median(a.Score))
		}
	}
}

// The loudspeaker is taken off to 15 dB and more beneath it although the gain
// changes, and what was played stays.
func TestApartKeepsWhatIsPlayed(t *testing.T) {
	r := rand.New(rand.NewPCG(8, 8))
	n := 20 * rate
	played, own, heard := make([]float32, n), make([]float32, n), make([]float32, n)
	gain := func(i int) float32 { return float32(1 + 0.4*math.Sin(2*math.Pi*float64(i)/(4*rate))) }
	for i := range heard {
		played[i], own[i] = float32(r.NormFloat64()), float32(0.05*r.NormFloat64())
		heard[i] = gain(i) * (0.7*played[i] + own[i])
		if i >= 500 {
			heard[i] += gain(i) * 0.3 * played[i-500]
		}
	}
	_, rest, err := apart(context.Background(), heard, played, rate)
	if err != nil {
		t.Fatal(err)
	}
	var off, all, same float64
	for i := rate; i < n-rate; i++ {
		want := gain(i) * own[i]
		off += float64(rest[i]-want) * float64(rest[i]-want)
		all += float64(heard[i]) * float64(heard[i])
		same += float64(want) * float64(want)
	}
	if dB := 10 * math.Log10(off/all); dB > -15 {
		t.Errorf("%.1f dB of the loudspeaker stay, want -15; what was played is at %.1f", dB, 10*math.Log10(same/all))
	}
}

// Much of a leak of a tenth of the loudspeaker's power goes, a tone beside it stays.
// Both are noise here, so that from bin to bin neither tells of the other: music
// leaks more regularly, and more of that goes.
func TestTakeLeak(t *testing.T) {
	r := rand.New(rand.NewPCG(9, 9))
	n := 10 * rate
	speaker, rest := make([]float32, n), make([]float32, n)
	const hz = 1000
	for i := range rest {
		on := float32((i / rate) % 2) // sounds every other second
		speaker[i] = on * float32(r.NormFloat64())
		rest[i] = on*float32(0.3*r.NormFloat64()) + float32(math.Sin(2*math.Pi*hz*float64(i)/rate))
	}
	before := append([]float32(nil), rest...)
	takeLeak(speaker, rest)
	power := func(x []float32, from, to float64) (sum float64) {
		err := dsp.PowerFrames(context.Background(), dsp.Slice{Hz: rate, Samples: x}, 4096, 10, 0, 100, func(_ int, p []float32) {
			for k, v := range p {
				if f := float64(k) * rate / 4096; f >= from && f < to {
					sum += float64(v)
				}
			}
		})
		if err != nil {
			t.Fatal(err)
		}
		return 10 * math.Log10(sum)
	}
	if d := power(rest, 980, 1020) - power(before, 980, 1020); d < -1 {
		t.Errorf("the tone loses %.1f dB", -d)
	}
	if d := power(rest, 2000, 6000) - power(before, 2000, 6000); d > -1.5 {
		t.Errorf("the leak loses %.1f dB, want 1.5 and more", -d)
	}
}

// Nothing is promised of what lies 14 dB under the loudspeaker, unless it keeps a
// time of its own; nor of what lies 23 dB under it, whatever it keeps. At 8 dB under
// it what agrees in its own time may be itself.
func TestUnmask(t *testing.T) {
	for _, c := range []struct {
		levelDB, lateMS, score float64
		heard                  bool
	}{{-1, 0, 0.9, true}, {-8, 0, 0.9, false}, {-8, 0, 0.1, true}, {-8, 60, 0.9, true}, {-14, 0, 0.1, false}, {-14, 60, 0.1, true}, {-14, 10, 0.9, false}, {-23, 60, 0.1, false}} {
		a := film.Agreement{Score: []float64{c.score}, LateMS: []float64{c.lateMS}}
		sure := (&evidence{levelDB: c.levelDB}).unmask(&a)
		if (sure[0] >= 0.5) != c.heard {
			t.Errorf("%+v: sure by %.2f", c, sure[0])
		}
		if want := sure[0]*c.score + (1-sure[0])*speakerAlone; math.Abs(a.Score[0]-want) > 1e-12 {
			t.Errorf("%+v: score %v, want %v", c, a.Score[0], want)
		}
	}
}

func TestHearUnderStops(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	f := alongside(3, nil, 0, 0)
	record, pass := listen(t, f.record), listen(t, f.pass)
	cancel()
	if _, err := hearUnder(ctx, record, pass, &f.lu.Segments[0]); err == nil {
		t.Error("no error though cancelled")
	}
}
