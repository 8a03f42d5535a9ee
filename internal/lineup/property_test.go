package lineup

import (
	"context"
	"encoding/binary"
	"math"
	"math/rand/v2"
	"strings"
	"sync"
	"testing"

	"pgregory.net/rapid"

	"takeweave/internal/dsp"
	"takeweave/internal/film"
)

// propertyDay is one short record with one pass of it, made once.
type propertyDay struct {
	record *Recording
	sound  []float32 // of the record
	pass   []float32
}

var newPropertyDay = sync.OnceValue(func() propertyDay {
	s := newShoot(4, 1, sung, false, true)
	record, err := Listen(context.Background(), dsp.Slice{Hz: rate, Samples: s.record}, nil)
	if err != nil {
		panic(err)
	}
	return propertyDay{record, s.record, s.pass("clean").sound}
})

type failer interface {
	Helper()
	Fatalf(format string, args ...any)
}

// lay lays x on the record and checks what holds for any sound: a refusal or
// finite knots that rise strictly on both clocks, with a finite bound.
func lay(t failer, x []float32) film.LineUp {
	t.Helper()
	pass, err := Listen(context.Background(), dsp.Slice{Hz: rate, Samples: x}, nil)
	if err != nil {
		t.Fatalf("listen: %v", err)
	}
	l, err := Align(context.Background(), newPropertyDay().record, pass, nil)
	if err != nil {
		t.Fatalf("align: %v", err)
	}
	if l.Status != film.Aligned && len(l.Segments) > 0 {
		t.Fatalf("%s with %d segments", l.Status, len(l.Segments))
	}
	finite := func(v float64) bool { return !math.IsNaN(v) && !math.IsInf(v, 0) }
	for _, g := range l.Segments {
		for i, k := range g.Knots {
			if !finite(float64(k.Pass)) || !finite(float64(k.Song)) || !finite(g.ErrorMS[i]) || g.ErrorMS[i] < 0 {
				t.Fatalf("knot %d: %v, bound %v", i, k, g.ErrorMS[i])
			}
			if i > 0 && (k.Pass <= g.Knots[i-1].Pass || k.Song <= g.Knots[i-1].Song) {
				t.Fatalf("knot %d does not rise: %v after %v", i, k, g.Knots[i-1])
			}
		}
	}
	for _, f := range l.Figures {
		if !finite(f.Value) || !finite(f.Limit) {
			t.Fatalf("figure %+v", f)
		}
	}
	if strings.Contains(l.Reason, "NaN") || strings.Contains(l.Reason, "Inf") {
		t.Fatalf("reason %q", l.Reason)
	}
	if !finite(l.DriftPPM) || !finite(l.Cents) || !finite(l.Covered) {
		t.Fatalf("drift %v, cents %v, covered %v", l.DriftPPM, l.Cents, l.Covered)
	}
	return l
}

// hostile draws sounds that nobody plays: lengths from nothing to some seconds,
// silence, direct current, sines, noise, impulses, clipping, samples that are
// no number.
func hostile(t *rapid.T) []float32 {
	n := rapid.OneOf(rapid.IntRange(0, 300), rapid.IntRange(0, 8*rate)).Draw(t, "samples")
	x := make([]float32, n)
	r := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 1))
	level := math.Pow(10, rapid.Float64Range(-9, 9).Draw(t, "level"))
	kind := rapid.SampledFrom([]string{"silence", "dc", "sine", "noise", "impulses", "clipped", "record"}).Draw(t, "kind")
	hz := rapid.Float64Range(0, rate).Draw(t, "hz")
	sound := newPropertyDay().sound
	for i := range x {
		v := 0.0
		switch kind {
		case "dc":
			v = 1
		case "sine":
			v = math.Sin(2 * math.Pi * hz * float64(i) / rate)
		case "noise":
			v = r.NormFloat64()
		case "impulses":
			if r.IntN(2000) == 0 {
				v = 1
			}
		case "clipped":
			v = math.Max(-1, math.Min(1, 100*r.NormFloat64()))
		case "record":
			v = float64(sound[i%len(sound)])
		}
		x[i] = float32(level * v)
	}
	for range rapid.IntRange(0, 3).Draw(t, "broken") {
		if n > 0 {
			x[r.IntN(n)] = []float32{float32(math.NaN()), float32(math.Inf(1)), float32(math.Inf(-1)), math.MaxFloat32}[r.IntN(4)]
		}
	}
	return x
}

func TestAnySoundGivesARefusalOrARisingMap(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) { lay(t, hostile(t)) })
}

// Broken samples in a pass that fits cost the moment, not the pass.
func TestBrokenSamplesInAPass(t *testing.T) {
	whole := newPropertyDay().pass
	plain := lay(t, whole)
	for name, v := range map[string]float64{"not a number": math.NaN(), "infinite": math.Inf(-1), "1e30": 1e30, "60 dB over full scale": 999} {
		t.Run(name, func(t *testing.T) {
			x := append([]float32(nil), whole...)
			x[len(x)/2] = float32(v)
			l := lay(t, x)
			if l.Status != film.Aligned || l.Covered < plain.Covered-3 {
				t.Errorf("%s, %.1f s covered of %.1f: %s", l.Status, l.Covered, plain.Covered, l.Reason)
			}
		})
	}
}

