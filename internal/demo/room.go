package demo

import (
	"math"
	"math/rand/v2"
)

// speedOfSound is in metres a second. Source: common practice, dry air at about 20 degrees C.
const speedOfSound = 343.0

// reverb is the room: eight delay lines fed back through a matrix that loses
// nothing, each with the damping that gives the wanted decay.
// Source: [JotChaigne1991].
type reverb struct {
	lines [8][]float64
	at    [8]int
	gain  [8]float64
	low   [8]float64
	damp  float64
}

// newReverb makes a room with the given 60 dB decay; size 1 is a loft of some
// eight metres, rng makes each room a little different.
func newReverb(rt60, size float64, rng *rand.Rand) *reverb {
	r := &reverb{damp: 0.35}
	for i, ms := range []float64{23.1, 29.3, 34.7, 41.9, 47.3, 53.9, 61.1, 67.7} {
		n := int(ms * size * (0.97 + 0.06*rng.Float64()) * sampleRate / 1000)
		r.lines[i] = make([]float64, n)
		r.gain[i] = math.Pow(10, -3*float64(n)/sampleRate/rt60)
	}
	return r
}

// step takes one sample and returns the room's left and right.
func (r *reverb) step(x float64) (left, right float64) {
	var v [8]float64
	sum := 0.0
	for i := range v {
		out := r.lines[i][r.at[i]]
		r.low[i] += (1 - r.damp) * (out - r.low[i])
		v[i] = r.low[i] * r.gain[i]
		sum += v[i]
		if i%2 == 0 {
			left += out
		} else {
			right += out
		}
	}
	for i := range v { // Householder: v - 2/N sum
		r.lines[i][r.at[i]] = x + v[i] - sum/4
		if r.at[i]++; r.at[i] == len(r.lines[i]) {
			r.at[i] = 0
		}
	}
	return left * 0.35, right * 0.35
}

// onRecord mixes strings and voice to the record: close, with a bit of room,
// stereo, levelled.
func onRecord(strings, voice []float64, rng *rand.Rand) (left, right []float32) {
	room := newReverb(1.5, 1.15, rng)
	n := len(strings)
	l, r := make([]float64, n), make([]float64, n)
	wide := sampleRate * 9 / 1000
	for i := range n {
		s, v := strings[i], voice[i]
		a, b := room.step(0.20*s + 0.34*v)
		late := 0.0
		if i >= wide {
			late = strings[i-wide]
		}
		l[i] = 0.80*s + 0.16*late + 0.95*v + a
		r[i] = 0.62*s + 0.30*late + 0.95*v + b
	}
	gain := recordRMS / rms(l, r)
	left, right = make([]float32, n), make([]float32, n)
	for i := range n {
		left[i], right[i] = float32(soften(gain*l[i])), float32(soften(gain*r[i]))
	}
	return left, right
}

// recordRMS puts the record near -16 LUFS, a common delivery level for
// streamed music (common practice); measured with a BS.1770 meter.
const recordRMS = 0.112

// soften keeps peaks under full scale: linear to 0.6, then a bend towards 0.95.
func soften(x float64) float64 {
	const knee, top = 0.6, 0.95
	a := math.Abs(x)
	if a <= knee {
		return x
	}
	return math.Copysign(knee+(top-knee)*math.Tanh((a-knee)/(top-knee)), x)
}

func rms(channels ...[]float64) float64 {
	sum, n := 1e-12, 0
	for _, c := range channels {
		for _, v := range c {
			sum += v * v
		}
		n += len(c)
	}
	return math.Sqrt(sum / float64(max(1, n)))
}

// placement is where a camera's microphone stands and how it hears.
type placement struct {
	metres  float64 // from what sounds to the camera
	rt60    float64 // of the room, seconds
	noiseDB float64 // noise floor under the playing
	levelDB float64 // RMS of the playing on the camera, dBFS
}

