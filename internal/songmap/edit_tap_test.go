package songmap

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"takeweave/internal/film"
)

// every returns n times from a time on, step apart.
func every(from, step film.SongTime, n int) []film.SongTime {
	var out []film.SongTime
	for i := range n {
		out = append(out, from+film.SongTime(i)*step)
	}
	return out
}

func TestTap(t *testing.T) {
	beats := every(1, 0.5, 32)
	join := func(parts ...[]film.SongTime) (out []film.SongTime) {
		for _, p := range parts {
			out = append(out, p...)
		}
		return out
	}
	without := func(x []film.SongTime, i int) []film.SongTime { return join(x[:i], x[i+1:]) }
	for _, c := range []struct {
		name string
		tap  Tap
		want []film.SongTime // beats
		says string
	}{
		{"late by 50 ms on the beats that are there", Tap{Times: every(3.05, 0.5, 8)}, beats, "8 beats tapped from A1.1/5 to A1.2/4"},
		{"says what it took off", Tap{Times: every(3.05, 0.5, 8)}, beats, "50 ms taken off for the hand, by the beats that were there"},
		{"one missed", Tap{Times: without(every(3.05, 0.5, 8), 3)}, beats, "1 missed tap filled in"},
		{"one doubled", Tap{Times: join(every(3.05, 0.5, 8), []film.SongTime{4.63})}, beats, "1 doubled tap left out"},
		{"doubled, the first of both too early", Tap{Times: join(every(3.05, 0.5, 8), []film.SongTime{4.4})}, beats, "1 doubled tap left out"},
		{"one far off", Tap{Times: join(every(3.05, 0.5, 4), []film.SongTime{5.19}, every(5.55, 0.5, 5))}, beats, "10 beats"},
		{"off the beats that were there", Tap{Times: every(5.25, 0.5, 8)}, join(every(1, 0.5, 8), every(5.25, 0.5, 8), every(9.5, 0.5, 15)), "do not tell"},
		{"half as fast to the end", Tap{Times: every(9, 1, 8)}, join(every(1, 0.5, 16), every(9, 1, 8)), "at 60.0 a minute"},
		{"late as given", Tap{Times: every(5.25, 0.5, 8), LateMS: new(150.0)}, join(every(1, 0.5, 8), every(5.1, 0.5, 8), every(9, 0.5, 16)), "150 ms taken off as given"},
		{"not late as given", Tap{Times: every(5.05, 0.5, 8), LateMS: new(0.0)}, join(every(1, 0.5, 8), every(5.05, 0.5, 8), every(9, 0.5, 16)), "0 ms taken off"},
		{"by attacks, on every beat and between", Tap{Times: every(5.25, 0.5, 8), Onsets: every(5.19, 0.25, 16)}, join(every(1, 0.5, 8), every(5.19, 0.5, 8), every(9, 0.5, 16)), "60 ms taken off for the hand, by the attacks"},
		{"by attacks that are none", Tap{Times: every(5.25, 0.5, 8), Onsets: []film.SongTime{5.2, 6.3}}, join(every(1, 0.5, 8), every(5.25, 0.5, 8), every(9.5, 0.5, 15)), "the attacks do not tell"},
	} {
		t.Run(c.name, func(t *testing.T) {
			got, words := edited(t, fourLines(), c.tap)
			var at []film.SongTime
			for _, b := range got.Beats {
				at = append(at, b.At)
			}
			if len(at) != len(c.want) {
				t.Fatalf("%d beats %v, want %d (%s)", len(at), at, len(c.want), words)
			}
			for i := range at {
				// The one that is far off still pulls its neighbours a little.
				if math.Abs(float64(at[i]-c.want[i])) > 0.004 {
					t.Errorf("beat %d at %.3f, want %.3f", i+1, at[i], c.want[i])
				}
			}
			if !strings.Contains(words, c.says) {
				t.Errorf("says %q, want %q", words, c.says)
			}
		})
	}
	for _, c := range []struct {
		tap  Tap
		says string
	}{
		{Tap{}, "0 taps say no tempo"},
		{Tap{Times: every(3, 0.5, 3)}, "3 taps say no tempo"},
		{Tap{Times: every(3, 0.01, 9)}, "are no beats"},
		{Tap{Times: every(3, 5, 4)}, "are no beats"},
		{Tap{Times: every(3, 0.5, 3001)}, "more than a song has beats"},
		{Tap{Times: join(every(3, 0.5, 4), every(8, 0.5, 4))}, "no tap from 4.50 to 8.00 s"},
		{Tap{Times: join(every(3, 0.5, 3), every(3.1, 0.5, 1), every(3.2, 0.5, 1))}, "too uneven"},
		{Tap{Times: every(20, 0.5, 8)}, "too few of the taps"},
		{Tap{Times: every(3, 0.5, 8), LateMS: new(501.0)}, "cannot be 501 ms late"},
	} {
		refused(t, fourLines(), c.tap, c.says)
	}
}

