package songmap

import (
	"math"
	"math/rand/v2"

	"takeweave/internal/dsp"
)

// The generator plays invented songs of which every beat, bar and section is
// known.

const rate = dsp.AnalysisRate

// style is how an invented song is played.
type style struct {
	bpm    float64
	perBar int
	strum  bool
	drums  bool
	melody bool
	walk   float64 // spread of the tempo
	lead   float64 // seconds of silence before
	cents  float64
}

// played is an invented song with what is true of it.
type played struct {
	sound    []float32
	beats    []float64
	downs    []float64
	sections []float64 // where they begin and the end
	form     string
}

// Roots above the key; 100 more is minor.
var loops = map[byte][]int{
	'A': {0, 7, 109, 5}, 'B': {5, 0, 102, 7}, 'C': {109, 104, 5, 7}, 'D': {100, 8, 3, 10},
}

// play plays form, eight bars for each letter.
func play(r *rand.Rand, form string, s style) played {
	const barsEach = 8
	p := played{form: form}
	patterns, tunes := map[byte][]int{}, map[byte][][3]float64{}
	key := 43 + r.IntN(12)
	for _, c := range []byte("ABCD") {
		for range 2 * s.perBar {
			patterns[c] = append(patterns[c], r.IntN(5))
		}
		// The tune: beat, length, pitch; a rest at the end of every other bar.
		for bar := range barsEach {
			for b := 0.0; b < float64(s.perBar); {
				length := []float64{0.5, 1, 1, 1.5}[r.IntN(4)]
				if rest := bar%2 == 1 && b > float64(s.perBar)/2; !rest {
					root, third := loops[c][bar%4], 4
					if root >= 100 {
						third = 3
					}
					tones := []int{0, third, 7, 12, third - 2}
					tunes[c] = append(tunes[c], [3]float64{float64(bar*s.perBar) + b, length, float64(key + 24 + root%100%12 + tones[r.IntN(5)])})
				}
				b += length
			}
		}
	}
	total := len(form) * barsEach * s.perBar
	when := make([]float64, 2*total+9) // of half beats
	when[0] = s.lead
	drift := 0.0
	for i := 1; i < len(when); i++ {
		drift = 0.97*drift + s.walk*math.Sqrt(1-0.97*0.97)*r.NormFloat64()
		when[i] = when[i-1] + 30/s.bpm*(1+drift)
	}
	timeOf := func(beat float64) float64 {
		i := min(int(beat*2), len(when)-2)
		return when[i] + (beat*2-float64(i))*(when[i+1]-when[i])
	}
	p.sound = make([]float32, int((timeOf(float64(total))+1.5)*rate))
	voices := synth{p.sound, s.cents, map[[2]int][]float32{}}
	for sec, c := range []byte(form) {
		first := sec * barsEach * s.perBar
		p.sections = append(p.sections, timeOf(float64(first)))
		for bar := range barsEach {
			root, third := loops[c][bar%4], 4
			if root >= 100 {
				third = 3
			}
			base := key + root%100%12
			tones := []int{base, base + 7, base + 12, base + 12 + third, base + 19}
			for e := range 2 * s.perBar {
				beat := float64(first+bar*s.perBar) + float64(e)/2
				at := timeOf(beat) + 0.006*r.NormFloat64()
				switch {
				case s.strum && (e%2 == 0 || patterns[c][e] > 2):
					loud := 0.10
					if e == 0 {
						loud = 0.14
					}
					for k, n := range tones {
						voices.note(at+0.009*float64(k), n, plucked, loud)
					}
				case !s.strum:
					n := tones[1+patterns[c][e]%4]
					if e == 0 || s.perBar == 4 && e == 4 {
						n = tones[0]
					}
					voices.note(at, n, plucked, 0.25)
				}
				if s.drums {
					voices.note(at, 0, hat, 0.05)
					switch {
					case e == 0:
						voices.note(at, 0, kick, 0.5)
					case e%2 == 0 && (s.perBar == 3 || e%4 == 2):
						voices.note(at, 0, snare, 0.2)
					}
				}
			}
		}
		if s.melody {
			for _, n := range tunes[c] {
				voices.note(timeOf(float64(first)+n[0])+0.015*r.NormFloat64(), int(n[2]), sung, 0.2*n[1])
			}
		}
	}
	for i := range total {
		p.beats = append(p.beats, timeOf(float64(i)))
		if i%s.perBar == 0 {
			p.downs = append(p.downs, p.beats[i])
		}
	}
	p.sections = append(p.sections, timeOf(float64(total)))
	for i := range p.sound {
		p.sound[i] += float32(1e-4 * r.NormFloat64())
	}
	return p
}

const (
	plucked = iota
	sung
	kick
	snare
	hat
)

// synth adds sounds, each computed once.
type synth struct {
	out   []float32
	cents float64
	made  map[[2]int][]float32
}

func (s synth) note(at float64, pitch, voice int, loud float64) {
	wave, ok := s.made[[2]int{pitch, voice}]
	if !ok {
		wave = make([]float32, rate)
		r := rand.New(rand.NewPCG(uint64(voice), 1))
		hz := dsp.MIDIHz(float64(pitch) + s.cents/100)
		for i := range wave {
			t := float64(i) / rate
			var v float64
			switch voice {
			case plucked:
				for k := 1.0; k < 8; k++ {
					v += math.Sin(2*math.Pi*hz*k*t) / math.Pow(k, 1.2) * math.Exp(-t*(1.5+k))
				}
				v *= math.Min(1, t/0.002)
			case sung:
				for k := 1.0; k < 8; k++ {
					v += math.Sin(2*math.Pi*hz*k*t+k*0.8*math.Sin(2*math.Pi*5.5*t)*0.3) / k
				}
				v *= math.Min(1, t/0.04) * math.Max(0, math.Min(1, (0.5-t)/0.1))
			case kick:
				v = math.Sin(2*math.Pi*(55*t-3*math.Exp(-40*t))) * math.Exp(-t*12)
			case snare:
				v = r.NormFloat64() * math.Exp(-t*18)
			case hat:
				v = r.NormFloat64() * math.Exp(-t*60)
			}
			wave[i] = float32(v)
		}
		s.made[[2]int{pitch, voice}] = wave
	}
	from := int(math.Round(at * rate))
	for i, v := range wave {
		if k := from + i; k >= 0 && k < len(s.out) {
			s.out[k] += v * float32(loud)
		}
	}
}