// atCamera returns what the camera's two microphones record of a mono sound:
// late by the way through the air, with the room around it, over the noise of
// the room and the camera, through a slow automatic gain.
func atCamera(x []float64, p placement, rng *rand.Rand) (left, right []float32) {
	room := newReverb(p.rt60, 1, rng)
	n := len(x)
	delay := p.metres / speedOfSound * sampleRate
	whole, frac := int(delay), delay-math.Floor(delay)
	l, r := make([]float64, n), make([]float64, n)
	direct := 1 / math.Max(0.5, p.metres)
	// Three walls near by, each a few milliseconds after the direct sound.
	var wall [3]int
	for k := range wall {
		wall[k] = int((0.004 + 0.012*rng.Float64()) * sampleRate)
	}
	at := func(i int) float64 {
		if i < 1 || i >= n {
			return 0
		}
		return x[i]*(1-frac) + x[i-1]*frac
	}
	for i := range n {
		d := at(i - whole)
		early := at(i-whole-wall[0]) - at(i-whole-wall[1])
		a, b := room.step(0.30 * d)
		l[i] = direct*d + 0.16*early + 0.5*a
		r[i] = 0.93*direct*d + 0.16*(early-at(i-whole-wall[2])) + 0.5*b
	}
	level := math.Pow(10, p.levelDB/20)
	gain := level / math.Max(1e-6, loudRMS(l))
	noise := level * math.Pow(10, -p.noiseDB/20)
	left, right = make([]float32, n), make([]float32, n)
	hiss := [2]pink{}
	agc, env := 1.0, level
	for i := range n {
		hum := 0.35 * noise * math.Sin(2*math.Pi*50*float64(i)/sampleRate)
		a := gain*l[i] + noise*hiss[0].step(rng) + hum
		b := gain*r[i] + noise*hiss[1].step(rng) + hum
		if i%480 == 0 { // the gain looks every 10 ms, falls in 0.3 s and comes back in 3 s
			want := math.Max(0.6, math.Min(1.4, math.Sqrt(level/math.Max(env, level/4))))
			speed := 0.003
			if want < agc {
				speed = 0.03
			}
			agc += speed * (want - agc)
		}
		env += 0.00005 * (math.Abs(a) + math.Abs(b) - env)
		left[i], right[i] = float32(soften(agc*a)), float32(soften(agc*b))
	}
	return left, right
}

// loudRMS is the RMS of the louder half of a sound, so that silence before
// and after does not count. Silence gives 0.
func loudRMS(x []float64) float64 {
	const block = sampleRate / 4
	top := 0.0
	for i := 0; i+block <= len(x); i += block {
		top = math.Max(top, rms(x[i:i+block]))
	}
	sum, n := 0.0, 0
	for i := 0; i+block <= len(x); i += block {
		if v := rms(x[i : i+block]); v > 0.2*top {
			sum += v * v
			n++
		}
	}
	if n == 0 || top < 1e-5 {
		return 0
	}
	return math.Sqrt(sum / float64(n))
}

// pink is noise that falls about 3 dB an octave, RMS near 1.
type pink struct{ a, b, c float64 }

func (p *pink) step(rng *rand.Rand) float64 {
	w := rng.NormFloat64()
	p.a = 0.997*p.a + 0.029*w
	p.b = 0.963*p.b + 0.075*w
	p.c = 0.570*p.c + 0.30*w
	return 1.2 * (p.a + p.b + p.c + 0.18*w)
}

// throughLoudspeaker returns the record as a small loudspeaker plays it: no
// bass, no air, a little pressed, and read at another clock's speed: sample i
// of the result is the record at i/(1+ppm/1e6).
func throughLoudspeaker(left, right []float32, ppm float64) []float64 {
	out := make([]float64, len(left))
	var bass, air float64
	for i := range out {
		pos := float64(i) / (1 + ppm*1e-6)
		k := int(pos)
		if k+1 >= len(left) {
			break
		}
		f := pos - float64(k)
		m := 0.5 * ((1-f)*float64(left[k]+right[k]) + f*float64(left[k+1]+right[k+1]))
		bass += 0.018 * (m - bass) // 140 Hz
		air += 0.60 * (m - bass - air)
		out[i] = math.Tanh(2.2*air) / 2.2
	}
	return out
}
