package passcall

import (
	"context"
	"math"
	"math/rand/v2"
	"os"
	"strconv"
	"testing"

	"takeweave/internal/dsp"
)

const rate = dsp.AnalysisRate

// Any two polynomials of degree 2 agree at two points at most: the distance of a
// Reed-Solomon code (15, 3) is 13. Source: [ReedSolomon1960].
func TestNumbersDifferInThirteenPlaces(t *testing.T) {
	all := words()
	for a, word := range all {
		for b := range a {
			same := 0
			for i := range word {
				if word[i] == all[b][i] {
					same++
				}
			}
			if same > places-13 {
				t.Fatalf("%d and %d have %d letters in common", a, b, same)
			}
		}
	}
}

// What is left of a call that is read some places too late is not the beginning
// of another number: at most six letters fit.
func TestLateIsNotAnother(t *testing.T) {
	all := words()
	most := 0
	for late := 2; late < places; late += 2 { // odd places have tones of their own
		for a := range Highest {
			for b := range all {
				fit := 0
				for i, letter := range all[a+1][late:] {
					if all[b][i] == letter {
						fit++
					}
				}
				most = max(most, fit)
			}
		}
	}
	if most > 6 {
		t.Errorf("%d letters fit", most)
	}
}

// GF(16) with x⁴+x+1: a⁴ = a+1, and the powers of a run through all 15 elements
// but 0. Source: any table of the field, from memory.
func TestFieldOfSixteen(t *testing.T) {
	if p := times(times(2, 2), times(2, 2)); p != 3 {
		t.Errorf("a to the fourth is %d, want a+1 = 3", p)
	}
	seen := map[int]bool{}
	for p, i := 1, 0; i < 15; i, p = i+1, times(p, 2) {
		seen[p] = true
	}
	if len(seen) != 15 || seen[0] {
		t.Errorf("the powers of a give %d elements", len(seen))
	}
}

// scene is what a call is heard in.
type scene struct {
	rt60     float64 // of the room, seconds; 0 none
	directDB float64 // direct sound over echoes
	noiseDB  float64 // over the call
	music    bool    // the noise is plucked notes, not a hiss
}

// hear returns a second of noise, a call and another second; the call begins at
// about a second.
func (s scene) hear(r *rand.Rand, number int) dsp.Slice {
	call := Samples(number, rate)
	x := make([]float32, len(call)+2*rate)
	copy(x[rate:], call)
	if s.rt60 > 0 {
		x = inRoom(r, x, s.rt60, s.directDB)
	}
	noise := make([]float32, len(x))
	if s.music {
		pluck(r, noise)
	} else {
		for i := range noise {
			noise[i] = float32(r.NormFloat64())
		}
	}
	// The level of both is measured where the call sounds.
	level := func(v []float32) float64 {
		return math.Sqrt(float64(dsp.Dot(v[rate:rate+len(call)], v[rate:rate+len(call)])))
	}
	g := float32(level(x) / level(noise) * math.Pow(10, s.noiseDB/20))
	for i := range x {
		x[i] = 0.1 * (x[i] + g*noise[i])
	}
	return dsp.Slice{Hz: rate, Samples: x}
}

// inRoom adds echoes that fall off as fast as asked. Source: exponentially
// decaying noise, as in [Moorer1979].
func inRoom(r *rand.Rand, x []float32, rt60, directDB float64) []float32 {
	n := int(rt60 * rate)
	answer := make([]float32, n)
	for i := rate / 250; i < n; i++ {
		answer[i] = float32(r.NormFloat64() * math.Exp(-math.Ln10*3*float64(i)/(rt60*rate)))
	}
	echo := math.Sqrt(float64(dsp.Dot(answer, answer)))
	for i := range answer {
		answer[i] *= float32(math.Pow(10, -directDB/20) / echo)
	}
	answer[0] = 1
	turned := make([]float32, n) // correlating with the turned answer convolves
	for i := range answer {
		turned[n-1-i] = answer[i]
	}
	return dsp.Correlate(turned, x)[:len(x)]
}