// FuzzAlign lays any bytes, taken as 32-bit float samples that repeat to the
// length asked for.
func FuzzAlign(f *testing.F) {
	word := func(v ...float32) (out []byte) {
		for _, x := range v {
			out = binary.LittleEndian.AppendUint32(out, math.Float32bits(x))
		}
		return out
	}
	f.Add(word(), uint32(0))
	f.Add(word(0), uint32(rate))
	f.Add(word(1, -1), uint32(3*rate))
	f.Add(word(0.5, 0.2, -0.5, float32(math.NaN())), uint32(2*rate))
	f.Add(word(float32(math.Inf(1))), uint32(100))
	f.Add(word(math.MaxFloat32, -math.MaxFloat32), uint32(rate))
	f.Fuzz(func(t *testing.T, data []byte, samples uint32) {
		x := make([]float32, samples%(6*rate))
		if n := len(data) / 4; n > 0 {
			for i := range x {
				x[i] = math.Float32frombits(binary.LittleEndian.Uint32(data[i%n*4:]))
			}
		}
		lay(t, x)
	})
}

// TestWhatDoesNotMatter changes the pass as cameras and files do, and expects
// the same map.
func TestWhatDoesNotMatter(t *testing.T) {
	pass := newPropertyDay().pass
	plain := lay(t, pass)
	if plain.Status != film.Aligned {
		t.Fatalf("the plain pass is %s: %s", plain.Status, plain.Reason)
	}
	scaled := func(g float32) []float32 {
		out := make([]float32, len(pass))
		for i, v := range pass {
			out[i] = g * v
		}
		return out
	}
	const clock = 1 + 100e-6
	resampled := func(x []float32, factor float64) []float32 {
		out := make([]float32, int(float64(len(x))*factor)-4)
		for i := 2; i < len(out)-4; i++ {
			at := float64(i) / factor
			k := int(at)
			if k >= 1 && k+3 <= len(x) {
				out[i] = float32(cubic(x[k-1:k+3], at-float64(k)))
			}
		}
		return out
	}
	// A file of 48 kHz taken for one of 44.1 kHz plays slower and lower: the clock
	// of every moment is known, and the key moves by 12*log2(44.1/48) = -1.5 semitones.
	const wrongRate = 48000.0 / 44100
	// Two microphones of one camera, a hand apart: 0.4 ms and 3 dB, mixed to mono.
	mixed := make([]float32, len(pass))
	for i, v := range pass {
		mixed[i] = 0.5 * v
		if k := i - rate*4/10000; k >= 0 {
			mixed[i] += 0.35 * pass[k]
		}
	}
	r := rand.New(rand.NewPCG(9, 9))
	coded := make([]float32, len(pass)) // noise 30 dB under the sound of the moment, as lossy coding leaves
	var envelope float64
	for i, v := range pass {
		envelope += (math.Abs(float64(v)) - envelope) * 0.005
		coded[i] = v + float32(0.03*envelope*r.NormFloat64())
	}
	shift := 1.2345
	shifted := append(make([]float32, int(shift*rate)), pass...)
	for _, c := range []struct {
		name      string
		sound     []float32
		at        func(pass float64) float64 // where a moment of the plain pass is now
		meanLimit float64                    // ms
	}{
		// The same samples at another level or polarity: rounding only.
		{"gain 0.01", scaled(0.01), func(p float64) float64 { return p }, 1},
		{"gain 100", scaled(100), func(p float64) float64 { return p }, 1},
		{"polarity", scaled(-1), func(p float64) float64 { return p }, 1},
		// Rows fall on other samples: some of the 20 ms rows of the warp.
		{"time", shifted, func(p float64) float64 { return p + float64(int(shift*rate))/rate }, 5},
		{"clock", resampled(pass, clock), func(p float64) float64 { return p * clock }, 5},
		{"slow clock", resampled(pass, 2-clock), func(p float64) float64 { return p * (2 - clock) }, 5},
		// The tempo is 9 % off and the notes lie a quarter tone beside the keys.
		{"a rate mistaken for another", resampled(pass, wrongRate), func(p float64) float64 { return p * wrongRate }, 20},
		// The mix is half a delay late, 0.2 ms, and a comb of notches lies in it.
		{"by way of 48 kHz", resampled(resampled(pass, 48000.0/rate), rate/48000.0), func(p float64) float64 { return p }, 5},
		{"stereo to mono", mixed, func(p float64) float64 { return p + 0.0002 }, 5},
		{"coding", coded, func(p float64) float64 { return p }, 5},
	} {
		t.Run(c.name, func(t *testing.T) {
			l := lay(t, c.sound)
			if l.Status != film.Aligned || len(l.Segments) != len(plain.Segments) {
				t.Fatalf("%s with %d segments (%s), want %d", l.Status, len(l.Segments), l.Reason, len(plain.Segments))
			}
			var sum float64
			n := 0
			for i := range plain.Segments {
				a, b := &plain.Segments[i], &l.Segments[i]
				from, to := float64(a.Knots[0].Pass)+1, float64(a.Knots[len(a.Knots)-1].Pass)-1
				for p := from; p < to; p += 0.1 {
					sum += math.Abs(float64(a.SongAt(film.PassTime(p))-b.SongAt(film.PassTime(c.at(p))))) * 1000
					n++
				}
			}
			t.Logf("differs by %.2f ms on average", sum/float64(n))
			if n == 0 || sum/float64(n) > c.meanLimit {
				t.Errorf("differs by %.2f ms on average over %d places, want %.0f", sum/float64(n), n, c.meanLimit)
			}
		})
	}
}
