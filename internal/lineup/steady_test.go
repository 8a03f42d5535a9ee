package lineup

import (
	"math"
	"math/rand/v2"
	"testing"

	"takeweave/internal/dsp"
	"takeweave/internal/film"
)

// Two performances in one file, 20 dB apart with silence between, and the
// camera's own noise 12 dB under the quiet one: both are found, however they lie.
func TestAQuietPerformanceBesideALoudOne(t *testing.T) {
	s := newShoot(3, 1, sung, false, true)
	record := listen(t, s.record)
	c := camera{snrDB: 40, rt60: 0.3, directDB: 4}
	plan := [][]stretchPlan{{{0, s.beats()}}}
	loud, quiet := s.live("full", plan, s.player(), c), s.live("full", plan, s.player(), c)
	level := rms(loud.sound)
	scaleTo(quiet.sound, level/10)
	for _, order := range [][2]filmed{{loud, quiet}, {quiet, loud}} {
		var x []float32
		var starts []float64
		for _, f := range order {
			starts = append(starts, float64(len(x))/rate)
			x = append(append(x, f.sound...), make([]float32, 12*rate)...)
		}
		for i := range x {
			x[i] += float32(level * math.Pow(10, -32.0/20) * s.r.NormFloat64())
		}
		got, err := Align(t.Context(), record, listen(t, x), nil)
		if err != nil {
			t.Fatal(err)
		}
		for i, f := range order {
			right := 0
			for _, p := range f.pairs {
				at := film.PassTime(p.pass + starts[i])
				for k := range got.Segments {
					g := &got.Segments[k]
					if at >= g.Knots[0].Pass && at <= g.Knots[len(g.Knots)-1].Pass && math.Abs(float64(g.SongAt(at))-p.song) < 0.09 {
						right++
						break
					}
				}
			}
			if share := float64(right) / float64(len(f.pairs)); share < 0.9 {
				t.Errorf("performance %d: %.2f of the notes are laid within 90 ms; %s", i+1, share, got.Reason)
			}
		}
	}
}

// What is even within evenDB stays as it is, and so does the room, however long
// nothing is played in it; what stands far under the rest and out of the room is
// lifted to evenDB under the rest, slowly.
func TestSteadyLiftsPlayingAndNotTheRoom(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	levelled := func(dbs ...float64) dsp.Slice {
		var x []float32
		for _, db := range dbs {
			for range 30 * rate {
				x = append(x, float32(math.Pow(10, db/20)*r.NormFloat64()))
			}
		}
		return dsp.Slice{Hz: rate, Samples: x}
	}
	for _, c := range []struct{ in, lifts []float64 }{
		{[]float64{-20, -25, -20}, []float64{0, 0, 0}},
		{[]float64{-20, -60, -20}, []float64{0, 0, 0}},
		{[]float64{-20, -60, -40}, []float64{0, 0, 14}},
		{[]float64{-50, -80, -20}, []float64{24, 0, 0}},
		{[]float64{-40, -42, -20}, []float64{0, 0, 0}}, // no more than the room?
	} {
		src := levelled(c.in...)
		db, err := levels(t.Context(), src)
		if err != nil {
			t.Fatal(err)
		}
		out := make([]float32, src.Len())
		if err := newSteady(src, db).Read(out, 0); err != nil {
			t.Fatal(err)
		}
		for i, want := range c.lifts {
			from, to := (30*i+10)*rate, (30*i+20)*rate // clear of the neighbours
			if got := 20 * math.Log10(rms(out[from:to])/rms(src.Samples[from:to])); math.Abs(got-want) > 0.5 {
				t.Errorf("levels %v: stretch %d is lifted by %.1f dB, want %v", c.in, i+1, got, want)
			}
		}
		ahead := make([]float32, 1000)
		if err := newSteady(src, db).Read(ahead, 12345); err != nil {
			t.Fatal(err)
		}
		for i, v := range ahead {
			if math.Abs(float64(v-out[12345+i])) > 1e-6 {
				t.Fatalf("sample %d read alone is %v, read with the rest %v", 12345+i, v, out[12345+i])
			}
		}
	}
}