// pluck fills x with random notes of a guitar's range that ring and die.
func pluck(r *rand.Rand, x []float32) {
	for at := 0; at < len(x); at += rate/16 + r.IntN(rate/4) {
		hz := 80 * math.Exp2(4*r.Float64())
		for k := 1; k <= 20 && hz*float64(k) < 6000; k++ {
			phase := r.Float64() * 2 * math.Pi
			for i := at; i < min(at+rate, len(x)); i++ {
				s := float64(i-at) / rate
				x[i] += float32(math.Exp(-s*(1+0.7*float64(k))) / math.Sqrt(float64(k)) * math.Sin(phase+2*math.Pi*hz*float64(k)*s))
			}
		}
	}
}

// tally reads calls of random numbers in one kind of scene.
func tally(t testing.TB, s scene, trials int, seed uint64) (read, wrong int) {
	r := rand.New(rand.NewPCG(seed, 77))
	for range trials {
		number := 1 + r.IntN(Highest)
		got, err := Find(context.Background(), s.hear(r, number))
		if err != nil {
			t.Fatal(err)
		}
		for _, h := range got {
			if h.Number != number || math.Abs(h.At-1) > 0.05 {
				t.Logf("call %d at 1 s was read as %+v; %+v, seed %d", number, h, s, seed)
				wrong++
			} else {
				read++
			}
		}
	}
	return read, wrong
}

func TestCallsAreRead(t *testing.T) {
	const trials = 40
	for _, c := range []struct {
		name  string
		scene scene
		least float64 // share read
	}{
		{"clean", scene{noiseDB: -60}, 1},
		{"a furnished room, noise 10 dB below", scene{rt60: 0.5, directDB: 0, noiseDB: -10}, 0.95},
		{"a live room, noise 10 dB below", scene{rt60: 1.0, directDB: -4, noiseDB: -10}, 0.95},
		{"a furnished room, noise as loud", scene{rt60: 0.5, directDB: 0, noiseDB: 0}, 0.85},
		{"a furnished room, playing as loud", scene{rt60: 0.5, directDB: 0, noiseDB: 0, music: true}, 0.85},
		{"a live room, noise as loud", scene{rt60: 1.0, directDB: -4, noiseDB: 0}, 0.85},
	} {
		t.Run(c.name, func(t *testing.T) {
			read, wrong := tally(t, c.scene, trials, 5)
			t.Logf("%d of %d read, %d wrong", read, trials, wrong)
			if wrong > 0 {
				t.Errorf("%d wrong numbers", wrong)
			}
			if float64(read) < c.least*trials {
				t.Errorf("%d of %d read, want %.0f %%", read, trials, 100*c.least)
			}
		})
	}
}

// Where nobody called, nothing is heard: hiss, and plucked notes.
func TestNothingIsHeardInPlaying(t *testing.T) {
	r := rand.New(rand.NewPCG(9, 1))
	for _, music := range []bool{false, true} {
		x := make([]float32, 30*rate)
		if music {
			pluck(r, x)
		} else {
			for i := range x {
				x[i] = float32(r.NormFloat64())
			}
		}
		got, err := Find(context.Background(), dsp.Slice{Hz: rate, Samples: x})
		if err != nil || len(got) > 0 {
			t.Errorf("music %v: heard %v, %v", music, got, err)
		}
	}
}

// soak is set to read many more calls, in rooms and noise that are drawn too:
//
//	TAKEWEAVE_SOAK=10000 go test -v -run TestNoWrongNumber ./internal/passcall
const soak = "TAKEWEAVE_SOAK"

// Under any noise a call may be lost; it is never read as another.
func TestNoWrongNumber(t *testing.T) {
	trials := 60
	if n, err := strconv.Atoi(os.Getenv(soak)); err == nil {
		trials = n
	}
	r := rand.New(rand.NewPCG(3, 21))
	read, wrong := 0, 0
	for i := range trials {
		s := scene{rt60: 2 * r.Float64(), directDB: -10 + 15*r.Float64(), noiseDB: -10 + 25*r.Float64(), music: r.IntN(4) == 0}
		a, b := tally(t, s, 1, uint64(i))
		read, wrong = read+a, wrong+b
	}
	t.Logf("%d of %d read, %d wrong", read, trials, wrong)
	if wrong > 0 {
		t.Errorf("%d wrong numbers", wrong)
	}
	if read < trials/3 || read == trials {
		t.Errorf("%d of %d read: the trials are not what they are meant to be", read, trials)
	}
}