func TestTapKeepsBarsAndLines(t *testing.T) {
	// Twice as slow from 5 s on, as the record is: every other downbeat stays one.
	got, _ := edited(t, fourLines(), Tap{Times: every(5, 1, 12)})
	if want := "1234 1234 1234 1234 1234"; counted(got) != want {
		t.Errorf("counted %s, want %s", counted(got), want)
	}
	if want := []film.SongTime{1, 5, 9, 13}; !same(lineStarts(got), want) {
		t.Errorf("lines begin at %v, want %v", lineStarts(got), want)
	}
	if got.TempoBPM != 60 {
		t.Errorf("%g beats a minute", got.TempoBPM)
	}
	// Not to the end: the rest goes on as it was.
	got, _ = edited(t, fourLines(), Tap{Times: every(5, 1, 5)})
	if want := "1234 1234 1234 1234 1234 1234 1234"; counted(got) != want || got.Beats[13].At != 9.5 {
		t.Errorf("counted %s, want %s; beat 14 at %g", counted(got), want, got.Beats[13].At)
	}
	// Off by half a beat: the bars stay whole along the taps.
	got, _ = edited(t, fourLines(), Tap{Times: every(3.25, 0.5, 12)})
	if c := counted(got); !strings.Contains(c, "1234 1234 1234") {
		t.Errorf("counted %s", c)
	}
}

// A hand is off by 20 ms from tap to tap (common practice for people who play),
// the tempo breathes by 4 % and the hand is 35 ms late. What is laid must be much
// better than the taps.
func TestTapIsBetterThanTheHand(t *testing.T) {
	const (
		hand = 0.020
		late = 0.035
	)
	r := rand.New(rand.NewPCG(5, 7))
	var laid, tappedAt, beats float64
	for range 200 {
		var truth []film.SongTime
		at := film.SongTime(2)
		for i := range 40 {
			truth = append(truth, at)
			at += film.SongTime(0.6 * (1 + 0.04*math.Sin(float64(i)/5)))
		}
		var taps []film.SongTime
		missed, doubled := 1+r.IntN(38), 1+r.IntN(38)
		for i, b := range truth {
			if i == missed {
				continue
			}
			tap := b + late + film.SongTime(hand*r.NormFloat64())
			taps = append(taps, tap)
			if i == doubled {
				taps = append(taps, tap+0.09)
			}
		}
		count, err := countTaps(taps)
		if err != nil {
			t.Fatal(err)
		}
		grid := count.steady()
		if len(grid) != len(truth) || count.missed != 1 && missed != doubled || count.doubled != 1 && missed != doubled {
			t.Fatalf("%d beats, %d missed, %d doubled", len(grid), count.missed, count.doubled)
		}
		// The beats that were there: rough, by 10 ms.
		d := &draft{}
		for _, b := range truth {
			d.Beats = append(d.Beats, film.Beat{At: b + film.SongTime(0.010*r.NormFloat64())})
		}
		took, _ := Tap{}.lateness(d, grid)
		for i, b := range truth {
			off := grid[i] - took - float64(b)
			laid += off * off
			beats++
		}
		tappedAt += (hand*hand + late*late) * float64(len(truth))
	}
	rms := math.Sqrt(laid / beats)
	t.Logf("off by %.1f ms, the taps by %.1f ms", rms*1000, math.Sqrt(tappedAt/beats)*1000)
	// Measured: 11 ms.
	if rms > 0.013 {
		t.Errorf("beats are off by %.1f ms", rms*1000)
	}
}
