package lineup

import (
	"math"
	"math/rand/v2"
	"slices"

	"takeweave/internal/dsp"
)

// The generator makes songs, performances of them and rooms to record them in,
// so that the true place of every note is known. Beats are the song's own time.

const rate = dsp.AnalysisRate

type voice int

const (
	pluck voice = iota
	sung
	bowed
	bassGuitar
	drum
)

type note struct {
	beat, beats float64
	pitch       int
	amp         float64
	spread      float64 // seconds after the beat (strums)
	voice       voice
}

type song struct {
	bpm   float64
	key   int
	strum bool
	bars  int
	loops map[byte][]int // section letter -> roots of its four bars, semitones above the key
	notes []note
	form  string
}

// Chord loops: roots above the key with their quality (minor marked by +100).
var loopPool = [][]int{
	{0, 7, 109, 5},
	{0, 5, 7, 0},
	{109, 5, 0, 7},
	{0, 104, 5, 7},
	{102, 7, 0, 109},
	{100, 8, 3, 10},
	{100, 10, 8, 7},
	{100, 105, 10, 3},
	{0, 10, 5, 0},
	{0, 109, 102, 7},
}

func chordOf(key, root int) [3]int {
	third := 4
	if root >= 100 {
		root, third = root-100, 3
	}
	base := key + root%12
	return [3]int{base, base + third, base + 7}
}

// newSong writes a song. like, when not nil, lends its key, chords, style and
// tempo: a decoy.
func newSong(r *rand.Rand, sections int, like *song) *song {
	s := &song{bpm: 72 + 70*r.Float64(), key: 48 + r.IntN(12) - 6, strum: r.IntN(2) == 0, loops: map[byte][]int{}}
	s.form = "ABABCBAB"[:sections]
	for _, c := range "ABC" {
		s.loops[byte(c)] = loopPool[r.IntN(len(loopPool))]
	}
	if like != nil {
		s.key, s.strum, s.loops = like.key, like.strum, like.loops
		s.bpm = like.bpm * (0.9 + 0.2*r.Float64())
	}
	patterns, melodies := map[byte][]int{}, map[byte][]note{}
	for _, c := range "ABC" {
		p := make([]int, 8)
		for i := range p {
			p[i] = r.IntN(5)
		}
		patterns[byte(c)] = p
		melodies[byte(c)] = melody(r, s, s.loops[byte(c)])
	}
	for sec, c := range []byte(s.form) {
		for bar := range 8 {
			start := float64(sec*32 + bar*4)
			chord := chordOf(s.key, s.loops[c][bar%4])
			s.accompany(r, start, chord, patterns[c])
		}
		for _, n := range melodies[c] {
			n.beat += float64(sec * 32)
			s.notes = append(s.notes, n)
		}
	}
	s.bars = sections * 8
	return s
}

func (s *song) accompany(r *rand.Rand, start float64, chord [3]int, pattern []int) {
	tones := []int{chord[0], chord[1] + 12, chord[2], chord[0] + 12, chord[2] + 12, chord[1] + 24}
	for e := range 8 {
		at := start + float64(e)/2
		if s.strum {
			if e%2 == 1 && pattern[e] < 2 {
				continue
			}
			gap := 0.008 + 0.006*float64(pattern[e])/4
			for k, p := range tones[:5] {
				s.notes = append(s.notes, note{at, 0.9, p, 0.25, gap * float64(k), pluck})
			}
			continue
		}
		p := tones[1+pattern[e]]
		if e%4 == 0 {
			p = tones[0]
		}
		s.notes = append(s.notes, note{at, 1.6, p, 0.5 + 0.1*r.Float64(), 0, pluck})
	}
}

func melody(r *rand.Rand, s *song, loop []int) []note {
	var out []note
	pitch := s.key + 24
	for bar := range 8 {
		chord := chordOf(s.key+24, loop[bar%4])
		for beat := 0.0; beat < 4; {
			length := []float64{0.5, 0.5, 1, 1, 1.5, 2}[r.IntN(6)]
			length = math.Min(length, 4-beat)
			if r.Float64() < 0.15 {
				beat += length
				continue
			}
			if r.Float64() < 0.6 {
				pitch = chord[r.IntN(3)]
			} else {
				pitch += []int{-2, -1, 1, 2}[r.IntN(4)]
			}
			pitch = min(max(pitch, s.key+17), s.key+33)
			out = append(out, note{float64(bar*4) + beat, length * 0.95, pitch, 0.5, 0, sung})
			beat += length
		}
	}
	return out
}

// band adds bass and drums to a copy of the notes: what nobody plays live.
func (s *song) band() []note {
	out := slices.Clone(s.notes)
	for bar := range s.bars {
		root := chordOf(s.key, s.loops[s.form[bar/8]][bar%4])[0]
		for b := range 4 {
			at := float64(bar*4 + b)
			out = append(out, note{at, 0.9, root - 12, 0.6, 0, bassGuitar}, note{at, 0.1, b % 2, 0.5, 0, drum}, note{at + 0.5, 0.05, 2, 0.2, 0, drum})
		}
	}
	return out
}

