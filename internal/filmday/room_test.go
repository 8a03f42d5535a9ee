package filmday

import (
	"fmt"
	"math"
	"testing"
)

// decaySeconds measures RT60 by integrating the squared response backwards and
// taking three times the fall from -5 to -25 dB. Source: [Schroeder1965]; the
// range as in [ISO3382], T20.
func decaySeconds(answer []float32) float64 {
	left := make([]float64, len(answer)+1)
	for i := len(answer) - 1; i >= 0; i-- {
		left[i] = left[i+1] + float64(answer[i])*float64(answer[i])
	}
	falls := func(db float64) int {
		for i, e := range left {
			if e <= left[0]*math.Pow(10, -db/10) {
				return i
			}
		}
		return len(left)
	}
	return 3 * float64(falls(25)-falls(5)) / Rate
}

func TestRoomsEchoAsLongAsAsked(t *testing.T) {
	for _, want := range []float64{0.2, 0.5, 1, 2} {
		for _, dark := range []float64{0, 0.7} {
			got := decaySeconds(Room{RT60: want, Dark: dark}.response(chance(7))[1:])
			if math.Abs(got-want) > 0.12*want { // one draw of noise
				t.Errorf("RT60 %.2f s (dark %.1f), want %.2f", got, dark, want)
			}
		}
	}
}

func TestDirectSoundOverEcho(t *testing.T) {
	for _, want := range []float64{-6, 0, 9} {
		for which := range 3 {
			answer := Room{RT60: 0.4, DirectDB: want, Early: 5, Measured: which}.response(chance(8))
			var power [2]float64
			for i, v := range answer {
				power[min(1, i/(Rate*4/1000))] += float64(v) * float64(v)
			}
			if got := 10 * math.Log10(power[0]/power[1]); math.Abs(got-want) > 0.01 || math.Abs(power[0]-1) > 0.01 {
				t.Errorf("room %d: direct over echo %.2f dB, want %.0f; direct power %v, want 1", which, got, want, power[0])
			}
		}
	}
}

// Both measured answers are of one seminar room: they start at once and decay
// alike.
func TestMeasuredRooms(t *testing.T) {
	for k := 1; k <= 2; k++ {
		answer := measured(k)
		peak := 0
		for i, v := range answer {
			if v*v > answer[peak]*answer[peak] {
				peak = i
			}
		}
		if peak > Rate/200 {
			t.Errorf("room %d: strongest after %d samples", k, peak)
		}
		if got := decaySeconds(answer); got < 0.4 || got > 0.8 {
			t.Errorf("room %d: RT60 %.2f s", k, got)
		}
	}
}

func TestConvolveAgainstSlowTwin(t *testing.T) {
	r := chance(9)
	for _, n := range []int{1, 100, 20000} {
		t.Run(fmt.Sprint(n), func(t *testing.T) {
			x, h := make([]float32, n), make([]float32, 300)
			for i := range x {
				x[i] = float32(r.NormFloat64())
			}
			for i := range h {
				h[i] = float32(r.NormFloat64())
			}
			got := convolve(x, h)
			for i := 0; i < n; i += 1 + n/200 {
				want := 0.0
				for k := range min(i+1, len(h)) {
					want += float64(h[k]) * float64(x[i-k])
				}
				if math.Abs(float64(got[i])-want) > 1e-3 { // of some 17, in float32
					t.Fatalf("sample %d is %v, want %v", i, got[i], want)
				}
			}
		})
	}
}
