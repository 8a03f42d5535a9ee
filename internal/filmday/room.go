package filmday

import (
	_ "embed" // the measured rooms
	"encoding/binary"
	"math"
	"math/rand/v2"

	"takeweave/internal/dsp"
)

// Room is the way from the strings to a microphone.
type Room struct {
	RT60     float64 // seconds until the echo has fallen by 60 dB
	DirectDB float64 // direct sound over all echoes
	Early    int     // single early reflections
	Distance float64 // metres to the microphone
	Dark     float64 // 0..1, how dull the echo is
	Measured int     // 1, 2: a measured echo in place of a drawn one; 0 none
	TwoMics  bool    // two microphones a hand apart, mixed to one
}

const metresPerSecond = 343.0 // of sound at 20 °C (common practice)

// AnyRoom draws a room, from a bedroom to a hall.
func AnyRoom(r *rand.Rand) Room {
	v := Room{RT60: 0.15 + 1.1*r.Float64()*r.Float64(), DirectDB: -6 + 16*r.Float64(), Early: r.IntN(10), Distance: 0.5 + 4*r.Float64()*r.Float64(), Dark: 0.8 * r.Float64(), TwoMics: r.IntN(3) == 0}
	if r.IntN(4) == 0 {
		v.Measured = 1 + r.IntN(2)
	}
	return v
}

//go:embed testdata/seminar-room.s16
var seminarRoom []byte

//go:embed testdata/seminar-room-ear.s16
var seminarRoomEar []byte

// delay returns how late the direct sound arrives, in whole samples.
func (v Room) delay() int { return int(math.Round(v.Distance / metresPerSecond * Rate)) }

// response draws the room's answer to an impulse; sample 0 is the direct sound.
//
// Source: exponentially decaying noise for the late part, as in [Moorer1979].
func (v Room) response(r *rand.Rand) []float32 {
	const gap = Rate * 4 / 1000 // nothing is nearer than a wall
	if v.Measured > 0 {
		out := measured(v.Measured)
		v.balance(out, gap)
		return out
	}
	n := max(int(v.RT60*Rate*1.2), Rate/100)
	out := make([]float32, n)
	dull := 0.0
	for i := gap; i < n; i++ {
		dull += (1 - v.Dark) * (r.NormFloat64() - dull)
		out[i] = float32(dull * math.Exp(-math.Ln10*3*float64(i)/(v.RT60*Rate)))
	}
	size := 0.0
	for _, x := range out {
		size = math.Max(size, math.Abs(float64(x)))
	}
	for range v.Early {
		i := gap + r.IntN(max(1, min(n-gap, Rate/20)))
		out[i] += float32(size * 2 * (2*r.Float64() - 1))
	}
	out[0] = 1
	v.balance(out, gap)
	return out
}

// measured returns a measured answer. Its microphone stood far off.
func measured(which int) []float32 {
	raw := [][]byte{seminarRoom, seminarRoomEar}[which-1]
	out := make([]float32, len(raw)/2)
	for i := range out {
		out[i] = float32(int16(binary.LittleEndian.Uint16(raw[2*i:]))) / 32768
	}
	return out
}

// balance scales what comes from sample gap on against the direct sound before
// it, as going nearer does.
func (v Room) balance(answer []float32, gap int) {
	direct, echo := rms(answer[:gap])*math.Sqrt(float64(gap)), rms(answer[gap:])*math.Sqrt(float64(len(answer)-gap))
	g := float32(math.Pow(10, -v.DirectDB/20) * direct / (echo + 1e-20))
	for i := gap; i < len(answer); i++ {
		answer[i] *= g
	}
	for i := range answer {
		answer[i] /= float32(direct)
	}
}

// in returns how x sounds in the room, as long as x and without the delay of the
// way.
func (v Room) in(r *rand.Rand, x []float32) []float32 {
	answer := v.response(r)
	if v.TwoMics {
		other := v.response(r)
		apart := r.IntN(12)
		both := make([]float32, max(len(answer), len(other)+apart))
		for i, a := range answer {
			both[i] += a / 2
		}
		for i, a := range other {
			both[i+apart] += a * 0.4
		}
		answer = both
	}
	return convolve(x, answer)
}

// convolve returns the first len(x) samples of x through a response, block by
// block.
func convolve(x, answer []float32) []float32 {
	n := 1 << 14
	for n < 4*len(answer) {
		n *= 2
	}
	step := n - len(answer)
	f := dsp.NewFFT(n)
	block, re, im := make([]float32, n), make([]float32, n/2+1), make([]float32, n/2+1)
	hr, hi := make([]float32, n/2+1), make([]float32, n/2+1)
	copy(block, answer)
	f.Forward(hr, hi, block)
	out := make([]float32, len(x))
	for at := 0; at < len(x); at += step {
		clear(block)
		copy(block[:step], x[at:])
		f.Forward(re, im, block)
		for k := range re {
			re[k], im[k] = re[k]*hr[k]-im[k]*hi[k], re[k]*hi[k]+im[k]*hr[k]
		}
		f.Inverse(block, re, im)
		for i, v := range block[:min(n, len(x)-at)] {
			out[at+i] += v
		}
	}
	return out
}