// stretchPlan is a run of beats to be played.
type stretchPlan struct{ from, to float64 }

// human is how a player plays.
type human struct {
	tempo                 float64 // 1 is the song's own
	walk, jitter          float64 // spread of tempo, seconds of jitter
	missing, wrong, extra float64
	lead                  voice
	shift                 int
	cents                 float64
	loudGuitar, loudLead  float64
	mute                  map[voice]bool
}

type sounded struct {
	at, length float64
	hz, amp    float64
	voice      voice
}

// heardNote ties a note of the song to when it was played.
type heardNote struct {
	id int // index into song.notes
	at float64
}

// perform plays the beats of plan from start seconds on and returns the sounds,
// where each note of the song fell, and the end.
func perform(r *rand.Rand, s *song, notes []note, plan []stretchPlan, h human, start float64) (out []sounded, truth []heardNote, end float64) {
	now := start
	drift := 0.0
	for _, p := range plan {
		// A tempo walk on half beats.
		steps := int((p.to-p.from)*2) + 8
		when := make([]float64, steps+1)
		when[0] = now
		for i := range steps {
			drift = 0.97*drift + h.walk*math.Sqrt(1-0.97*0.97)*r.NormFloat64()
			slow := 0.0
			if beat := p.from + float64(i)/2; math.Mod(beat, 32) > 29 {
				slow = h.walk * 3
			}
			when[i+1] = when[i] + 30/(s.bpm*h.tempo)*(1+drift+slow)
		}
		timeOf := func(beat float64) float64 {
			x := (beat - p.from) * 2
			i := min(max(int(x), 0), steps-1)
			return when[i] + (x-float64(i))*(when[i+1]-when[i])
		}
		for id, n := range notes {
			if n.beat < p.from-1e-9 || n.beat >= p.to-1e-9 || h.mute[n.voice] {
				continue
			}
			at := timeOf(n.beat) + n.spread + h.jitter*r.NormFloat64()
			length := timeOf(n.beat+n.beats) - timeOf(n.beat)
			pitch := n.pitch
			v := n.voice
			amp := n.amp * (0.8 + 0.4*r.Float64())
			switch v {
			case sung:
				v = h.lead
				amp *= h.loudLead
			case pluck:
				amp *= h.loudGuitar
			}
			if v != drum && r.Float64() < h.missing {
				continue
			}
			right := true
			if v != drum && r.Float64() < h.wrong {
				pitch += []int{-2, -1, 1, 2, 5}[r.IntN(5)]
				right = false
			}
			hz := dsp.MIDIHz(float64(pitch+h.shift) + h.cents/100)
			if v == drum {
				hz = float64(n.pitch)
			}
			out = append(out, sounded{at, length, hz, amp, v})
			if right && id < len(s.notes) {
				truth = append(truth, heardNote{id, at})
			}
			if v == pluck && r.Float64() < h.extra {
				out = append(out, sounded{at + 0.1 + 0.2*r.Float64(), length, hz * math.Exp2(float64(r.IntN(12))/12), amp, v})
			}
		}
		now = timeOf(p.to)
	}
	return out, truth, now
}

// render adds up sounds over seconds.
func render(r *rand.Rand, sounds []sounded, seconds float64) []float32 {
	out := make([]float32, int(seconds*rate))
	for _, s := range sounds {
		at := int(s.at * rate)
		add := func(i int, v float64) {
			if k := at + i; k >= 0 && k < len(out) {
				out[k] += float32(v)
			}
		}
		if s.voice == drum {
			decay := []float64{0.12, 0.15, 0.04}[int(s.hz)]
			for i := range int(decay * 4 * rate) {
				e := math.Exp(-float64(i) / (decay * rate))
				switch int(s.hz) {
				case 0:
					add(i, s.amp*1.5*e*math.Sin(2*math.Pi*55*float64(i)/rate))
				default:
					add(i, s.amp*0.4*e*(2*r.Float64()-1))
				}
			}
			continue
		}
		attack, decay, harmonics, tilt, vibrato, sustain := 0.004, 0.9, 7, 1.2, 0.0, false
		switch s.voice {
		case sung:
			attack, harmonics, tilt, vibrato, sustain = 0.05, 8, 1.0, 0.006, true
		case bowed:
			attack, harmonics, tilt, vibrato, sustain = 0.12, 9, 0.8, 0.004, true
		case bassGuitar:
			decay, harmonics, tilt = 0.7, 4, 1.6
		default:
			decay = 0.9 * math.Sqrt(220/s.hz)
		}
		n := int((s.length + 0.08) * rate)
		strength := make([]float64, harmonics+1)
		for k := 2; k <= harmonics; k++ {
			strength[k] = math.Pow(float64(k), -tilt)
		}
		var phase float64
		phases := r.Float64() * 6
		for i := range n {
			t := float64(i) / rate
			hz := s.hz
			if vibrato > 0 {
				hz *= 1 + vibrato*math.Sin(2*math.Pi*5.3*t+phases)
			}
			phase += 2 * math.Pi * hz / rate
			e := math.Min(1, t/attack)
			if !sustain {
				e *= math.Exp(-t / decay)
			}
			if t > s.length {
				e *= math.Max(0, 1-(t-s.length)/0.08)
			}
			// Harmonics by the recurrence of sin(k*x).
			s1, c2 := math.Sin(phase), 2*math.Cos(phase)
			prev, cur, sum := 0.0, s1, s1
			for k := 2; k <= harmonics && hz*float64(k) < 8000; k++ {
				prev, cur = cur, c2*cur-prev
				sum += cur * strength[k]
			}
			add(i, 0.15*s.amp*e*sum)
		}
	}
	return out
}

// camera is the way from the room to the file.
type camera struct {
	snrDB, rt60, directDB float64
	hum                   bool
	narrow                bool
	gain                  bool // automatic
}

// film records x in a room.
func (c camera) film(r *rand.Rand, x []float32) []float32 {
	out := x
	if c.rt60 > 0 {
		n := int(c.rt60 * rate)
		ir := make([]float32, n)
		var energy float64
		for i := range ir {
			v := r.NormFloat64() * math.Exp(-6.9*float64(i)/float64(n))
			if i < rate*3/1000 {
				v = 0
			}
			ir[i] = float32(v)
			energy += v * v
		}
		scale := float32(math.Pow(10, -c.directDB/20) / math.Sqrt(energy))
		for i := range ir {
			ir[i] *= scale
		}
		ir[0] = 1
		out = convolve(x, ir)
	}
	var power float64
	for _, v := range out {
		power += float64(v) * float64(v)
	}
	level := math.Sqrt(power/float64(len(out))) * math.Pow(10, -c.snrDB/20)
	var pink, low, high float64
	env := 0.05
	for i := range out {
		white := r.NormFloat64()
		pink = 0.98*pink + 0.2*white
		v := float64(out[i]) + level*(0.5*white+0.8*pink)
		if c.hum {
			v += level * 0.7 * math.Sin(2*math.Pi*50*float64(i)/rate)
		}
		if c.narrow {
			low += 0.035 * (v - low) // 120 Hz
			high += 0.85 * (v - low - high)
			v = high
		}
		if c.gain {
			a := math.Abs(v)
			if a > env {
				env += (a - env) * 0.002
			} else {
				env += (a - env) * 0.00002
			}
			v *= 0.2 / math.Max(env, 0.02)
		}
		out[i] = float32(math.Tanh(v))
	}
	return out
}

func convolve(x, ir []float32) []float32 {
	n := 8
	for n < len(x)+len(ir) {
		n *= 2
	}
	f := dsp.NewFFT(n)
	spectrum := func(v []float32) (re, im []float32) {
		pad := make([]float32, n)
		copy(pad, v)
		re, im = make([]float32, n/2+1), make([]float32, n/2+1)
		f.Forward(re, im, pad)
		return
	}
	ar, ai := spectrum(x)
	br, bi := spectrum(ir)
	for k := range ar {
		ar[k], ai[k] = ar[k]*br[k]-ai[k]*bi[k], ar[k]*bi[k]+ai[k]*br[k]
	}
	out := make([]float32, n)
	f.Inverse(out, ar, ai)
	return out[:len(x)]
}

// chatter returns speech-like sounds: voiced syllables with moving pitch and
// hisses between.
func chatter(r *rand.Rand, out []float32, from, to float64) {
	for t := from; t < to; {
		length := 0.08 + 0.2*r.Float64()
		hz := 110 + 60*r.Float64()
		glide := 1 + 0.6*(r.Float64()-0.5)
		formant := 400 + 1200*r.Float64()
		var phase float64
		for i := range int(length * rate) {
			k := int(t*rate) + i
			if k >= len(out) || t+float64(i)/rate > to {
				break
			}
			x := float64(i) / (length * rate)
			phase += 2 * math.Pi * hz * (1 + (glide-1)*x) / rate
			v := 0.0
			for h := 1; h < 20; h++ {
				d := (hz*float64(h) - formant) / 300
				v += math.Sin(phase*float64(h)) * (0.15 + math.Exp(-d*d))
			}
			out[k] += float32(0.05 * v * math.Sin(math.Pi*x))
		}
		t += length
		if r.Float64() < 0.4 {
			hiss := 0.05 + 0.06*r.Float64()
			for i := range int(hiss * rate) {
				if k := int(t*rate) + i; k < len(out) && t+hiss < to {
					out[k] += float32(0.04 * r.NormFloat64())
				}
			}
			t += hiss
		}
		if r.Float64() < 0.15 {
			t += 0.3 + 0.5*r.Float64()
		}
	}
}
